"""A learner's folders with good files in them, and the rules that hold whatever a command is given.

``Fell`` is raised where one of them does not: a trace, a control character in the output, a wrong exit status, more
than one line of trouble, more than a second of the processor or 500 MB, a file that should have stayed as it was.
"""

import io
import json
import os
import resource
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from contextlib import closing, contextmanager, redirect_stderr, redirect_stdout, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from random import Random
from typing import Any
from uuid import UUID

LONGEST_S, HANGS_S, MOST_MB = 1.0, 20.0, 500
LONGEST_TROUBLE = 1000
NOW = datetime(2030, 5, 2, 18, tzinfo=UTC)
LEARNER = "me"
LOGBOOK = "logbook.sqlite3"
# What a command's exit status says of what it was given.
NAMES = {0: "accepted", 2: "refused"}


class Fell(AssertionError):
    """A rule that did not hold; the text is its kind, short, so that kinds can be counted."""


class Hangs(BaseException):
    """Raised by the alarm; nothing in the program catches it."""


@dataclass(frozen=True)
class Ran:
    """What a command came to."""

    status: int
    out: str
    err: str


def where(error: BaseException) -> str:
    """The innermost place in the program where an error came up."""
    frames = [each for each in traceback.extract_tb(error.__traceback__) if "/tests/" not in each.filename]
    own = [each for each in frames if "/.venv/" not in each.filename and "/lib/python" not in each.filename]
    last = (own or frames or traceback.extract_tb(error.__traceback__))[-1]
    return f"{Path(last.filename).name}:{last.name}"


@contextmanager
def no_hang() -> Iterator[None]:
    """Raises ``Hangs`` in a block that takes much too long, be it waiting or busy."""

    def told(*_: object) -> None:
        raise Hangs

    before = signal.signal(signal.SIGALRM, told)
    signal.setitimer(signal.ITIMER_REAL, HANGS_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


@contextmanager
def held(what: str) -> Iterator[None]:
    """The rules of time, memory and traces for a block."""
    begun_s, idle_mb = time.process_time(), memory_mb("VmRSS")
    with suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5")  # the high-water mark begins anew
    try:
        with no_hang():
            yield
    except Fell:
        raise
    except Hangs as slip:
        raise Fell(f"{what}: hangs at {where(slip)}") from slip
    except (Exception, SystemExit, KeyboardInterrupt) as slip:
        raise Fell(f"{what}: {type(slip).__name__} at {where(slip)}") from slip
    taken_s, more_mb = time.process_time() - begun_s, memory_mb("VmHWM") - idle_mb
    if taken_s > LONGEST_S:
        raise Fell(f"{what}: takes longer than {LONGEST_S:g} s")
    if more_mb > MOST_MB:
        raise Fell(f"{what}: takes more than {MOST_MB} MB")


def memory_mb(name: str) -> float:
    """A figure of this process as the kernel has it (proc(5))."""
    with suppress(OSError, StopIteration), Path("/proc/self/status").open() as file:
        return next(int(line.split()[1]) / 1024 for line in file if line.startswith(name))
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 if name == "VmHWM" else 0.0


def clean(text: str) -> bool:
    """Whether a text holds no control characters but line feeds."""
    return all(line.isprintable() for line in text.split("\n"))


@cache
def pool() -> tuple[Any, ...]:
    """Two records of every drill: answered in several ways, busy, void, calibrated."""
    from app.demo.simulated import LEARNERS, simulate
    from exercises.drills import drills
    from exercises.trial.kept.record import record
    from exercises.trial.modes import Mode
    from exercises.trial.trial import Kind

    found = []
    names = sorted(LEARNERS.keys() - {"silent"})
    for number, drill in enumerate(
        each for _ in range(2) for each in drills().values() if each.kind is not Kind.NONE
    ):
        trial = drill.make(1 + number % len(drill.rungs), number)
        answer = simulate(names[number % len(names)], trial)
        void = "stall 312; underflow" if number % 9 == 8 else None
        lag = {
            "method": "tapping",
            "source": "key",
            "lag_ms": 40.5,
            "error_ms": 1.5,
            "taps": 30,
            "when": "2030-04-01",
        }
        found.append(
            record(
                trial,
                answer,
                drill.mark(trial, answer, uncertainty_ms=0.4, calibrated=number % 2 == 0),
                when=NOW - timedelta(days=number // 3, minutes=number),
                void=void,
                learner=LEARNER,
                device=("Invented speakers", "Invented headphones")[number % 2],
                calibration=lag if number % 2 == 0 else None,
                mode=Mode.BUSY if number % 7 == 3 else Mode.PLAIN,
            )
        )
    return tuple(found)


def numbered(records: Any, first: int) -> list[Any]:
    """The records with names of their own."""
    from dataclasses import replace

    return [replace(each, uid=UUID(int=first + number).hex) for number, each in enumerate(records)]


ROWS = """
    SELECT hex(uid), at, learners.name, device, calibration, drill, rung, seed, version, mode, groove, tempo_bpm,
        hex(taps), value, result, void, simulated, sound_s, spent_s, offset_min
    FROM trials JOIN learners ON learners.id = trials.learner JOIN benches ON benches.id = trials.bench
"""
# The column of the learner's name, the uid aside.
NAME = 1


def rows(path: Path) -> dict[str, tuple[Any, ...]]:
    """Every trial of a logbook, uid -> its values, without the program."""
    with closing(sqlite3.connect(path)) as connection:
        connection.text_factory = lambda data: data.decode("utf-8", "backslashreplace")
        return {uid: tuple(values) for uid, *values in connection.execute(ROWS)}


class World:
    """The folders of one worker. To be used as a context manager: the environment is put back at its end."""

    def __init__(self, folder: Path) -> None:
        self.home, self.out, self.temporary = folder / "home", folder / "out", folder / "temporary"
        self.made = folder / "made"
        self._before: tuple[str | None, str | None] = (None, None)
        self._encoding = "utf-8"
        self._stamps: dict[str, tuple[int, ...]] = {}

    def __enter__(self) -> "World":
        self._before = os.environ.get("TALLYBAR_HOME"), tempfile.tempdir
        os.environ["TALLYBAR_HOME"] = str(self.home)
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        for folder in (self.home, self.out, self.temporary, self.made):
            folder.mkdir(parents=True)
        tempfile.tempdir = str(self.temporary)
        self._application = offscreen()  # held, and made before any command makes a smaller one
        self._make()
        return self

    def __exit__(self, *_: object) -> None:
        home, tempfile.tempdir = self._before
        os.environ.pop("TALLYBAR_HOME")
        if home is not None:
            os.environ["TALLYBAR_HOME"] = home

    def _make(self) -> None:
        """The good files, which every case begins with; and others that a case may take."""
        from app.practice.plan.making_plan import make_plan
        from app.practice.plan.today import Today
        from app.settings import Settings, text_of
        from exercises.drills import drills
        from exercises.logbook.copies import daily_copy
        from exercises.logbook.store import Logbook
        from exercises.logbook.transfer import export
        from exercises.trial.trial import Kind
        from synth.base.files import write_json

        path = self.home / LOGBOOK
        with Logbook.open(path) as logbook:
            logbook.add_all(numbered(pool()[:10], 1))
        daily_copy(path, NOW)
        made, _ = make_plan(path, LEARNER, NOW, 10)
        self.plan = Today(made).to_json()
        write_json(
            self.home / "today.json",
            {"format": "tallybar plan", "version": 1, "day": NOW.date().isoformat(), "plans": {LEARNER: self.plan}},
        )
        self.settings = text_of(Settings(first_run_done=True))
        (self.home / "settings.toml").write_text(self.settings, encoding="utf-8")
        setup = {"device": "Invented speakers", "host": "ALSA", "latency_ms": 80, "sample_rate_hz": 48_000}
        lag = {
            "method": "tapping",
            "lag_ms": 40.5,
            "error_ms": 1.5,
            "spread_ms": 12.0,
            "taps": 30,
            "when": "2030-04-01",
        }
        self.calibrations: Any = {
            "version": 1,
            "calibrations": [
                lag | {"setup": setup | {"source": source, "input_name": name}}
                for source, name in (("key", ""), ("midi", "Pad"), ("mic", "Invented microphone"))
            ],
        }
        write_json(self.home / "calibrations.json", self.calibrations)
        self.pristine = {
            str(each.relative_to(self.home)): each.read_bytes()
            for each in self.home.rglob("*")
            if each.is_file() and each.name.startswith((LOGBOOK[:7], "today", "settings", "calibrations"))
        }
        self.old = rows(path)
        # Beside the folders of the learner: a whole other logbook, as lines too, and the trial of every drill.
        self.other = self.made / "other.sqlite3"
        with Logbook.open(self.other) as logbook:
            logbook.add_all(numbered(pool(), 1000))
            export(logbook, self.made / "other.jsonl")
        self.head, *self.lines = (self.made / "other.jsonl").read_bytes().splitlines()
        self.trials = []
        for drill in drills().values():
            if drill.kind is not Kind.NONE:
                trial = drill.make(1, 5)
                self.trials.append((trial, trial.to_json(48_000)))

    def begin(self) -> None:
        """Every file as it was at first, and nothing else."""
        self._encoding = "utf-8"
        for folder in (self.out, self.temporary):
            for each in folder.iterdir():
                remove(each)
        known = {self.home / name for name in self.pristine}
        for each in self.home.iterdir():
            if each.is_file() and not each.is_symlink() and each in known:
                continue
            if each.name != "logbook-copies":
                remove(each)
        for name, data in self.pristine.items():
            path = self.home / name
            if self._stamp(name) != self._stamps.get(name, ()):
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(data)
                self._stamps[name] = self._stamp(name)
        for each in (self.home / "logbook-copies").iterdir():
            if str(each.relative_to(self.home)) not in self.pristine:
                remove(each)

    def _stamp(self, name: str) -> tuple[int, ...]:
        """What tells that a file was written: to read them all takes most of a short case."""
        with suppress(OSError):
            found = (self.home / name).stat()
            return found.st_ino, found.st_size, found.st_mtime_ns, found.st_ctime_ns
        return ()

    def put(self, name: str, data: bytes) -> Path:
        """A file of the case."""
        path = self.out / name
        path.write_bytes(data)
        return path

    def speak(self, encoding: str) -> None:
        """The encoding of the terminal from here on."""
        self._encoding = encoding

    def run(self, *words: object, status: int | None = None) -> Ran:
        """Run a command as from the shell, by all the rules; with ``status`` it must come to that."""
        from app.cli.commands import main

        what = " ".join(str(word) for word in words[:1] if str(word).isalpha())
        if what == "logbook":
            what += " " + next((str(word) for word in words[1:] if str(word) in SUBCOMMANDS), "")
        out, err = (io.TextIOWrapper(io.BytesIO(), encoding=self._encoding, newline="\n") for _ in range(2))
        with held(what), redirect_stdout(out), redirect_stderr(err):
            try:
                came = main([str(word) for word in words])
            except SystemExit as end:  # of --help alone
                came = 0 if end.code in (None, 0) else 1
        told = []
        for stream in (out, err):
            stream.flush()
            told.append(stream.buffer.getvalue().decode(self._encoding))  # type: ignore[attr-defined]
        ran = Ran(came, *told)
        if came not in (0, 2):
            raise Fell(f"{what}: status {came}")
        if not clean(ran.out + ran.err):
            raise Fell(f"{what}: a control character in the output")
        if (
            came == 2
            and (ran.err.count("\n") != 1 or len(ran.err) > LONGEST_TROUBLE)
            and not ran.err.startswith("The ")
        ):
            raise Fell(f"{what}: trouble in {ran.err.count(chr(10))} lines of {len(ran.err)} characters")
        if "Traceback" in ran.err:  # of a thread
            raise Fell(f"{what}: a trace")
        if status is not None and came != status:
            raise Fell(f"{what}: status {came}: {ran.err[-120:].strip()}")
        return ran

    def settled(self, *changed: str) -> None:
        """Nothing of the learner's but what is named has another byte, and nothing half written is left anywhere."""
        for name, data in self.pristine.items():
            if name.startswith(changed or ("-",)) or self._stamp(name) == self._stamps[name]:
                continue
            if (self.home / name).read_bytes() != data:
                raise Fell(f"{name} has changed")
        if left := [*self.temporary.iterdir(), *self.home.glob(".*"), *self.out.glob(".*-*")]:
            raise Fell(f"left behind: {left[0].name[:12]}")

    def old_rows_hold(self, *, renamed: bool = False) -> None:
        """The learner's own trials are as they were; ``renamed``: but for the name, which stands in all of them."""
        now, old = rows(self.home / LOGBOOK), self.old
        if renamed:
            names = {values[NAME] for uid, values in now.items() if uid in old}
            old = {uid: (*values[:NAME], *names, *values[NAME + 1 :]) for uid, values in old.items()}
        if any(now.get(uid) != values for uid, values in old.items()):
            raise Fell("old rows have changed")


SUBCOMMANDS = (
    "export",
    "backup",
    "restore",
    "import",
    "summary",
    "mark-again",
    "rename",
    "join",
    "separate",
    "delete",
)


def remove(path: Path) -> None:
    """Delete a file, a link or a folder."""
    if path.is_dir() and not path.is_symlink():
        path.chmod(0o700)
        shutil.rmtree(path)
    else:
        path.unlink()


def draw_of(surface: str, seed: int, number: int) -> Random:
    """The generator of a case; the same words make the same case."""
    return Random(f"{surface} {seed} {number}")


def jsonl(lines: list[bytes], head: Any = None) -> bytes:
    """Lines of an export with a head before them."""
    first = {"format": "tallybar logbook", "version": 1, "trials": len(lines)} if head is None else head
    return b"\n".join([json.dumps(first).encode(), *lines, b""])


def offscreen() -> Any:
    """The application of this worker, made once."""
    from PySide6.QtWidgets import QApplication

    return QApplication.instance() or QApplication([sys.argv[0]])
