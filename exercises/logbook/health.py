"""Integrity of a logbook file: pages, tables, every trial's row, and the daily sums."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import suppress
from enum import StrEnum
from pathlib import Path

from exercises.logbook.file import BROKEN, suspect
from exercises.logbook.foreign import Foreign, own
from exercises.logbook.schema import SCHEMA_VERSION, SHAPE, SUMMED, TALLIES, folded, shape
from synth.base.errors import Trouble
from synth.base.files import write_text

# SQLite errors that do not mean damage: a locked file, missing rights, a full disk. Opening reports them.
NO_DAMAGE = {
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_AUTH,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_NOMEM,
}


# Files up to this size are checked row by row at every start unless sealed; hashing one takes some 10 ms.
SEALED_BYTES = 8_000_000


class Health(StrEnum):
    """State of a file, in order of severity."""

    SOUND = "sound"
    SUMS = "sums"  # only derived values are wrong
    ROWS = "rows"  # a trial is unreadable
    DAMAGED = "damaged"  # pages or tables are wrong


def examine(path: Path, *, rows: bool = True) -> Health:
    """State of a logbook file; ``rows``: check trials and sums, too (some 0.1 ms a trial).

    A file that is locked or unreadable for lack of rights counts as sound.
    """
    try:
        with own(path) as book:
            return _examine(book, rows)
    except BROKEN as slip:
        code = getattr(slip, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
        return Health.SOUND if code in NO_DAMAGE else Health.DAMAGED
    except Trouble:
        return Health.DAMAGED


def _examine(book: Foreign, rows: bool) -> Health:
    connection = book.connection
    # The full check includes the indices, which the screens use; it takes twice as long.
    check = "PRAGMA integrity_check(1)" if rows else "PRAGMA quick_check(1)"
    if connection.execute(check).fetchall() != [("ok",)]:
        return Health.DAMAGED
    if folded(connection.execute(SHAPE)) != shape(book.version):
        return Health.DAMAGED
    if not rows:
        return Health.SOUND
    if not book.has_names() or any(found.record is None for found in book.trials()):
        return Health.ROWS
    return Health.SOUND if book.version < SCHEMA_VERSION or _sums_hold(connection) else Health.SUMS


def _sums_hold(connection: sqlite3.Connection) -> bool:
    """Whether ``days`` equals the sums of its trials, and every sum is within bounds."""
    tallies = ", ".join(TALLIES)
    columns = ", ".join(name for (name,) in connection.execute("SELECT name FROM pragma_table_info('days')"))
    wrong = connection.execute(
        f"""
        WITH summed ({columns}) AS ({SUMMED}),
            missing AS (SELECT {tallies} FROM summed EXCEPT SELECT {tallies} FROM days),
            extra AS (SELECT {tallies} FROM days EXCEPT SELECT {tallies} FROM summed)
        SELECT (SELECT count(*) FROM missing) + (SELECT count(*) FROM extra) + (
            SELECT count(*) FROM days
            WHERE max(abs(spread_ms), spread_ms2, abs(bias_ms), bias_ms2, sound_s, spent_s) NOT BETWEEN 0 AND 1e18
        )
        """
    ).fetchone()
    return bool(wrong == (0,))


def seal(path: Path) -> None:
    """Record the hash of a closed, sound logbook, so that the next start skips checking its rows."""
    with suppress(OSError, Trouble):
        if not (_log(path).exists() or suspect(path).exists() or path.stat().st_size > SEALED_BYTES):
            write_text(_seal(path), _digest(path))


def sealed(path: Path) -> bool:
    """Whether a file is byte for byte the one that was sealed."""
    with suppress(OSError):
        return not _log(path).exists() and _seal(path).read_bytes() == _digest(path).encode()
    return False


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _seal(path: Path) -> Path:
    return path.with_name(f"{path.name}-sealed")


def _log(path: Path) -> Path:
    return path.with_name(f"{path.name}-wal")
