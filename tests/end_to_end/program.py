"""The program as a user starts it, on the desk."""

import json
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from exercises.logbook.store import Logbook
from tests.end_to_end.desk import RATE_HZ, Desk, end, lead_of, wait_for
from tests.end_to_end.inputs import Keys, Tapper

ROOT = Path(__file__).parents[2]
LOOKS_S = 0.1  # how often a logbook is opened to see whether a trial has come


@dataclass
class Truth:
    """A tapped trial: how far off each tap truly was and was reported to be (ms), and how sure the program was.

    ``took_ms``: how long after the moment noted the screen or system had each tap: so much later it may truly have
    been. ``missed`` targets and ``extra`` taps are in neither row of errors.
    """

    true_ms: np.ndarray
    reported_ms: np.ndarray
    uncertainty_ms: float
    alike: float
    took_ms: np.ndarray
    missed: int = 0
    extra: int = 0

    @property
    def off_ms(self) -> np.ndarray:
        """Reported minus true."""
        return self.reported_ms - self.true_ms


@dataclass
class Rendered:
    """A trial as files: its sound, mono, and the ones to be tapped, in seconds from the sound's start."""

    folder: Path
    sound: np.ndarray
    targets_s: np.ndarray


def command(desk: Desk, *words: str, home: Path | None = None) -> str:
    """Run a command of the program, with a data folder of its own if need be; what it prints."""
    env = desk.env if home is None else desk.env | {"TALLYBAR_HOME": str(home)}
    done = subprocess.run(
        [sys.executable, "-m", "app", *words], env=env, cwd=ROOT, capture_output=True, text=True, timeout=300
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


class Disturbed(Exception):
    """The computer stood still in the middle of a trial: it is void, or what was heard is not what was rendered."""


def once_more(say, attempt):
    """What ``attempt`` gives; where the host disturbed it, it is said and tried a second time, which must do."""
    try:
        return attempt()
    except Disturbed as why:
        say(f"disturbed, so once more: {why}")
        return attempt()


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
        why = f"no trial came: {self.said}"
        return wait_for(lambda: len(found := self.trials()) >= number and found[0], seconds, why, every_s=LOOKS_S)


class ToldProgram(Program):
    """A program that writes what it shows to a file, one JSON object a line (see ``told_program``)."""

    def __init__(self, desk: Desk, home: Path, *command: str) -> None:
        super().__init__(desk, home)
        self._shown_to, self._place = home / "shown.jsonl", 0
        self._seen: list[dict] = []
        module, *words = command
        self._command = [sys.executable, "-m", f"tests.end_to_end.{module}", str(self._shown_to), *words]

    def wait(self, seconds: float, what: str, holds: Callable[[dict], bool], since: int = 0) -> dict:
        """What was shown first, after ``since`` lines, for which something holds; ``what`` says what it is."""
        try:
            return wait_for(lambda: next(filter(holds, self.shown()[since:]), None), seconds, f"not shown: {what}")
        except RuntimeError as why:
            self.process.send_signal(signal.SIGUSR1)  # its threads write where they stand
            time.sleep(0.5)
            raise RuntimeError(f"{why}; last: {self.shown()[-1:]}; {self.said}") from None

    def shown(self) -> list[dict]:
        """Everything that was shown so far, the latest last; a line that is not yet whole waits for the next time."""
        if self._shown_to.exists():
            with self._shown_to.open("rb") as file:
                file.seek(self._place)
                whole = file.read().rpartition(b"\n")[0]
            self._seen += [json.loads(line) for line in whole.splitlines()]
            self._place += len(whole) + bool(whole)
        return list(self._seen)


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


def tap_through(
    desk, recorder, hand, program: Program, rendered: Rendered, offsets_s, tapper: Tapper | None = None
) -> Truth:
    """Start the trial in the open window and tap its targets so far off; what was true, what was reported.

    Every moment of the truth comes from the recording and from the tapper. Every tap must be there, and no other; but
    a clap may be missed, or a drum be taken for one, which is told in the result.
    """
    tapper = tapper or Keys(hand)
    tapper.ready(on_pad=False)
    before, since = len(program.trials()), recorder.count
    hand.press("Return")
    loud = wait_for(lambda: np.flatnonzero(np.abs(recorder.samples(since)) > 1e-3).tolist(), 8, "no sound was heard")
    wait_for(lambda: recorder.count > since + loud[0] + 1.6 * RATE_HZ, 5, "the recorder stopped")
    origin_s, sample_s = recorder.line()
    start_s = origin_s + sound_start(recorder, rendered, since, 1.5) * sample_s
    tapped_s = np.array([tapper.tap(start_s + at_s) for at_s in rendered.targets_s + offsets_s])
    found = program.wait_for_trial(before + 1, 15)
    if found.void is not None:
        raise Disturbed(found.void)

    last_s = float(rendered.targets_s[-1])
    origin_s, sample_s = recorder.line()
    start = sound_start(recorder, rendered, since, last_s - 1)
    heard_s = origin_s + (start + rendered.targets_s * RATE_HZ) * sample_s
    true_ms, taps_s = (tapped_s - heard_s) * 1e3, found.answer.taps_s
    took_ms = np.array(tapper.took_s[-len(tapped_s) :]) * 1e3

    taps = rendered.folder / "taps.txt"
    taps.write_text("".join(f"{tap_s:.6f}\n" for tap_s in taps_s))
    marked = json.loads(command(desk, "mark", str(rendered.folder / "trial.json"), str(taps), "--json"))
    reported_ms = np.array(marked["errors_ms"])
    if tapper.source == "mic" and len(taps_s) >= len(rendered.targets_s) // 2:
        off_ms = 1e3 * (taps_s[None, :] - rendered.targets_s[:, None])
        nearest_ms = off_ms[np.arange(len(off_ms)), np.abs(off_ms).argmin(axis=1)]
        met = np.abs(nearest_ms) <= marked["window_ms"]
        assert met.sum() == len(reported_ms), f"{len(reported_ms)} claps met a one, by nearness {met.sum()}"
        true_ms, took_ms = true_ms[met], took_ms[met]
    else:
        asked = len(rendered.targets_s)
        if tapper.source == "midi" and len(taps_s) < asked:
            # A JACK server drops the notes of a cycle in which one of its programs was not served in time.
            raise Disturbed(f"{asked} notes were sent, {len(taps_s)} came")
        assert len(taps_s) == len(reported_ms) == asked, f"{asked} taps, {len(taps_s)} came, {len(reported_ms)} met"
    assert found.result is not None
    return Truth(
        true_ms,
        reported_ms,
        float(found.result["uncertainty_ms"]),
        likeness(recorder, rendered, start, last_s),
        took_ms,
        len(rendered.targets_s) - len(reported_ms),
        len(taps_s) - len(reported_ms),
    )


def spread_offsets_s(number: int, seed: int = 5) -> np.ndarray:
    """Offsets spread evenly over -60 to +60 ms, in no order, off the whole milliseconds that stamps count."""
    random = np.random.default_rng(seed)
    even_ms = np.linspace(-59, 59, number) + random.uniform(-1, 1, number)
    return random.permutation(even_ms) * 1e-3
