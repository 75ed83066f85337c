"""A logbook file that anybody may have written, read row by row; nothing of its schema is trusted.

Only columns of ordinary tables are read: no view, trigger, generated column or function of the file is run (SQLite's
own advice for files that are not trusted, https://www.sqlite.org/security.html). Rows go through the border
(``exercises.logbook.row``). The file stays as it is; where a write-ahead log belongs to it, a copy of both is read.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass, field
from math import isfinite
from pathlib import Path
from struct import iter_unpack
from typing import Any
from urllib.parse import quote

from exercises.logbook.file import MAGIC
from exercises.logbook.row import record_of_row
from exercises.logbook.schema import APPLICATION_ID, SCHEMA_VERSION
from exercises.trial.record import TrialRecord
from synth.base.border import Unfit, open_file, parsed, shown
from synth.base.errors import Trouble
from synth.base.temporary import temporary_folder

# Ten years of daily practice are some 280 MB.
MOST_BYTES = 4_000_000_000
# The longest text or blob of a row: more than all taps and marks of the longest trial.
MOST_VALUE_BYTES = 4_000_000
LIMITS = {
    sqlite3.SQLITE_LIMIT_LENGTH: MOST_VALUE_BYTES,
    sqlite3.SQLITE_LIMIT_SQL_LENGTH: 100_000,
    sqlite3.SQLITE_LIMIT_COLUMN: 100,
    sqlite3.SQLITE_LIMIT_EXPR_DEPTH: 50,
    sqlite3.SQLITE_LIMIT_COMPOUND_SELECT: 5,
    sqlite3.SQLITE_LIMIT_ATTACHED: 0,
    sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH: 1,
    sqlite3.SQLITE_LIMIT_WORKER_THREADS: 0,
}
# Steps of SQLite's machine between two looks at how many there were, and how many there may be: some at the least,
# and so many for each byte of the file (a row takes about 60 steps and 600 bytes).
STEPS = 10_000
LEAST_STEPS, STEPS_PER_BYTE = 2_000_000, 2

TABLES = {
    "learners": ("id", "name"),
    "sittings": ("id", "started"),
    "benches": ("id", "device", "calibration"),
    "trials": (
        *("id", "uid", "at", "learner", "sitting", "bench", "drill", "rung", "seed", "version", "mode", "groove"),
        *("tempo_bpm", "taps", "value", "result", "void", "simulated"),
    ),
}
# Columns of ``trials`` by the version of the schema that brought them, each with what it is in an older file.
LATER: dict[int, dict[str, float | None]] = {2: {"sound_s": 0.0, "spent_s": None}, 3: {"offset_min": 0}}


@dataclass(frozen=True, slots=True)
class Found:
    """A row of ``trials``: its record and the start of its sitting, or why it is none, with its plain values."""

    id: int
    record: TrialRecord | None
    sitting: str | None
    why: str = ""
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def uid(self) -> bytes:
        """The trial's name, as far as it can be read."""
        uid = self.values.get("uid")
        return uid if isinstance(uid, bytes) else b""

    def to_json(self) -> dict[str, Any]:
        """The row as a line of an export has it, each value as far as it can be read, and why it is no trial."""
        return {
            "taps_s" if name == "taps" else name: _readable(name, value) for name, value in self.values.items()
        } | {"why": self.why}


def _readable(name: str, value: Any) -> Any:
    """A column's value as plain values; what it cannot be read as, as a text."""
    if name == "uid" and isinstance(value, bytes):
        return value.hex()
    if name == "taps" and isinstance(value, bytes) and not len(value) % 8:
        return [tap if isfinite(tap) else str(tap) for (tap,) in iter_unpack("<d", value)]
    if name == "simulated" and value in (0, 1):
        return bool(value)
    if name in ("value", "result", "calibration") and isinstance(value, str):
        with suppress(Unfit):
            return parsed(value)
    if isinstance(value, bytes):
        return value.decode("utf-8", "backslashreplace")
    return str(value) if isinstance(value, float) and not isfinite(value) else value


class Foreign:
    """An open foreign logbook."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        """``Trouble`` where the file holds no tables of a logbook."""
        self.connection, self._path = connection, path
        (self.version,) = (version,) = connection.execute("PRAGMA user_version").fetchone()
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        if application != APPLICATION_ID or version < 1:
            raise Trouble(f"{shown(path)}: this is another program's database; it was left as it is")
        if version > SCHEMA_VERSION:
            raise Trouble(
                f"{shown(path)}: this logbook has version {version}, this program knows versions up to"
                f" {SCHEMA_VERSION}. It was left as it is: start a newer program with it."
            )
        self._later = {name: usual for columns in LATER.values() for name, usual in columns.items()}
        self._columns = TABLES["trials"] + tuple(
            name for since, columns in LATER.items() if since <= version for name in columns
        )
        for table, columns in TABLES.items():
            self._check_table(table, self._columns if table == "trials" else columns)

    def _check_table(self, table: str, needed: tuple[str, ...]) -> None:
        """``Trouble`` unless this is an ordinary table with these columns, none of them computed."""
        rows = self.connection.execute(
            "SELECT type, rootpage, sql FROM sqlite_schema WHERE name = ?", (table,)
        ).fetchall()
        kinds = [(kind, root > 0 and sql[:13].upper() == "CREATE TABLE ") for kind, root, sql in rows]
        columns = dict(self.connection.execute("SELECT name, hidden FROM pragma_table_xinfo(?)", (table,)))
        if kinds != [("table", True)] or any(columns.get(name) != 0 for name in needed):
            raise Trouble(
                f"{shown(self._path)}: this is no whole logbook (see its table {table}); it was left as it is"
            )

    def __len__(self) -> int:
        """How many rows of ``trials`` there are."""
        return int(self.connection.execute("SELECT count(*) FROM trials NOT INDEXED").fetchone()[0])

    def learners(self) -> list[str]:
        """Names of the learners in their order, also of those without trials."""
        return [name for (name,) in self._table("learners").values() if isinstance(name, str) and name]

    def has_names(self) -> bool:
        """Whether every learner has a name, and every sitting a start."""
        names = [name for (name,) in self._table("learners").values()]
        starts = [started for (started,) in self._table("sittings").values()]
        return all(isinstance(name, str) and name for name in names) and None not in map(_moment, starts)

    def trials(self, order: str = "") -> Iterator[Found]:
        """Every row of ``trials``, in the file's own order or in another; SQLite's own errors come through."""
        names, sittings, benches = map(self._table, ("learners", "sittings", "benches"))
        columns = ", ".join(self._columns)
        for values in self.connection.execute(f"SELECT {columns} FROM trials NOT INDEXED {order}"):
            row = self._later | dict(zip(self._columns, values, strict=True))
            (name,) = names.get(row.pop("learner"), (None,))
            (started,) = sittings.get(row.pop("sitting"), (None,))
            device, calibration = benches.get(row.pop("bench"), (None, None))
            id = row.pop("id")
            row |= {"when": row.pop("at"), "learner": name, "device": device, "calibration": calibration}
            try:
                yield Found(id, record_of_row(row, id=id), _moment(started))
            except Unfit as slip:
                yield Found(id, None, None, str(slip), row)

    def pairs(self) -> Iterator[tuple[TrialRecord, str | None]]:
        """Every trial with the start of its sitting; ``Trouble`` at the first row that is none."""
        with _told(self._path):
            for found in self.trials():
                if found.record is None:
                    raise Trouble(f"{shown(self._path)}, trial {shown(found.id, 20)}: {found.why}")
                yield found.record, found.sitting

    def rescued(self) -> Iterator[Found]:
        """Every row that can be reached in a damaged file, from both ends, each once."""
        seen: set[int] = set()
        for order in ("", "ORDER BY id DESC"):
            with suppress(sqlite3.Error):
                for found in self.trials(order):
                    if found.id in seen and order:
                        return
                    if found.id not in seen:
                        seen.add(found.id)
                        yield found

    def _table(self, table: str) -> dict[object, tuple[Any, ...]]:
        columns = ", ".join(TABLES[table])
        return {
            id: tuple(rest) for id, *rest in self.connection.execute(f"SELECT {columns} FROM {table} NOT INDEXED")
        }


def _moment(started: object) -> str | None:
    """The start of a sitting, where it is one."""
    with suppress(ValueError, TypeError):
        from datetime import datetime

        if isinstance(started, str) and datetime.fromisoformat(started).strftime("%Y-%m-%dT%H:%M:%SZ") == started:
            return started
    return None


@contextmanager
def foreign(path: Path) -> Iterator[Foreign]:
    """A foreign logbook, open to be read. ``Trouble`` where it is none, is damaged, or goes on without end."""
    with ExitStack() as stack:
        with open_file(path, MOST_BYTES) as file:
            head, size = file.read(100), path.stat().st_size
        if len(head) < 100 or not head.startswith(MAGIC):
            raise Trouble(f"{shown(path)}: this is not a logbook; it was left as it is")
        log = path.with_name(f"{path.name}-wal")
        source, how = path, "mode=ro&immutable=1"
        if log.exists():
            with open_file(log, MOST_BYTES):
                size += log.stat().st_size
            folder = stack.enter_context(temporary_folder())
            source, how = folder / "other.sqlite3", "mode=rw"
            try:
                shutil.copyfile(path, source)
                shutil.copyfile(log, folder / "other.sqlite3-wal")
            except OSError as slip:
                raise Trouble(f"{shown(path)}: the logbook cannot be read ({slip.strerror})") from slip
        with _told(path):
            connection = stack.enter_context(closing(_connect(source, how, size)))
            if connection.execute("PRAGMA quick_check(1)").fetchall() != [("ok",)]:
                raise Trouble(f"{shown(path)}: this logbook is damaged")
            made = Foreign(connection, path)
        yield made


@contextmanager
def own(path: Path) -> Iterator[Foreign]:
    """The learner's own logbook in the same way, beside other windows; SQLite's own errors come through."""
    with closing(_connect(path, "mode=rw", path.stat().st_size)) as connection:
        yield Foreign(connection, path)


def _connect(path: Path, how: str, size_bytes: int) -> sqlite3.Connection:
    """A connection on which nothing of the file's schema is run, and nothing goes on without end."""
    connection = sqlite3.connect(
        f"file:{quote(str(path.resolve()))}?{how}", uri=True, timeout=1.0, isolation_level=None
    )
    for limit, value in LIMITS.items():
        connection.setlimit(limit, value)
    for pragma in ("trusted_schema = OFF", "query_only = ON", "cell_size_check = ON", "mmap_size = 0"):
        connection.execute(f"PRAGMA {pragma}")
    connection.text_factory = _text
    left = (LEAST_STEPS + STEPS_PER_BYTE * size_bytes) // STEPS

    def count() -> bool:
        nonlocal left
        left -= 1
        return left < 0

    connection.set_progress_handler(count, STEPS)
    return connection


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """SQLite's errors on a foreign file as ``Trouble``."""
    try:
        yield
    except sqlite3.Error as slip:
        code = getattr(slip, "sqlite_errorcode", 0) & 0xFF
        why = {
            sqlite3.SQLITE_INTERRUPT: "it takes longer to read than any logbook of its size",
            sqlite3.SQLITE_TOOBIG: "it holds a value that is too large",
        }.get(code, f"it is damaged, or none ({shown(slip)})")
        raise Trouble(f"{shown(path)}: this logbook cannot be read: {why}") from slip


def _text(data: bytes) -> str | bytes:
    """A text; one that is no UTF-8 stays bytes, which makes its row unfit and not the whole file."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data
