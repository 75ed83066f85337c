"""The logbook's file: SQLite, one row a trial, on disk before a result is shown.

Write-ahead logging lets a second window read and write at the same time. ``synchronous = FULL`` flushes the log at
every commit: a trial survives a loss of power, not only a crash. There is one commit a trial, some milliseconds
each, so nothing is gained by less. A file of a newer version is refused before SQLite is given it.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any

import numpy as np

from exercises.logbook.record import Mode, TrialRecord
from exercises.logbook.schema import APPLICATION_ID, SCHEMA_VERSION, VERSIONS
from exercises.trial import Answer
from synth.errors import Trouble

FILE_NAME = "logbook.sqlite3"
HOME_VARIABLE = "TALLYBAR_HOME"
# How long a writer waits for another window's commit, which takes milliseconds.
BUSY_S = 5.0

# SQLite's file header (https://www.sqlite.org/fileformat2.html, section 1.3): text at 0, user version at 60,
# application id at 68, both big-endian.
MAGIC = b"SQLite format 3\0"

_COLUMNS = """
    trials.id, uid, at, learners.name, sitting, benches.device, benches.calibration, drill, rung, seed, version, mode,
    groove, tempo_bpm, taps, value, result, void, simulated
"""
_FROM = "FROM trials JOIN learners ON learners.id = trials.learner JOIN benches ON benches.id = trials.bench"


def data_folder() -> Path:
    """Where the program keeps what it records: ``TALLYBAR_HOME``, or the platform's own folder for it."""
    home = os.environ.get(HOME_VARIABLE)
    if home:
        return Path(home)
    from platformdirs import user_data_dir

    return Path(user_data_dir("tallybar", appauthor=False))


class Logbook:
    """An open logbook. Use it from the thread that opened it; close it, or use it as a context manager."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self._connection = connection
        self.path = path

    @classmethod
    def open(cls, path: str | Path | None = None, *, busy_s: float = BUSY_S) -> Logbook:
        """Open the logbook, making folder and file where there is none; None is the learner's own.

        ``Trouble`` where the file is newer than the program (it is left untouched), is no logbook, is a folder,
        cannot be written, or stays locked for ``busy_s``.
        """
        path = data_folder() / FILE_NAME if path is None else Path(path)
        _check_header(path)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as slip:
            raise Trouble(f"{path.parent}: the logbook's folder cannot be made ({slip.strerror})") from slip
        if path.exists() and not os.access(path, os.W_OK):
            raise Trouble(f"{path}: the logbook may not be written; practice would not be kept")
        with _told(path):
            connection = sqlite3.connect(path, timeout=busy_s, isolation_level=None)
            try:
                _prepare(connection, path)
            except BaseException:
                connection.close()
                raise
        return cls(connection, path)

    def close(self) -> None:
        """Close the file. Closing twice does nothing."""
        self._connection.close()

    def __enter__(self) -> Logbook:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, slip: BaseException | None, at: TracebackType | None
    ) -> None:
        self.close()

    def sit(self, learner: str, started: str) -> int:
        """Start a sitting: its number, for the trials in it. ``started`` is UTC, as in ``TrialRecord.when``."""
        with self._writing():
            row = (self._learner(learner), started)
            return int(self._execute("INSERT INTO sittings (learner, started) VALUES (?, ?)", row).lastrowid or 0)

    def add(self, record: TrialRecord) -> int:
        """Keep a trial and return its row number. When this returns, the trial is on the disk.

        A trial whose ``uid`` is already there is not doubled: its row number comes back.
        """
        with self._writing():
            known = self._execute("SELECT id FROM trials WHERE uid = ?", (bytes.fromhex(record.uid),)).fetchone()
            if known:
                return int(known[0])
            row = (
                bytes.fromhex(record.uid),
                record.when,
                self._learner(record.learner),
                record.sitting,
                self._bench(record.device, record.calibration),
                record.drill,
                record.rung,
                record.seed,
                record.version,
                record.mode.value,
                record.groove,
                record.tempo_bpm,
                record.answer.taps_s.astype("<f8").tobytes(),
                _compact(record.answer.value),
                None if record.result is None else _compact(record.result),
                record.void,
                int(record.simulated),
            )
            places = ", ".join("?" * len(row))
            done = self._execute(
                "INSERT INTO trials (uid, at, learner, sitting, bench, drill, rung, seed, version, mode, groove,"
                f" tempo_bpm, taps, value, result, void, simulated) VALUES ({places})",
                row,
            )
            return int(done.lastrowid or 0)

    def trials(
        self, limit: int | None = None, *, learner: str | None = None, drill: str | None = None, offset: int = 0
    ) -> list[TrialRecord]:
        """Trials, newest first: those of a learner and a drill where named, ``limit`` of them after ``offset``."""
        asked = {"learners.name": learner, "drill": drill}
        names = [name for name, value in asked.items() if value is not None]
        where = "WHERE " + " AND ".join(f"{name} = ?" for name in names) if names else ""
        values = [value for value in asked.values() if value is not None]
        with _told(self.path):
            rows = self._execute(
                f"SELECT {_COLUMNS} {_FROM} {where} ORDER BY trials.id DESC LIMIT ? OFFSET ?",
                (*values, -1 if limit is None else limit, offset),
            )
            return [_record(row) for row in rows]

    def count(self) -> int:
        """How many trials there are, void ones included."""
        with _told(self.path):
            return int(self._execute("SELECT count(*) FROM trials").fetchone()[0])

    def learners(self) -> list[str]:
        """Names of the learners, in the order in which they came."""
        with _told(self.path):
            return [str(name) for (name,) in self._execute("SELECT name FROM learners ORDER BY id")]

    def _execute(self, sql: str, values: tuple[object, ...] = ()) -> sqlite3.Cursor:
        return self._connection.execute(sql, values)

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """One transaction, committed before the block is left, or undone as a whole."""
        with _told(self.path):
            self._execute("BEGIN IMMEDIATE")
            try:
                yield
                self._execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._execute("ROLLBACK")
                raise

    def _learner(self, name: str) -> int:
        self._execute("INSERT INTO learners (name) VALUES (?) ON CONFLICT DO NOTHING", (name,))
        return int(self._execute("SELECT id FROM learners WHERE name = ?", (name,)).fetchone()[0])

    def _bench(self, device: str, calibration: object) -> int:
        row = (device, _compact(calibration))
        self._execute("INSERT INTO benches (device, calibration) VALUES (?, ?) ON CONFLICT DO NOTHING", row)
        found = self._execute("SELECT id FROM benches WHERE device = ? AND calibration = ?", row)
        return int(found.fetchone()[0])


def _check_header(path: Path) -> None:
    """Refuse what is no logbook of ours before SQLite opens it, so that it stays as it is."""
    if path.is_dir():
        raise Trouble(f"{path}: a folder, where the logbook's file should be")
    if path.exists() and not path.is_file():
        raise Trouble(f"{path}: not a file, where the logbook should be")
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except FileNotFoundError:
        return
    except OSError as slip:
        raise Trouble(f"{path}: the logbook cannot be read ({slip.strerror})") from slip
    if not head:
        return
    if len(head) < 100 or not head.startswith(MAGIC):
        raise Trouble(f"{path}: this is not a logbook; it was left as it is")
    version, application = int.from_bytes(head[60:64], "big"), int.from_bytes(head[68:72], "big")
    if application not in (0, APPLICATION_ID) or (application == 0 and version):
        raise Trouble(f"{path}: this is another program's database; it was left as it is")
    _check_version(version, path)


def _check_version(version: int, path: Path) -> None:
    if version > SCHEMA_VERSION:
        raise Trouble(
            f"{path}: this logbook has version {version}, this program knows versions up to {SCHEMA_VERSION}."
            " It was left as it is: start a newer program with it."
        )


def _prepare(connection: sqlite3.Connection, path: Path) -> None:
    """Settings of the connection, and the tables of the present version."""
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    _check_version(version, path)  # again: a newer version may still stand in the write-ahead log
    if version < SCHEMA_VERSION:
        if version == 0 and connection.execute("SELECT 1 FROM sqlite_schema").fetchone():
            raise Trouble(f"{path}: this is another program's database; it was left as it is")
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("BEGIN IMMEDIATE")
        try:
            # Another window may have made the tables while this one waited.
            version = int(connection.execute("PRAGMA user_version").fetchone()[0])
            for script in VERSIONS[version:]:
                for statement in filter(str.strip, script.split(";")):
                    connection.execute(statement)
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """SQLite's errors as ``Trouble``, in one line that says what happened and what was kept."""
    try:
        yield
    except sqlite3.Error as slip:
        code = getattr(slip, "sqlite_errorcode", 0) & 0xFF
        kept = "Everything kept so far is still there."
        reasons = {
            sqlite3.SQLITE_BUSY: f"another program holds the logbook. {kept} Close the other one and try again.",
            sqlite3.SQLITE_LOCKED: f"another program holds the logbook. {kept} Close the other one and try again.",
            sqlite3.SQLITE_FULL: f"the disk is full. {kept}",
            sqlite3.SQLITE_READONLY: f"the logbook may not be written. {kept}",
            sqlite3.SQLITE_CANTOPEN: "the logbook cannot be opened or made here; is the folder read-only?",
            sqlite3.SQLITE_IOERR: f"the disk refused ({slip}).",
            sqlite3.SQLITE_CORRUPT: "the logbook is damaged. Nothing was changed in it.",
            sqlite3.SQLITE_NOTADB: "this is not a logbook; it was left as it is",
        }
        if code not in reasons:
            raise  # a wrong statement is a bug, and keeps its trace
        raise Trouble(f"{path}: {reasons[code]}") from slip


def _compact(value: object) -> str:
    """JSON without blanks; ``ValueError`` for what JSON does not know (nan, infinity)."""
    plain = dict(value) if hasattr(value, "keys") else value  # type: ignore[call-overload]
    return json.dumps(plain, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def _record(row: tuple[Any, ...]) -> TrialRecord:
    (id, uid, at, learner, sitting, device, calibration, drill, rung, seed, version, mode) = row[:12]
    (groove, tempo_bpm, taps, value, result, void, simulated) = row[12:]
    return TrialRecord(
        when=at,
        drill=drill,
        rung=rung,
        seed=seed,
        version=version,
        groove=groove,
        tempo_bpm=tempo_bpm,
        answer=Answer(np.frombuffer(taps, dtype="<f8"), json.loads(value)),
        result=None if result is None else json.loads(result),
        learner=learner,
        device=device,
        calibration=json.loads(calibration),
        void=void,
        simulated=bool(simulated),
        mode=Mode(mode),
        uid=uid.hex(),
        id=id,
        sitting=sitting,
    )
