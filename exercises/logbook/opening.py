"""Open a logbook; a damaged one is repaired first.

Checking every page takes seconds after years of practice. A large file is checked with its daily copy, or after a
failed read (marked by ``-suspect``); otherwise only its length is checked.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from exercises.logbook.copies import copies, daily_copy
from exercises.logbook.file import (
    MAGIC,
    check_header,
    copy_with_log,
    cut_off,
    suspect,
    unknown_format,
)
from exercises.logbook.foreign import foreign
from exercises.logbook.health import SEALED_BYTES, Health, examine, sealed
from exercises.logbook.joining import add_all
from exercises.logbook.mending import mend
from exercises.logbook.store import BUSY_S, FILE_NAME, Logbook, Watched
from synth.base.border import open_file, shown
from synth.base.errors import Trouble
from synth.base.folders import data_folder, tighten
from synth.base.temporary import sweep, temporary_folder
from synth.base.words import Say, Template

# Accepted distance of the last trial from now: ahead by time zones, back by a long break.
AHEAD, LONGEST_BREAK = timedelta(days=1), timedelta(days=5 * 365)

READ_ONLY = Template(
    "opening.read_only", "{path}: the logbook is damaged, and may not be written: it cannot be mended here."
)
CLOCK = Template(
    "opening.clock",
    "The last trial in the logbook is of {day}, and by this computer today is {today}: please check its clock.",
)


@dataclass(frozen=True, slots=True)
class Opened:
    """An open logbook, and messages for the learner."""

    logbook: Logbook
    messages: tuple[Say, ...] = ()


def open_logbook(path: str | Path | None, now: datetime, *, copy: bool = True, busy_s: float = BUSY_S) -> Opened:
    """Open the logbook (None: the learner's own), repairing it from a copy if it is damaged.

    With ``copy`` the day's copy is made if it is due; a window does that later, by ``daily_copy``. Raises
    ``Trouble`` as ``Logbook.open``; the file is then unchanged.
    """
    path = data_folder() / FILE_NAME if path is None else Path(path)
    messages: tuple[Say, ...] = ()
    tighten()
    sweep()
    gone = lost(path) and bool(copies(path))
    if not gone:
        check_header(path)  # another program's file is reported and left alone
    found = health(path)
    if gone or found in (Health.ROWS, Health.DAMAGED):
        messages = mend(path, now)
    logbook = Logbook.open(path, busy_s=busy_s)
    if found is Health.SUMS:
        logbook.rebuild_sums()
    if copy and not messages and (say := daily_copy(path, now)) is not None:
        messages = (say,)
    return Opened(logbook, (*messages, *_clock_says(logbook, now)))


def _clock_says(logbook: Logbook, now: datetime) -> tuple[Say, ...]:
    """A message if the computer's clock, now or at the last trial, must be wrong."""
    with suppress(Trouble):
        for last in logbook.trials(1):
            away = datetime.fromisoformat(last.when) - now
            if not -LONGEST_BREAK < away < AHEAD:
                return (CLOCK(day=last.when[:10], today=f"{now:%Y-%m-%d}"),)
    return ()


def writable(path: Path) -> bool:
    """Whether a logbook's file and folder are writable: SQLite writes beside it even to read."""
    return not path.exists() or (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK))


@contextmanager
def reading(path: Path) -> Iterator[Logbook]:
    """Open a logbook for reading, or a copy of it if it is not writable. ``Trouble`` as for ``Logbook.open``."""
    if writable(path):
        with Logbook.open(path) as logbook:
            yield logbook
        return
    check_header(path)
    with temporary_folder() as folder:
        copy = folder / path.name
        copy_with_log(path, copy)
        if health(copy) in (Health.ROWS, Health.DAMAGED):
            raise Trouble(READ_ONLY(path=path))
        with Logbook.open(copy) as logbook:
            yield logbook


def lost(path: Path) -> bool:
    """Whether the file is missing or has no database header."""
    if not path.exists():
        return True
    if not path.is_file():
        return False
    with suppress(OSError, Trouble), open_file(path) as file:
        return len(head := file.read(100)) < 100 or not head.startswith(MAGIC)
    return False


def health(path: Path) -> Health:
    """State of a logbook file; a large one is read only for a reason (see above)."""
    if not path.is_file() or path.stat().st_size == 0:
        return Health.SOUND
    if unknown_format(path):
        return Health.DAMAGED
    if cut_off(path):
        # An interrupted checkpoint also looks like this; then the write-ahead log has the rest.
        if not path.with_name(path.name + "-wal").exists():
            return Health.DAMAGED
    elif not suspect(path).exists() and path.stat().st_size > SEALED_BYTES:
        return Health.SOUND
    return Health.SOUND if sealed(path) else examine(path)


@contextmanager
def rebuilt(path: Path, watched: Watched = iter) -> Iterator[Path]:
    """A new logbook of the present version with the contents of another, deleted after the block.

    Every row is checked and written anew, so nothing else of an untrusted file is taken over. ``path`` is only read;
    ``Trouble`` if it is missing or not a complete logbook.
    """
    if not path.exists():
        raise Trouble(f"{shown(path)}: there is no such copy")
    with temporary_folder() as folder, foreign(path) as other:
        fresh = folder / "fresh.sqlite3"
        with Logbook.open(fresh) as logbook:
            add_all(logbook, other.learners(), joined=True)
            logbook.merge(watched(other.pairs()))
        yield fresh
