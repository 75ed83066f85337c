"""The logbook in SQLite: one row a trial, on disk before a result is shown.

Write-ahead logging lets a second window read and write at the same time. ``synchronous = FULL`` flushes the log at
every commit: a trial survives a power loss, not only a crash. There is one commit of a few milliseconds a trial. A
file of a newer version is refused before SQLite opens it.
"""

from __future__ import annotations

import json
import math
import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any
from uuid import uuid4

from exercises.drills import rung_id
from exercises.logbook.file import NOT_WRITABLE, forget, hold, let_go, make_place, prepare, sqlite_trouble
from exercises.logbook.learners import Learner, learners, row_number, row_of_name
from exercises.logbook.row import COLUMNS, Sat, record_of_row
from exercises.logbook.schema import sum_up
from exercises.trial.kept.record import TrialRecord
from exercises.trial.kept.truth import KeptTruth
from synth.base.arrays import Seconds
from synth.base.errors import Trouble
from synth.base.files import FOREIGN_LINK
from synth.base.folders import data_folder, foreign_link

FILE_NAME = "logbook.sqlite3"
# Seconds that a writer waits for another window's commit, which takes milliseconds.
BUSY_S = 5.0
# Seconds without practice after which a new sitting starts.
SITTING_GAP_S = 30 * 60.0
# Most seconds around a trial's sound that count as practice: answering, reading the verdict, starting.
ANSWER_S = 60.0
# Rows per query where all are read.
BATCH = 500

# The columns as ``record_of_row`` names them, and those that a query names otherwise.
_NAMES = ("id", "sitting", "taps", *COLUMNS)
_ASKED = {"id": "trials.id", "when": "at", "learner": "learners.name", "learner_id": "learners.key"}
_COLUMNS = ", ".join(_ASKED.get(name, name) for name in _NAMES)
_FROM = "FROM trials JOIN learners ON learners.id = trials.learner JOIN benches ON benches.id = trials.bench"
# What is stored of a record as it is.
_AS_IT_IS = ("drill", "rung", "seed", "version", "groove", "tempo_bpm", "void", "sound_s", "offset_min", "recording")


# A trial from elsewhere and its sitting; and what may look at each as it goes by.
Pair = tuple[TrialRecord, Sat | None]
Watched = Callable[[Iterator[Pair]], Iterator[Pair]]


class Logbook:
    """An open logbook: a context manager, to be used in the thread that opened it."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self._connection = connection
        self.path = path
        self._held: Path | None = None

    @classmethod
    def open(cls, path: str | Path | None = None, *, busy_s: float = BUSY_S) -> Logbook:
        """Open the logbook, creating folder and file as needed; None is the learner's own.

        Raises ``Trouble`` where the file is newer than the program (it is left untouched), is no logbook, is a
        folder, cannot be written, or stays locked for ``busy_s`` seconds.
        """
        path = data_folder() / FILE_NAME if path is None else Path(path)
        if foreign_link(path):
            raise Trouble(FOREIGN_LINK(path=path))
        held = hold(path)
        try:
            make_place(path)
            if path.exists() and not os.access(path, os.W_OK):
                raise Trouble(NOT_WRITABLE(path=path))
            with sqlite_trouble(path):
                connection = sqlite3.connect(path, timeout=busy_s, isolation_level=None)
                try:
                    prepare(connection, path)
                except BaseException:
                    connection.close()
                    raise
        except BaseException:
            let_go(held)
            raise
        made = cls(connection, path)
        made._held = held
        return made

    def close(self) -> None:
        """Close the file. Closing twice does nothing."""
        self._connection.close()
        if self._held is not None:
            let_go(self._held)
            self._held = None

    def __enter__(self) -> Logbook:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, slip: BaseException | None, at: TracebackType | None
    ) -> None:
        self.close()

    def wait(self, busy_s: float) -> None:
        """Set the time in seconds to wait for another program's lock."""
        with sqlite_trouble(self.path), suppress(sqlite3.ProgrammingError):
            self._execute(f"PRAGMA busy_timeout = {round(1000 * busy_s)}")

    def add(self, record: TrialRecord) -> int:
        """Store a trial and return its row number; it is on disk on return. A known ``uid`` is not stored again."""
        with self.writing():
            return self._insert(record)[0]

    def add_all(self, records: Iterable[TrialRecord]) -> int:
        """Store trials, oldest first, all or none; returns the number of new ones."""
        with self.writing():
            return sum(new for _, new in map(self._insert, records))

    def _insert(self, record: TrialRecord) -> tuple[int, bool]:
        """Row number of the trial, and whether it is new."""
        uid = bytes.fromhex(record.uid)
        known = self._execute("SELECT id FROM trials WHERE uid = ?", (uid,)).fetchone()
        if known:
            return int(known[0]), False
        learner = self.learner_row(record.learner, record.learner_id, record.uid)
        sitting, spent_s = record.sitting, record.spent_s
        if sitting is None or spent_s is None:
            before, rest_s = self._before(learner, record.when)
            if sitting is None:
                sitting = before if rest_s < SITTING_GAP_S else None
                sitting = self._sitting(learner, record.when) if sitting is None else sitting
            if spent_s is None:
                spent_s = min(max(rest_s, record.sound_s), record.sound_s + ANSWER_S)
        row = {name: getattr(record, name) for name in _AS_IT_IS} | {
            "rung_id": record.rung_id or rung_id(record.drill, record.rung, record.version),
            "uid": uid,
            "at": record.when,
            "learner": learner,
            "sitting": sitting,
            "bench": self._bench(record.device, record.calibration),
            "mode": record.mode.value,
            "taps": record.answer.taps_s.astype("<f8").tobytes(),
            "value": compact(record.answer.value),
            "result": None if record.result is None else compact(record.result),
            "simulated": int(record.simulated),
            "spent_s": spent_s,
            "truth": None if record.truth is None else compact(record.truth.to_json()),
        }
        return self._new("trials", **row), True

    def _before(self, learner: int, when: str) -> tuple[int | None, float]:
        """The sitting of the learner's trial before ``when``, and the seconds since its end; infinite without one."""
        found = self._execute(
            "SELECT at, (SELECT id FROM sittings WHERE id = trials.sitting AND learner = trials.learner) FROM trials"
            " WHERE learner = ? AND at <= ? ORDER BY at DESC, id DESC LIMIT 1",
            (learner, when),
        ).fetchone()
        with suppress(ValueError, TypeError):  # none, or a time that has rotted
            return found[1], seconds_between(found[0], when)
        return None, math.inf

    def trials(
        self, limit: int | None = None, *, learner: str | None = None, drill: str | None = None, offset: int = 0
    ) -> list[TrialRecord]:
        """Trials, newest first, optionally of one learner and one drill: ``limit`` of them after ``offset``."""
        asked = {"trials.learner = ?": self._asked(learner), "drill = ?": drill}
        tests = [test for test, value in asked.items() if value is not None]
        where = "WHERE " + " AND ".join(tests) if tests else ""
        values = [value for value in asked.values() if value is not None]
        # An index has a learner's trials in this order; sorting takes a second after ten years.
        order = "trials.id DESC" if learner is None else "at DESC, trials.id DESC"
        most = -1 if limit is None else limit
        return self._records(f"{where} ORDER BY {order} LIMIT ? OFFSET ?", *values, most, offset)

    def trial(self, uid: bytes) -> TrialRecord | None:
        """The trial of that name, or None."""
        return next(iter(self._records("WHERE uid = ?", uid)), None)

    def trials_after(self, id: int, limit: int, of: int | None = None) -> list[TrialRecord]:
        """The next ``limit`` trials (of the learner of row ``of``) after row ``id``, oldest first."""
        whose, values = ("", (id,)) if of is None else ("AND trials.learner = ?", (id, of))
        return self._records(f"WHERE trials.id > ? {whose} ORDER BY trials.id LIMIT ?", *values, limit)

    def all(self, learner: str | None = None) -> Iterator[TrialRecord]:
        """All trials (of one learner), oldest row first, read in batches."""
        last, of = 0, self._asked(learner)
        while rows := self.trials_after(last, BATCH, of):
            yield from rows
            last = rows[-1].id or 0

    def merge(self, pairs: Iterable[Pair]) -> int:
        """Add trials from elsewhere, each with its sitting, all or none; returns how many were new."""
        new = 0
        sittings: dict[tuple[str | None, str, Sat], int] = {}
        with self.writing():
            for record, sat in pairs:
                sitting = None
                if sat is not None:
                    key = record.learner_id, record.learner, sat
                    if key not in sittings:
                        learner = self.learner_row(record.learner, record.learner_id, record.uid)
                        sittings[key] = self._sitting_from(self._whose(sat, learner), sat.started)
                    sitting = sittings[key]
                new += self._insert(replace(record, sitting=sitting))[1]
        return new

    def set_results(self, results: Mapping[int, str]) -> None:
        """Replace results (row number -> JSON) in one transaction."""
        self._update("UPDATE trials SET result = ? WHERE id = ?", results)

    def set_void(self, uid: str, void: str | None, result: Mapping[str, Any] | None) -> None:
        """Make a trial void (a reason, no result) or count again (no reason, a result), and clear its levels."""
        with self.writing():
            self._execute(
                "UPDATE trials SET void = ?, result = ? WHERE uid = ?",
                (void, None if result is None else compact(result), bytes.fromhex(uid)),
            )
            self._execute(
                "DELETE FROM levels WHERE learner = (SELECT learner FROM trials WHERE uid = ?)", (bytes.fromhex(uid),)
            )

    def set_truths(self, truths: Mapping[int, KeptTruth]) -> None:
        """Store the truths of trials that have none (row number -> truth) in one transaction."""
        texts = {id: compact(truth.to_json()) for id, truth in truths.items()}
        self._update("UPDATE trials SET truth = ? WHERE id = ? AND truth IS NULL", texts)

    def replace_truths(self, truths: Mapping[int, KeptTruth]) -> None:
        """Store other truths in place of those that trials have (row number -> truth), in one transaction."""
        texts = {id: compact(truth.to_json()) for id, truth in truths.items()}
        self._update("UPDATE trials SET truth = ? WHERE id = ?", texts)

    def _update(self, sql: str, texts: Mapping[int, str]) -> None:
        """Run an UPDATE of a text for each row number, in one transaction."""
        with self.writing():
            self._connection.executemany(sql, [(text, id) for id, text in texts.items()])

    def untold(self, version: int, after: int, limit: int) -> list[TrialRecord]:
        """The next ``limit`` trials of a version after row ``after`` that have no truth, oldest first."""
        where = "WHERE trials.truth IS NULL AND trials.version = ? AND trials.id > ? ORDER BY trials.id LIMIT ?"
        return self._records(where, version, after, limit)

    def forget(self, gone: Iterable[tuple[str, str]]) -> None:
        """Delete learners, names and ids, and their trials irrecoverably from the file."""
        with sqlite_trouble(self.path):
            forget(self._connection, gone)

    def take(self, source: Path) -> None:
        """Replace the contents by those of another logbook's file, by SQLite's online backup: all or nothing."""
        with sqlite_trouble(self.path), closing(sqlite3.connect(source)) as other:
            other.backup(self._connection)
            prepare(self._connection, self.path)

    def has(self, uid: bytes) -> bool:
        """Whether a trial of that name is there."""
        return bool(self.rows("SELECT 1 FROM trials WHERE uid = ?", (uid,)))

    def count(self, learner: str | None = None) -> int:
        """Number of trials (of a learner), void ones included."""
        if learner is None:
            return int(self.rows("SELECT count(*) FROM trials")[0][0])
        return int(self.rows("SELECT count(*) FROM trials WHERE learner = ?", (self.number(learner),))[0][0])

    def known(self) -> list[Learner]:
        """The learners, in order of creation."""
        return learners(self.rows)

    def learners(self) -> list[str]:
        """Their labels."""
        return [each.label for each in self.known()]

    def number(self, learner: str) -> int | None:
        """Row of a learner by id, label or name (of several the first); None for an unknown one."""
        return row_number(self.rows, learner)

    def _asked(self, learner: str | None) -> int | None:
        """The same, -1 for an unknown one, None for None."""
        return None if learner is None else (self.number(learner) or -1)

    def rows(self, sql: str, values: tuple[object, ...] = ()) -> list[Any]:
        """Rows of a SELECT. For the modules that know the tables."""
        with sqlite_trouble(self.path):
            return self._execute(sql, values).fetchall()

    def _records(self, where: str, *values: object) -> list[TrialRecord]:
        """The trials that a clause selects, in its order."""
        return [_record(row) for row in self.rows(f"SELECT {_COLUMNS} {_FROM} {where}", values)]

    def bench(self, bench: int) -> tuple[str, str]:
        """Device, and calibration as JSON, of a bench."""
        ((device, calibration),) = self.rows("SELECT device, calibration FROM benches WHERE id = ?", (bench,))
        return device, calibration

    def store_levels(self, learner: int, last: int, levels: Mapping[str, tuple[int, float, Seconds]]) -> None:
        """Store levels that include the trials up to row ``last``: drill -> answers, day, weights."""
        with self.writing():
            self._connection.executemany(
                "INSERT OR REPLACE INTO levels (learner, drill, last, answers, day, weights)"
                " VALUES (?, ?, ?, ?, ?, ?)",
                [
                    (learner, drill, last, answers, day, weights.astype("<f8").tobytes())
                    for drill, (answers, day, weights) in levels.items()
                ],
            )

    def forget_levels(self) -> None:
        """Clear the cache of levels, after older trials were added or results changed."""
        with self.writing():
            self._execute("DELETE FROM levels")

    def rebuild_sums(self) -> None:
        """Recompute all sums, and empty the cache of levels."""
        with self.writing() as execute:
            sum_up(execute)

    def _execute(self, sql: str, values: tuple[object, ...] = ()) -> sqlite3.Cursor:
        return self._connection.execute(sql, values)

    @contextmanager
    def writing(self) -> Iterator[Callable[[str, tuple[object, ...]], sqlite3.Cursor]]:
        """One transaction, committed at the end of the block or rolled back; gives what runs a statement."""
        with sqlite_trouble(self.path):
            self._execute("BEGIN IMMEDIATE")
            try:
                yield self._execute
                self._execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._execute("ROLLBACK")
                raise

    def _sitting(self, learner: int, started: str) -> int:
        return self._new("sittings", learner=learner, started=started)

    def _sitting_from(self, learner: int, started: str) -> int:
        """The learner's sitting with that start, created if missing."""
        row = (learner, started)
        known = self._execute("SELECT id FROM sittings WHERE learner = ? AND started = ?", row).fetchone()
        return int(known[0]) if known else self._sitting(learner, started)

    def learner_row(self, name: str, id: str | None, other: str) -> int:
        """Row of the learner with an id, or without one of the first of that name.

        Within ``writing``: one who is missing is created, with ``other`` as id if that is free.
        """
        found = row_of_name(self.rows, name) if id is None else row_number(self.rows, id)
        if found is None:
            if id is None:
                id = other if row_number(self.rows, other) is None else uuid4().hex
            found = self._new("learners", key=id, name=name)
        return found

    def _whose(self, sat: Sat, learner: int) -> int:
        """Row of the learner whose a sitting is: the trial's, or one joined to them."""
        if sat.learner_id is not None and row_number(self.rows, sat.learner_id) == learner:
            return int(self.rows("SELECT id FROM learners WHERE key = ?", (sat.learner_id,))[0][0])
        return learner

    def _bench(self, device: str, calibration: object) -> int:
        """Row of the bench, created if missing."""
        text = compact(calibration)
        asked = "SELECT id FROM benches WHERE device = ? AND calibration = ?"
        known = self._execute(asked, (device, text)).fetchone()
        return int(known[0]) if known else self._new("benches", device=device, calibration=text)

    def _new(self, table: str, **row: object) -> int:
        """Row number of a row put into a table."""
        places = ", ".join("?" * len(row))
        made = self._execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({places})", tuple(row.values()))
        return int(made.lastrowid or 0)


def compact(value: object) -> str:
    """Compact JSON. Raises ``ValueError`` for NaN and infinity."""
    return _encode(dict(value) if hasattr(value, "keys") else value)  # type: ignore[call-overload]


_encode = json.JSONEncoder(separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode


def _record(row: tuple[Any, ...]) -> TrialRecord:
    """The record of a row with ``_COLUMNS``; ``Trouble`` if it is invalid."""
    values = dict(zip(_NAMES, row, strict=True))
    id, sitting = values.pop("id"), values.pop("sitting")
    return record_of_row(values, id=id, sitting=sitting)


def seconds_between(earlier: str, later: str) -> float:
    """Seconds between two ``TrialRecord.when``."""
    return (datetime.fromisoformat(later) - datetime.fromisoformat(earlier)).total_seconds()
