"""All that is found of a file, by a process of its own: grid, print, anchors, outline, title.

The process has the lowest priority, can be stopped within a moment, and can stand still; a crash ends it alone.
"""

import base64
import json
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from subprocess import TimeoutExpired
from typing import Any

from synth.base.arrays import Samples
from synth.base.border import fitted, open_file, shown
from synth.base.errors import Trouble
from synth.base.process import begun, ended
from synth.base.words import Say
from synth.catalogue.entry import GridEntry, plain_grid
from synth.catalogue.tags import one_line
from synth.recording.grid import Grid
from synth.recording.refusals import CRASHED, NO_PROCESS, PATIENCE

# s between looks whether the process takes too long.
LOOK_S = 1.0
# Longest time of an analysis in s: three hours of sound take three minutes, on a busy computer some times that.
PATIENCE_S = 1800.0
CODE = "from synth.catalogue.analysis import serve; serve(WORDS[0])"


@dataclass(frozen=True, slots=True)
class Found:
    """What is found of a file: ``sound`` and ``anchors`` are empty where it is too short for them."""

    grid: Grid
    rate_hz: int
    sound: bytes = b""
    anchors: bytes = b""
    title: str = ""
    artist: str = ""
    outline: bytes = b""


class Stopped(Exception):
    """The analysis was stopped."""


class Analysis:
    """A file that is being analysed, from when this is made. ``Trouble`` where there is no such file."""

    def __init__(self, path: Path | str, patience_s: float = PATIENCE_S) -> None:
        with open_file(path):  # what is no file at all is refused at once
            pass
        self.path, self._name = path, shown(path)
        self._patience_s = patience_s
        self._stopped = self._still = False
        try:
            self._process = begun(CODE, os.fspath(path), lowest=True)
        except OSError as slip:
            raise Trouble(NO_PROCESS(path=self._name, why=slip.strerror)) from None

    def found(self) -> Found:
        """What was found; waits for it.

        Raises ``Trouble`` where the file cannot be read, or the process crashes or takes too long, and ``Stopped``.
        """
        try:
            told, late = self._told()
        finally:
            ended(self._process)
        if self._stopped:
            raise Stopped
        try:
            return _from_plain(json.loads(told))
        except (ValueError, KeyError, TypeError):
            raise Trouble((PATIENCE if late else CRASHED)(path=self._name)) from None

    def _told(self) -> tuple[bytes, bool]:
        """What the process writes, and whether it was ended for taking too long; standing still takes no time."""
        left_s = self._patience_s
        while left_s > 0:
            step_s = min(LOOK_S, left_s)
            try:
                return self._process.communicate(timeout=step_s)[0], False
            except TimeoutExpired:
                left_s -= 0.0 if self._still else step_s
        self._process.kill()
        return self._process.communicate()[0], True

    def stop(self) -> None:
        """End it at once; ``found`` then raises ``Stopped``. From any thread."""
        self._stopped = True
        with suppress(OSError):
            self._process.kill()

    def stand_still(self, still: bool) -> bool:
        """Let it stand still or go on, from any thread; False where the system cannot do that."""
        if not hasattr(signal, "SIGSTOP"):
            return False
        self._still = still
        with suppress(OSError):
            self._process.send_signal(signal.SIGSTOP if still else signal.SIGCONT)
        return True


def found_of(path: Path | str) -> Found:
    """What is found of a file, by a process; waits for it. Raises ``Trouble``."""
    analysis = Analysis(path)
    try:
        return analysis.found()
    finally:
        analysis.stop()


def serve(path: str) -> None:
    """What the process does: writes what it found, or what went wrong, as one line of JSON."""
    try:
        told = _plain(analysed(path))
    except Trouble as trouble:
        told = {"trouble": trouble.says.to_json()}
    json.dump(told, sys.stdout)


def analysed(path: Path | str) -> Found:
    """All that is found of a file, in this process. Raises ``Trouble`` where it cannot be read."""
    from synth.catalogue.alignment import AnchorWriter
    from synth.catalogue.outline import OutlineWriter
    from synth.catalogue.prints import PrintWriter
    from synth.catalogue.tags import read_tags
    from synth.recording.finding.finder import find_grid  # numpy and the decoders: the process alone needs them
    from synth.recording.finding.onsets import RATE_HZ, hear
    from synth.recording.reading import read_mono

    rates: list[int] = []
    sound, anchors, outline = PrintWriter(RATE_HZ), AnchorWriter(), OutlineWriter(RATE_HZ)

    def heard(blocks: Iterator[Samples]) -> Iterator[Samples]:
        for block in blocks:
            sound.push(block)
            anchors.push(block)
            outline.push(block)
            yield block

    grid = find_grid(hear(heard(read_mono(path, RATE_HZ, rates.append))))
    return Found(grid, rates[0], sound.done(), anchors.done(), *read_tags(path), outline.done())


def _plain(found: Found) -> dict[str, Any]:
    return {
        "grid": plain_grid(found.grid),
        "rate_hz": found.rate_hz,
        "sound": base64.b64encode(found.sound).decode(),
        "anchors": base64.b64encode(found.anchors).decode(),
        "title": found.title,
        "artist": found.artist,
        "outline": base64.b64encode(found.outline).decode(),
    }


def _from_plain(told: dict[str, Any]) -> Found:
    if "trouble" in told:
        raise Trouble(Say.from_json(told["trouble"]))
    grid = fitted(told["grid"], GridEntry).grid()
    sound, anchors, outline = (base64.b64decode(told[name]) for name in ("sound", "anchors", "outline"))
    title, artist = one_line(told["title"]), one_line(told["artist"])
    return Found(grid, told["rate_hz"], sound, anchors, title, artist, outline)
