"""Open a logbook, make daily copies, and repair a damaged file.

The folder ``logbook-copies`` beside the logbook holds a checked copy of each of the last ``COPIES`` days with
practice, made by SQLite's online backup. Folder and copies are named after the logbook, so that two logbooks in one
folder do not mix. A damaged logbook is renamed, never deleted; the newest good copy replaces it, and readable trials
of the damaged file are added.

Checking every page takes seconds after years of practice. A large file is checked with its daily copy, or after a
failed read (marked by ``-suspect``); otherwise only its length is checked.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from exercises.logbook.file import BESIDE, MAGIC, NOT_READ, check_header, cut_off, keep_copy, suspect
from exercises.logbook.schema import APPLICATION_ID, SHAPE, shape
from exercises.logbook.store import BUSY_S, FILE_NAME, Logbook
from synth.base.errors import Trouble
from synth.base.files import make_folder
from synth.base.folders import data_folder
from synth.base.words import Say, Template

COPIES = 7
# A file up to this size is checked completely at every start: some 30 ms.
ALWAYS_CHECKED_BYTES = 8_000_000

RESTORED = Template(
    "opening.restored",
    "The logbook was damaged and was set aside as {aside}. The copy of {day} was opened: {kept} trials are kept, the"
    " last of {last}; {saved} later ones were still readable and were added. Others since then may be missing.",
)
MISSING = Template(
    "opening.missing",
    "The logbook's file was missing. The copy of {day} was opened: {kept} trials are kept, the last of {last}."
    " Later ones may be missing.",
)
STARTED_ANEW = Template(
    "opening.started_anew",
    "The logbook was damaged and was set aside as {aside}. There is no good copy of it, so a new one was started;"
    " {saved} trials were still readable and were added. Others may be missing.",
)
IN_USE = Template("opening.in_use", "{path}: another program writes the logbook. Close the other one and try again.")
READ_ONLY = Template(
    "opening.read_only", "{path}: the logbook is damaged, and may not be written: it cannot be mended here."
)
NOT_MENDED = Template("opening.not_mended", "{path}: the logbook is damaged and cannot be mended now ({why}).")
NO_COPY = Template("opening.no_copy", "Today's copy of the logbook could not be made: {why}")
FOUND_DAMAGED = Template(
    "opening.found_damaged",
    "The logbook is damaged in places. What is practised now is kept; start the program again to have it mended.",
)


@dataclass(frozen=True, slots=True)
class Opened:
    """An open logbook, and a message for the learner or None."""

    logbook: Logbook
    message: Say | None = None


def open_logbook(path: str | Path | None, now: datetime, *, copy: bool = True, busy_s: float = BUSY_S) -> Opened:
    """Open the logbook (None: the learner's own), repairing it from a copy if it is damaged.

    With ``copy`` the day's copy is made if it is due; a window does that later, by ``daily_copy``. Raises
    ``Trouble`` as ``Logbook.open``; the file is then unchanged.
    """
    path = data_folder() / FILE_NAME if path is None else Path(path)
    message = None
    gone = lost(path) and bool(copies(path))
    if not gone:
        check_header(path)  # a foreign file is reported and left alone
    if gone or damaged(path):
        message = _mend(path, now)
    logbook = Logbook.open(path, busy_s=busy_s)
    if copy and message is None:
        message = daily_copy(path, now)
    return Opened(logbook, message)


def writable(path: Path) -> bool:
    """Whether a logbook's file and folder may be written: SQLite writes beside it even to read."""
    return not path.exists() or (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK))


@contextmanager
def reading(path: Path) -> Iterator[Logbook]:
    """Open a logbook for reading; a copy of it where it may not be written. ``Trouble`` as for ``Logbook.open``."""
    if writable(path):
        with Logbook.open(path) as logbook:
            yield logbook
        return
    check_header(path)
    with tempfile.TemporaryDirectory(prefix="tallybar-") as folder:
        copy = Path(folder) / path.name
        # Copied without a lock: only valid if nobody wrote meanwhile.
        before = _times(path)
        try:
            _copy_whole(path, copy)
            log = path.with_name(f"{path.name}-wal")
            if log.exists():
                _copy_whole(log, copy.with_name(log.name))
        except OSError as slip:
            raise Trouble(NOT_READ(path=path, why=slip.strerror)) from slip
        if _times(path) != before:
            raise Trouble(IN_USE(path=path))
        if damaged(copy):
            raise Trouble(READ_ONLY(path=path))
        with Logbook.open(copy) as logbook:
            yield logbook


def _times(path: Path) -> list[tuple[int, int]]:
    files = [each for ending in ("", "-wal") if (each := path.with_name(path.name + ending)).exists()]
    return [((stat := each.stat()).st_mtime_ns, stat.st_size) for each in files]


def lost(path: Path) -> bool:
    """Whether there is no file, or one without a database header."""
    if not path.exists():
        return True
    if not path.is_file():
        return False
    with suppress(OSError), path.open("rb") as file:
        return len(head := file.read(100)) < 100 or not head.startswith(MAGIC)
    return False


def damaged(path: Path) -> bool:
    """Whether a logbook's file is truncated or, where it is checked, its pages are inconsistent."""
    if not path.is_file() or path.stat().st_size == 0:
        return False
    if cut_off(path):
        # An interrupted checkpoint looks truncated too; the write-ahead log has the rest.
        return not (path.with_name(path.name + "-wal").exists() and sound(path))
    if not suspect(path).exists() and path.stat().st_size > ALWAYS_CHECKED_BYTES:
        return False
    return not sound(path)


def sound(path: Path) -> bool:
    """Whether SQLite finds every page consistent. A file locked by another program passes."""
    try:
        with closing(sqlite3.connect(path, timeout=1.0)) as file:
            told: list[tuple[str]] = file.execute("PRAGMA quick_check(1)").fetchall()
            return told == [("ok",)]
    except sqlite3.OperationalError:
        return True  # locked or unreadable, not damaged: reported when opened
    except sqlite3.DatabaseError as slip:
        return slip.sqlite_errorcode & 0xFF != sqlite3.SQLITE_CORRUPT


def copies(path: Path) -> list[Path]:
    """Daily copies of a logbook, newest first."""
    name = re.compile(rf"{re.escape(path.stem)}-\d{{4}}-\d\d-\d\d{re.escape(path.suffix)}")
    return sorted((each for each in _folder(path).glob("*") if name.fullmatch(each.name)), reverse=True)


def copy_of(path: Path, now: datetime) -> Path:
    """Path of a day's copy: ``logbook-copies/logbook-2030-05-01.sqlite3`` for ``logbook.sqlite3``."""
    return _folder(path) / f"{path.stem}-{now:%Y-%m-%d}{path.suffix}"


def _folder(path: Path) -> Path:
    return path.with_name(f"{path.stem}-copies")


def daily_copy(path: Path, now: datetime) -> Say | None:
    """Make the day's copy unless it exists, and drop the oldest beyond ``COPIES``; returns a message or None.

    Opens the file itself, so it may run in another thread. Copies are dropped only after a newer one was checked.
    """
    goal = copy_of(path, now)
    if goal.exists() or not path.exists():
        return None
    try:
        return copy_checked(path, goal)
    except Trouble as trouble:
        return NO_COPY(why=str(trouble))


def copy_checked(path: Path, goal: Path) -> Say | None:
    """Copy a logbook to ``goal`` if the copy is sound, else return a message for the learner. Raises ``Trouble``."""
    make_folder(goal.parent)
    fresh = goal.with_name(f"{goal.name}.new")
    try:
        keep_copy(path, fresh)
        if not sound(fresh):
            suspect(path).touch()
            return FOUND_DAMAGED()
        fresh.replace(goal)
        for old in copies(path)[COPIES:]:
            old.unlink()
    except OSError as slip:
        raise Trouble(f"{goal.parent} cannot be written ({slip.strerror}).") from slip
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    return None


@contextmanager
def checked(path: Path) -> Iterator[Path]:
    """Yield a temporary copy of ``path``, checked and migrated to the current version.

    Raises ``Trouble`` where ``path`` is no sound logbook. ``path`` is only read; it must not be open in this
    process.
    """
    if not path.exists():
        raise Trouble(f"{path}: there is no such copy")
    check_header(path)
    if cut_off(path) or not sound(path):
        raise Trouble(f"{path}: this copy is damaged; the logbook was left as it is")
    with tempfile.TemporaryDirectory(prefix="tallybar-") as folder:
        copy = Path(folder) / "copy.sqlite3"
        keep_copy(path, copy)
        if not _whole(copy):
            raise Trouble(f"{path}: this is no whole logbook; the logbook was left as it is")
        yield copy


def _whole(copy: Path) -> bool:
    """Whether a file is a complete logbook; an older one is migrated."""
    try:
        with closing(sqlite3.connect(copy)) as file:
            ((application,),) = file.execute("PRAGMA application_id")
            ((version,),) = file.execute("PRAGMA user_version")
        if application != APPLICATION_ID or not version:
            return False  # opening an empty file would create a logbook in it
        with Logbook.open(copy) as logbook:
            return logbook.rows("PRAGMA integrity_check(1)") == [("ok",)] and shape() <= set(logbook.rows(SHAPE))
    except (sqlite3.Error, Trouble):
        return False


def _mend(path: Path, now: datetime) -> Say:
    """Set a damaged file aside, replace it by the newest good copy and add readable trials."""
    aside = path.with_name(f"{path.stem}-damaged-{now:%Y-%m-%d-%H%M%S}{path.suffix}")
    good = next((each for each in copies(path) if sound(each)), None)
    fresh = path.with_name(f".{path.name}.mended")
    try:
        missing = _exchange(path, aside, good, fresh)
    except (OSError, Trouble) as slip:
        why = slip.says if isinstance(slip, Trouble) else slip.strerror or slip
        raise Trouble(NOT_MENDED(path=path, why=why)) from slip
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    with Logbook.open(path) as logbook:
        kept, last = logbook.count(), logbook.trials(1)
        saved = 0 if missing else sum(_add(logbook, aside, id) for id in _ids(aside, last[0].id or 0 if last else 0))
    if good is None:
        return STARTED_ANEW(aside=aside.name, saved=saved)
    told = {"day": good.stem[-len("2030-05-01") :], "kept": kept, "last": last[0].when[:10] if last else "-"}
    return MISSING(**told) if missing else RESTORED(aside=aside.name, saved=saved, **told)


def _exchange(path: Path, aside: Path, good: Path | None, fresh: Path) -> bool:
    """Replace ``path`` by a copy of ``good`` or a new logbook, keeping it as ``aside``; whether it was missing.

    Everything that needs disk space comes first: a failure there changes nothing.
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


def _ids(aside: Path, after: int) -> list[int]:
    """Row numbers after ``after`` that can be read from a damaged file."""
    found: list[int] = []
    with suppress(sqlite3.Error), closing(sqlite3.connect(aside)) as file:
        for (id,) in file.execute("SELECT id FROM trials NOT INDEXED WHERE id > ? ORDER BY id", (after,)):
            found.append(int(id))
    return found


def _add(logbook: Logbook, aside: Path, id: int) -> bool:
    """Add one trial of a damaged file if it is valid; returns whether it was added."""
    try:
        record = Logbook.peek(aside, id)
        return bool(record and logbook.add_all([record]))
    except (sqlite3.Error, ValueError, TypeError, Trouble):
        return False
