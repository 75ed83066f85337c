"""The program as a user starts it, on the desk."""

import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from exercises.logbook.store import Logbook
from tests.end_to_end.desk import RATE_HZ, Desk, end, lead_of, wait_for

ROOT = Path(__file__).parents[2]


@dataclass
class Rendered:
    """A trial as files: its sound, mono, and the ones to be tapped, in seconds from the sound's start."""

    folder: Path
    sound: np.ndarray
    targets_s: np.ndarray


def command(desk: Desk, *words: str) -> str:
    """Run a command of the program; what it prints."""
    done = subprocess.run(
        [sys.executable, "-m", "app", *words], env=desk.env, cwd=ROOT, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def render(desk: Desk, folder: Path, *words: str) -> Rendered:
    """Make the trial that the window will play, as files."""
    command(desk, "trial", *words, "--out", str(folder))
    stereo, rate_hz = soundfile.read(folder / "trial.wav", dtype="float32", always_2d=True)
    assert rate_hz == RATE_HZ
    told = json.loads((folder / "trial.json").read_text())
    return Rendered(folder, stereo.mean(axis=1), np.array(told["targets_s"]))


class Program:
    """The window in a process of its own, its data in a folder of its own. Use as a context manager."""

    def __init__(self, desk: Desk, home: Path, *words: str) -> None:
        self._command = [sys.executable, "-m", "app", *words]
        self._env = desk.env | {"TALLYBAR_HOME": str(home)}
        self._home = home
        self.process: subprocess.Popen | None = None

    def __enter__(self) -> "Program":
        self._home.mkdir(exist_ok=True)
        self._said = (self._home / "said.txt").open("w+")
        self.process = subprocess.Popen(self._command, env=self._env, cwd=ROOT, stderr=self._said)
        return self

    def __exit__(self, *exc: object) -> None:
        end(self.process)
        self._said.close()

    @property
    def said(self) -> str:
        """What the program wrote to its standard error."""
        return (self._home / "said.txt").read_text()

    def trials(self) -> list:
        """The trials in its logbook, newest first."""
        path = self._home / "logbook.sqlite3"
        if not path.exists():
            return []
        with Logbook.open(path) as logbook:
            return logbook.trials(100)

    def wait_for_trial(self, number: int, seconds: float):
        """The newest trial once there are so many."""
        return wait_for(
            lambda: len(found := self.trials()) >= number and found[0], seconds, f"no trial came: {self.said}"
        )


def sound_start(recorder, rendered: Rendered, since: int, seconds: float) -> float:
    """Where the trial begins in the recording (samples, with a fraction), by the first seconds of its sound.

    A trial may begin with silence; the seconds count from the first thing that is heard.
    """
    silence = int(np.argmax(np.abs(rendered.sound) > 1e-3))
    part = rendered.sound[silence : silence + round(seconds * RATE_HZ)]
    return since + lead_of(part, recorder.samples(since)) - silence


def likeness(recorder, rendered: Rendered, start: float, seconds: float) -> float:
    """Correlation (0 to 1) of the first seconds of what was rendered with what was heard from ``start`` on."""
    meant = rendered.sound[: round(seconds * RATE_HZ)]
    heard = recorder.samples(round(start))[: len(meant)]
    return float(heard @ meant / np.sqrt((heard @ heard) * (meant @ meant)))
