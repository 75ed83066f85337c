"""Open a logbook and repair a damaged file.

A damaged logbook is renamed, never deleted; the good daily copy with most trials replaces it, and readable trials of
the damaged file are added.

Checking every page takes seconds after years of practice. A large file is checked with its daily copy, or after a
failed read (marked by ``-suspect``); otherwise only its length is checked.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from exercises.logbook.copies import best_copies, copies, daily_copy
from exercises.logbook.file import (
    BESIDE,
    BROKEN,
    MAGIC,
    check_header,
    copy_with_log,
    cut_off,
    suspect,
    unknown_format,
)
from exercises.logbook.foreign import Found, foreign, own
from exercises.logbook.health import SEALED_BYTES, Health, examine, sealed
from exercises.logbook.store import BUSY_S, FILE_NAME, Logbook, Watched
from exercises.trial.record import TrialRecord
from synth.base.border import open_file, shown
from synth.base.errors import Trouble
from synth.base.files import unused, write_text
from synth.base.folders import data_folder, tighten
from synth.base.reasons import reason
from synth.base.temporary import sweep, temporary_folder
from synth.base.words import Say, Template

# Accepted distance of the last trial from now: ahead by time zones, back by a long break.
AHEAD, LONGEST_BREAK = timedelta(days=1), timedelta(days=5 * 365)

RESTORED = Template(
    "opening.restored",
    "The logbook was damaged and was set aside as {aside}. The copy of {day} was opened. Trials "
    "kept: {kept}, the last of {last}. Later trials that could still be read and were added: "
    "{saved}. Others since then may be missing.",
)
MISSING = Template(
    "opening.missing",
    "The logbook's file was missing. The copy of {day} was opened. Trials kept: {kept}, the last "
    "of {last}. Later trials may be missing.",
)
STARTED_ANEW = Template(
    "opening.started_anew",
    "The logbook was damaged and was set aside as {aside}. There is no good copy of it, so a new "
    "logbook was started. Trials that could still be read and were added: {saved}. Others may be "
    "missing.",
)
READ_ONLY = Template(
    "opening.read_only", "{path}: the logbook is damaged, and may not be written: it cannot be mended here."
)
NOT_MENDED = Template("opening.not_mended", "{path}: the logbook is damaged and cannot be mended now ({why}).")
SET_ASIDE = Template(
    "opening.set_aside",
    "Trials that could not be read: {n}. They are kept in {file}, with what is wrong in each "
    "line. Put right there, they come back with 'logbook import'.",
)
NOT_SET_ASIDE = Template(
    "opening.not_set_aside", "Trials that could not be read: {n}. They could not be kept apart either: {why}"
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
        messages = _mend(path, now)
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
            logbook.add_learners(other.learners())
            logbook.merge(watched(other.pairs()))
        yield fresh


def _mend(path: Path, now: datetime) -> tuple[Say, ...]:
    """Rename a damaged file, put the best copy in its place, and add every trial that is still readable."""
    aside = unused(path.with_name(f"{path.stem}-damaged-{now:%Y-%m-%d-%H%M%S}{path.suffix}"))
    good = next(iter(best_copies(path)), None)
    fresh = path.with_name(f".{path.name}.mended")
    try:
        missing = _exchange(path, aside, good, fresh)
    except (OSError, Trouble) as slip:
        why = slip.says if isinstance(slip, Trouble) else reason(slip)
        raise Trouble(NOT_MENDED(path=path, why=why)) from slip
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    with Logbook.open(path) as logbook:
        kept, last = logbook.count(), logbook.trials(1)
        saved, unfit = (0, []) if missing else _rescue(aside, logbook)
    beside = set_aside(path, unfit) if unfit else ()
    if good is None:
        return STARTED_ANEW(aside=aside.name, saved=saved), *beside
    fields = {"day": good.stem[-len("2030-05-01") :], "kept": kept, "last": last[0].when[:10] if last else "-"}
    return MISSING(**fields) if missing else RESTORED(aside=aside.name, saved=saved, **fields), *beside


def _rescue(aside: Path, logbook: Logbook) -> tuple[int, list[Found]]:
    """Add the missing trials of a damaged file; returns their number and the invalid rows."""
    unfit: list[Found] = []

    def pairs(found: Iterable[Found]) -> Iterator[tuple[TrialRecord, str | None]]:
        for each in found:
            if each.record is None:
                unfit.append(each)
            else:
                yield each.record, each.sitting

    with suppress(*BROKEN, Trouble), own(aside) as damaged:
        logbook.add_learners(damaged.learners())
        return logbook.merge(pairs(damaged.rescued())), [each for each in unfit if not logbook.has(each.uid)]
    return 0, unfit


def set_aside(path: Path, unfit: Iterable[Found]) -> tuple[Say, ...]:
    """Write invalid rows to a file beside the logbook, in export format; returns messages."""
    goal = unused(path.with_name(f"{path.stem}-set-aside.jsonl"))
    lines = [{"format": "tallybar logbook", "version": 1}, *(each.to_json() for each in unfit)]
    try:
        write_text(goal, "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines))
    except Trouble as trouble:
        return (NOT_SET_ASIDE(n=len(lines) - 1, why=trouble.says),)
    return (SET_ASIDE(n=len(lines) - 1, file=goal),)


def _exchange(path: Path, aside: Path, good: Path | None, fresh: Path) -> bool:
    """Replace ``path`` by a copy of ``good`` or a new logbook, kept as ``aside``; returns whether it was missing.

    Everything that needs disk space is done first, so that a failure there changes nothing.
    """
    if good is None:
        fresh.unlink(missing_ok=True)
        Logbook.open(fresh).close()
    else:
        _copy_whole(good, fresh)
    with fresh.open("rb+") as file:
        os.fsync(file.fileno())
    missing = not path.exists()
    if not missing:
        try:
            os.link(path, aside)
        except OSError:  # file system without hard links
            _copy_whole(path, aside)
    # The old write-ahead log goes first: it must not be applied to the new file.
    for ending in BESIDE:
        beside = path.with_name(path.name + ending)
        if beside.exists():
            beside.replace(aside.with_name(aside.name + ending))
    fresh.replace(path)
    suspect(path).unlink(missing_ok=True)
    return missing


def _copy_whole(source: Path, goal: Path) -> None:
    try:
        shutil.copyfile(source, goal)
    except OSError:
        goal.unlink(missing_ok=True)
        raise
