"""Whether a logbook can be worked with: its pages, its tables, every row of its trials, and the sums of them."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import suppress
from enum import StrEnum
from pathlib import Path

from exercises.logbook.file import suspect
from exercises.logbook.foreign import Foreign, own
from exercises.logbook.schema import SCHEMA_VERSION, SHAPE, SUMMED, TALLIES, folded, shape
from synth.base.errors import Trouble
from synth.base.files import write_text

# SQLite's errors that are no damage: the file is held, or the disk and the rights do not allow it. They are told when
# the logbook is opened.
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


# A file up to this size is checked row by row at a start, unless it is sealed: to hash it takes some 10 ms.
SEALED_BYTES = 8_000_000


class Health(StrEnum):
    """What was found, the least harm first."""

    SOUND = "sound"
    SUMS = "sums"  # only what is worked out from the trials is wrong
    ROWS = "rows"  # a trial cannot be read
    DAMAGED = "damaged"  # pages or tables are wrong


def examine(path: Path, *, rows: bool = True) -> Health:
    """What state a logbook's file is in, ``rows`` and sums left out if need be (some 0.1 ms a trial).

    A file that is held or may not be read passes.
    """
    try:
        with own(path) as book:
            return _examine(book, rows)
    except sqlite3.Error as slip:
        code = getattr(slip, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
        return Health.SOUND if code in NO_DAMAGE else Health.DAMAGED
    except Trouble:
        return Health.DAMAGED


def _examine(book: Foreign, rows: bool) -> Health:
    connection = book.connection
    # The whole check looks into the indices too, from which screens are drawn; it takes twice the time.
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
    """Whether ``days`` says of every day what its trials do, and no sum is out of bounds."""
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
    """Note what a logbook that is closed and sound holds, so that the next start need not read every row of it."""
    with suppress(OSError, Trouble):
        if not (_log(path).exists() or suspect(path).exists() or path.stat().st_size > SEALED_BYTES):
            write_text(_seal(path), _digest(path))


def sealed(path: Path) -> bool:
    """Whether a file is, to the last byte, as it was when it was sealed."""
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
