"""Reads an untrusted logbook file row by row, relying on nothing in its schema.

Only columns of ordinary tables are read; no view, trigger, generated column or function of the file runs (SQLite's
advice for untrusted files, https://www.sqlite.org/security.html). ``exercises.logbook.row`` checks every row. The
file is not changed; if it has a write-ahead log, copies of both are read.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, closing, contextmanager, suppress
from dataclasses import dataclass, field
from math import isfinite
from pathlib import Path
from struct import iter_unpack
from typing import Any
from urllib.parse import quote

from exercises.logbook.file import BROKEN, MAGIC, MOST_IMPORT_BYTES, copy_with_log
from exercises.logbook.learners import ID, Known
from exercises.logbook.row import Sat, record_of_row
from exercises.logbook.schema import APPLICATION_ID, SCHEMA_VERSION, WITH_IDS
from exercises.trial.kept.record import TrialRecord
from synth.base.border import Unfit, open_file, parsed, shown
from synth.base.errors import Trouble
from synth.base.temporary import temporary_folder

# Longest text or blob in a row: more than the taps and marks of the longest trial.
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
# SQLite virtual machine steps between two checks of the step limit, and that limit: a base plus a number for each
# byte of the file (a row takes about 60 steps and 600 bytes).
STEPS = 10_000
LEAST_STEPS, STEPS_PER_BYTE = 2_000_000, 2

TABLES = {
    "learners": ("id", "name"),
    "sittings": ("id", "started", "learner"),
    "benches": ("id", "device", "calibration"),
    "trials": (
        *("id", "uid", "at", "learner", "sitting", "bench", "drill", "rung", "seed", "version", "mode", "groove"),
        *("tempo_bpm", "taps", "value", "result", "void", "simulated"),
    ),
}
# Columns of ``trials`` by the schema version that added them, with their values in older files.
LATER: dict[int, dict[str, float | None]] = {
    2: {"sound_s": 0.0, "spent_s": None},
    3: {"offset_min": 0},
    4: {"truth": None},
    5: {"rung_id": None},
}
# Columns of ``learners`` from version ``WITH_IDS`` on.
ID_COLUMNS = ("key", "joined")


@dataclass(frozen=True, slots=True)
class Found:
    """A row of ``trials``: its record and sitting, or why it is invalid and its plain values."""

    id: int
    record: TrialRecord | None
    sitting: Sat | None
    why: str = ""
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def uid(self) -> bytes:
        """The trial's uid; empty if unreadable."""
        uid = self.values.get("uid")
        return uid if isinstance(uid, bytes) else b""

    def to_json(self) -> dict[str, Any]:
        """The row as in an export, as far as readable, and why it is invalid."""
        return {
            "taps_s" if name == "taps" else name: _readable(name, value) for name, value in self.values.items()
        } | {"why": self.why}


def _readable(name: str, value: Any) -> Any:
    """A column's value as a plain value; as text where it cannot be parsed."""
    if name == "uid" and isinstance(value, bytes):
        return value.hex()
    if name == "taps" and isinstance(value, bytes) and not len(value) % 8:
        return [tap if isfinite(tap) else str(tap) for (tap,) in iter_unpack("<d", value)]
    if name == "simulated" and value in (0, 1):
        return bool(value)
    if name in ("value", "result", "calibration", "truth") and isinstance(value, str):
        with suppress(Unfit):
            return parsed(value)
    if isinstance(value, bytes):
        return value.decode("utf-8", "backslashreplace")
    return str(value) if isinstance(value, float) and not isfinite(value) else value


class Foreign:
    """An open untrusted logbook."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        """Raise ``Trouble`` if the file lacks a logbook's tables."""
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
        self._tables = TABLES | {"trials": self._columns}
        if version >= WITH_IDS:
            self._tables["learners"] += ID_COLUMNS
        for table, columns in self._tables.items():
            self._check_table(table, columns)

    def _check_table(self, table: str, needed: tuple[str, ...]) -> None:
        """Raise ``Trouble`` unless this is an ordinary table with these columns, none of them generated."""
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
        """Number of rows in ``trials``."""
        return int(self.connection.execute("SELECT count(*) FROM trials NOT INDEXED").fetchone()[0])

    def learners(self) -> list[Known]:
        """The learners in order, including those without trials; those without a name or a good id are left out.

        The ids of an older file are those that it gets when it is opened (see ``schema``).
        """
        rows = self._learners()
        if self.version < WITH_IDS:
            firsts = self.connection.execute("SELECT learner, uid, min(id) FROM trials NOT INDEXED GROUP BY learner")
            ids = {number: uid.hex() for number, uid, _ in firsts if isinstance(uid, bytes) and len(uid) == 16}
            rows = {number: (name, ids.get(number), None) for number, (name, _, _) in rows.items()}
        ids = {number: id for number, (_, id, _) in rows.items()}
        return [
            Known(name, id, ids.get(joined))
            for name, id, joined in rows.values()
            if isinstance(name, str) and name and (id is None or _is_id(id))
        ]

    def has_names(self) -> bool:
        """Whether every learner has a name, an id and trials of their own or a place, and every sitting a start."""
        rows = self._learners()
        starts = [started for started, _ in self._table("sittings").values()]
        good = all(isinstance(name, str) and name for name, _, _ in rows.values())
        if self.version >= WITH_IDS:
            good = good and all(_is_id(id) for _, id, _ in rows.values()) and self._well_joined(rows)
        return good and None not in map(_moment, starts)

    def _well_joined(self, rows: Mapping[object, tuple[Any, ...]]) -> bool:
        """Whether every joined learner leads to one who is not, and none of them has trials."""
        joined = {number: to for number, (_, _, to) in rows.items() if to is not None}
        for to in joined.values():
            seen = set()
            while to in joined and to not in seen:
                seen.add(to)
                to = joined[to]
            if to in joined or to not in rows:
                return False
        of_trials = self.connection.execute("SELECT DISTINCT learner FROM trials") if joined else ()
        return not any(number in joined for (number,) in of_trials)

    def trials(self, order: str = "") -> Iterator[Found]:
        """Every row of ``trials``, in rowid order by default. Raises SQLite's errors."""
        names, sittings, benches = self._learners(), self._table("sittings"), self._table("benches")
        columns = ", ".join(self._columns)
        for values in self.connection.execute(f"SELECT {columns} FROM trials NOT INDEXED {order}"):
            row = self._later | dict(zip(self._columns, values, strict=True))
            name, learner_id, _ = names.get(row.pop("learner"), (None, None, None))
            started, whose = sittings.get(row.pop("sitting"), (None, None))
            device, calibration = benches.get(row.pop("bench"), (None, None))
            id = row.pop("id")
            row |= {"when": row.pop("at"), "learner": name, "learner_id": learner_id}
            row |= {"device": device, "calibration": calibration}
            try:
                record = record_of_row(row, id=id)
                _, other, _ = names.get(whose, (None, None, None))
                good = _moment(started) is not None
                yield Found(id, record, Sat(started, other if _is_id(other) else None) if good else None)
            except Unfit as slip:
                yield Found(id, None, None, str(slip), row)

    def pairs(self) -> Iterator[tuple[TrialRecord, Sat | None]]:
        """Every trial with its sitting; ``Trouble`` at the first invalid row."""
        with _sqlite_trouble(self._path):
            for found in self.trials():
                if found.record is None:
                    raise Trouble(f"{shown(self._path)}, trial {shown(found.id, 20)}: {found.why}")
                yield found.record, found.sitting

    def rescued(self) -> Iterator[Found]:
        """Every reachable row of a damaged file, read from both ends, each once."""
        seen: set[int] = set()
        for order in ("", "ORDER BY id DESC"):
            with suppress(*BROKEN):
                for found in self.trials(order):
                    if found.id in seen and order:
                        return
                    if found.id not in seen:
                        seen.add(found.id)
                        yield found

    def _table(self, table: str) -> dict[object, tuple[Any, ...]]:
        columns = ", ".join(self._tables[table])
        return {
            id: tuple(rest) for id, *rest in self.connection.execute(f"SELECT {columns} FROM {table} NOT INDEXED")
        }

    def _learners(self) -> dict[object, tuple[Any, ...]]:
        """Row -> name, id and the row that it is joined to; the latter two are None in older files."""
        return {row: (*rest, None, None)[:3] for row, rest in self._table("learners").items()}


def _is_id(id: object) -> bool:
    return isinstance(id, str) and ID.fullmatch(id) is not None


def _moment(started: object) -> str | None:
    """The start of a sitting if valid, else None."""
    with suppress(ValueError, TypeError):
        from datetime import datetime

        if isinstance(started, str) and datetime.fromisoformat(started).strftime("%Y-%m-%dT%H:%M:%SZ") == started:
            return started
    return None


@contextmanager
def foreign(path: Path) -> Iterator[Foreign]:
    """Open an untrusted logbook for reading. ``Trouble`` if it is not a logbook, is damaged, or takes too long."""
    with ExitStack() as stack:
        with open_file(path, MOST_IMPORT_BYTES) as file:
            head, size = file.read(100), path.stat().st_size
        if len(head) < 100 or not head.startswith(MAGIC):
            raise Trouble(f"{shown(path)}: this is not a logbook; it was left as it is")
        log = path.with_name(f"{path.name}-wal")
        source, how = path, "mode=ro&immutable=1"
        if log.exists():
            source, how = stack.enter_context(temporary_folder()) / "other.sqlite3", "mode=rw"
            copy_with_log(path, source, MOST_IMPORT_BYTES)
            size += log.stat().st_size
        with _sqlite_trouble(path):
            connection = stack.enter_context(closing(_connect(source, how, size)))
            if connection.execute("PRAGMA quick_check(1)").fetchall() != [("ok",)]:
                raise Trouble(f"{shown(path)}: this logbook is damaged")
            made = Foreign(connection, path)
        yield made


@contextmanager
def own(path: Path) -> Iterator[Foreign]:
    """Open the learner's own logbook in the same way, shared with other windows. Raises SQLite's errors."""
    with closing(_connect(path, "mode=rw", path.stat().st_size)) as connection:
        yield Foreign(connection, path)


def _connect(path: Path, how: str, size_bytes: int) -> sqlite3.Connection:
    """A connection that runs nothing from the file's schema and stops after a number of steps."""
    connection = sqlite3.connect(
        f"file:{quote(os.path.realpath(os.fsencode(path)))}?{how}", uri=True, timeout=1.0, isolation_level=None
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
def _sqlite_trouble(path: Path) -> Iterator[None]:
    """Turn SQLite's errors on a foreign file into ``Trouble``."""
    try:
        yield
    except BROKEN as slip:
        code = getattr(slip, "sqlite_errorcode", 0) & 0xFF
        why = {
            sqlite3.SQLITE_INTERRUPT: "it takes longer to read than any logbook of its size",
            sqlite3.SQLITE_TOOBIG: "it holds a value that is too large",
        }.get(code, f"it is damaged, or none ({shown(slip)})")
        raise Trouble(f"{shown(path)}: this logbook cannot be read: {why}") from slip


def _text(data: bytes) -> str | bytes:
    """Decode a text; return invalid UTF-8 as bytes, so that only its row is rejected."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data
