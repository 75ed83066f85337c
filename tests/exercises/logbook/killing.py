"""Kill the program while it writes trials, and see that nothing that it told is lost. Not a test by itself.

The child is the command line, in a process forked from one that has imported the program:
``demo --weeks 1040 --every-trial`` keeps each trial as the window does (by ``Logbook.add``) and prints its uid when
that has returned.
"""

import json
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
# Runs each command that it reads in a child of its own, which first prints its number; says when that has ended.
FORKING = """
import json, os, sys
import app.demo.demo
from app.cli.commands import main

for line in sys.stdin:
    child = os.fork()
    if not child:
        print(os.getpid(), flush=True)
        os._exit(main(json.loads(line)))
    os.waitpid(child, 0)
    print("ended", flush=True)
"""


def kill_while_writing(folder: Path, checkout: Path, times: int, seed: int) -> tuple[int, int]:
    """Kill ``times`` times at random moments; how many trials were told, and how many of these are lost.

    All of the children write to one logbook, one after the other, each opening what the one before left behind.
    Raises where the file is damaged or the next start has anything to say.
    """
    rng = np.random.default_rng(seed)
    told: set[str] = set()
    with subprocess.Popen(
        [sys.executable, "-c", FORKING], cwd=checkout, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as parent:
        for number in range(times):
            told |= _told_before_its_end(parent, folder, number, rng)
            _look_after(folder / "logbook.sqlite3")
        parent.stdin.close()
    with sqlite3.connect(folder / "logbook.sqlite3") as reading:
        kept = {uid.hex() for (uid,) in reading.execute("SELECT uid FROM trials")}
    reading.close()
    told = {each for each in told if len(each) == 32}
    return len(told), len(told - kept)


def _told_before_its_end(
    parent: subprocess.Popen[str], folder: Path, number: int, rng: np.random.Generator
) -> set[str]:
    """First words of the lines that a child printed before it was killed."""
    command = ["demo", "--weeks", "1040", "--every-trial", "--out", str(folder), "--seed", str(number)]
    print(json.dumps(command), file=parent.stdin, flush=True)
    lines = iter(parent.stdout)
    child, told = int(next(lines)), set[str]()
    # A random number of trials, and then a random part of the next one.
    for _ in range(1 + int(rng.integers(1, 6))):
        told.add(next(lines).split()[0])
    for _ in range(int(rng.integers(0, 400_000))):
        pass  # up to some ten milliseconds, about what a trial takes
    os.kill(child, signal.SIGKILL)
    # What was printed before the signal came counts as told.
    for line in lines:
        if line == "ended\n":
            return told
        told.add(line.split()[0])
    raise AssertionError("the process from which the others are forked has ended")


def _look_after(file: Path) -> None:
    """Open what a child left behind; ``AssertionError`` where it is damaged or the start has anything to say."""
    opened = open_logbook(file, NOW, copy=False)
    opened.logbook.close()
    # These trials are of years ago, which a start tells as well.
    says = [each for each in opened.messages if each.template is not CLOCK]
    if says:
        raise AssertionError(f"the next start had to say: {says}")
    with sqlite3.connect(file) as reading:
        if reading.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise AssertionError("the file is damaged")
    reading.close()
