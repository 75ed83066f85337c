"""Kill the program while it writes trials, and see that nothing that it told is lost. Not a test by itself.

The child is the command line: ``demo --weeks 1040 --every-trial`` keeps each trial as the window does (by
``Logbook.add``) and prints its uid when that has returned.
"""

import os
import signal
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from exercises.logbook.opening import CLOCK, open_logbook

NOW = datetime(2030, 5, 1, tzinfo=UTC)


def kill_while_writing(folder: Path, checkout: Path, times: int, seed: int) -> tuple[int, int]:
    """Kill ``times`` times at random moments; how many trials were told, and how many of these are lost.

    All of the children write to one logbook, one after the other, each opening what the one before left behind.
    Raises where the file is damaged or the next start has anything to say.
    """
    rng = np.random.default_rng(seed)
    told: set[str] = set()
    file = folder / "logbook.sqlite3"
    for number in range(times):
        command = [sys.executable, "-m", "app", "demo", "--weeks", "1040", "--every-trial", "--out", str(folder)]
        with subprocess.Popen(
            [*command, "--seed", str(number)], cwd=checkout, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        ) as child:
            # A random number of trials, and then a random part of the next one.
            lines = iter(child.stdout)
            for _ in range(1 + int(rng.integers(1, 12))):
                told.add(next(lines).split()[0])
            for _ in range(int(rng.integers(0, 400_000))):
                pass  # up to some ten milliseconds, about what a trial takes
            os.kill(child.pid, signal.SIGKILL)
            # What was printed before the signal came counts as told.
            told |= {line.split()[0] for line in lines if line.endswith("\n")}
        opened = open_logbook(file, NOW, copy=False)
        opened.logbook.close()
        # These trials are of years ago, which a start tells as well.
        says = [each for each in opened.messages if each.template is not CLOCK]
        if says:
            raise AssertionError(f"the next start had to say: {says}")
        with sqlite3.connect(file) as reading:
            if reading.execute("PRAGMA integrity_check").fetchone() != ("ok",):
                raise AssertionError("the file is damaged")
            kept = {uid.hex() for (uid,) in reading.execute("SELECT uid FROM trials")}
        reading.close()
    told = {each for each in told if len(each) == 32}
    return len(told), len(told - kept)
