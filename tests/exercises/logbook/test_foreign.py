"""Logbooks made by hand: read through the border or refused, and left as they were."""

import json
import os
import sqlite3
from contextlib import closing
from dataclasses import replace
from uuid import uuid4

import pytest

from exercises.logbook.foreign import foreign
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import to_json
from exercises.trial.trial import Answer
from synth.base.errors import Trouble
from tests.exercises.trial.plain import PLAIN

pytestmark = pytest.mark.sampled(3)


@pytest.fixture
def book(tmp_path):
    """A logbook with three trials, closed."""
    path = tmp_path / "other.sqlite3"
    with Logbook.open(path) as logbook:
        for second in range(3):
            logbook.add(replace(PLAIN, when=f"2030-05-01T18:00:0{second}Z", uid=uuid4().hex))
    return path


def _change(path, *statements):
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        for statement in statements:
            file.execute(statement)
        file.execute("PRAGMA journal_mode = DELETE")


def test_every_trial_is_read_as_it_was_kept(book):
    with Logbook.open(book) as logbook:
        kept = [to_json(each) for each in logbook.all()]
    _change(book)
    before = book.read_bytes()
    with foreign(book) as other:
        assert [to_json(each.record) for each in other.trials()] == kept
        assert len(other) == 3
    assert book.read_bytes() == before
    assert [each.name for each in book.parent.iterdir()] == [book.name]


def test_what_another_window_has_just_written_is_read_too(book):
    with Logbook.open(book) as logbook:
        logbook.add(replace(PLAIN, when="2030-05-02T18:00:00Z", uid=uuid4().hex))
        with foreign(book) as other:
            assert len(list(other.trials())) == 4


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ("UPDATE trials SET rung = 1 << 40 WHERE id = 2", "rung"),
        ("UPDATE trials SET rung = -1 WHERE id = 2", "rung"),
        ("UPDATE trials SET at = '9999-12-31T00:00:00Z' WHERE id = 2", "year"),
        ("UPDATE trials SET at = 'yesterday' WHERE id = 2", "when"),
        ("UPDATE trials SET taps = x'00' WHERE id = 2", "taps"),
        ("UPDATE trials SET taps = zeroblob(8 * 30000) WHERE id = 2", "taps"),
        ("UPDATE trials SET value = '{' WHERE id = 2", "JSON"),
        ("UPDATE trials SET result = json_set(result, '$.right', 5) WHERE id = 2", "right"),
        ("UPDATE trials SET result = json_set(result, '$.phrase_hits', 'x') WHERE id = 2", "phrase_hits"),
        (
            "UPDATE trials SET result = json_set(result, '$.phrase_hits', json('{\"1\": [1, 2]}')) WHERE id = 2",
            "no more hits than targets",
        ),
        ("UPDATE trials SET result = json_set(result, '$.targets', 1, '$.hits', 2) WHERE id = 2", "no more hits"),
        ("UPDATE trials SET result = json_set(result, '$.beat_tapped', 3) WHERE id = 2", "beat_tapped"),
        ("UPDATE trials SET result = json_set(result, '$.hits', 5) WHERE id = 2", "targets"),
        ("UPDATE trials SET groove = cast(x'ff' AS TEXT) WHERE id = 2", ""),
        ("UPDATE trials SET mode = 'loud' WHERE id = 2", "mode"),
        ("UPDATE trials SET tempo_bpm = 1e308 WHERE id = 2", "tempo"),
        ("UPDATE trials SET simulated = 7 WHERE id = 2", "simulated"),
    ],
)
def test_one_unfit_row_is_told_and_the_others_are_read(book, change, why):
    _change(book, "DROP TRIGGER trial_marked", change)
    with foreign(book) as other:
        found = list(other.trials())
    assert [each.record is None for each in found] == [False, True, False]
    assert why in found[1].why
    assert found[1].why.isprintable()


ENDLESS = "WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x FROM n"


@pytest.mark.parametrize(
    "statements",
    [
        ("ALTER TABLE trials RENAME TO hidden", f"CREATE VIEW trials AS {ENDLESS}"),
        ("ALTER TABLE trials RENAME TO hidden", "CREATE VIEW trials AS SELECT * FROM hidden"),
        (
            "ALTER TABLE learners RENAME TO gone",
            f"CREATE VIEW learners AS SELECT 1 AS id, x AS name FROM ({ENDLESS})",
        ),
        ("ALTER TABLE trials DROP COLUMN groove",),
        ("ALTER TABLE trials DROP COLUMN groove", "ALTER TABLE trials ADD COLUMN groove TEXT AS (hex(zeroblob(9)))"),
        ("PRAGMA user_version = 99",),
        ("PRAGMA user_version = 0",),
        ("PRAGMA application_id = 7",),
    ],
)
def test_nothing_of_a_foreign_schema_is_run(book, statements):
    triggers = [f"DROP TRIGGER trial_{what}" for what in ("added", "taken", "marked")]
    _change(book, *triggers, "PRAGMA foreign_keys = OFF", "PRAGMA legacy_alter_table = ON", *statements)
    with pytest.raises(Trouble) as told, foreign(book) as other:
        list(other.pairs())
    assert str(told.value).isprintable()


def test_a_huge_value_is_not_loaded(book):
    _change(book, "DROP TRIGGER trial_marked", "UPDATE trials SET taps = zeroblob(20000000) WHERE id = 2")
    with pytest.raises(Trouble, match="too large"), foreign(book) as other:
        list(other.pairs())


@pytest.mark.parametrize("data", [b"", b"SQLite format 3\0", b"\0" * 4096, json.dumps({"a": 1}).encode()])
def test_what_is_no_database_is_told(tmp_path, data):
    path = tmp_path / "other.sqlite3"
    path.write_bytes(data)
    with pytest.raises(Trouble, match="not a logbook"), foreign(path):
        pass


def test_a_whole_number_stays_one(book):
    """An answer of 24 bars, and the taps of a calibration, as they were kept."""
    with Logbook.open(book) as logbook:
        logbook.add(replace(PLAIN, uid=uuid4().hex, answer=Answer(value=24), calibration={"taps": 30, "lag_ms": 1.5}))
        kept = logbook.trials(1)[0]
    assert json.dumps([kept.answer.value, kept.calibration]) == '[24, {"taps": 30, "lag_ms": 1.5}]'


@pytest.mark.skipif(os.name != "posix", reason="names are bytes on POSIX alone")
def test_a_name_that_is_no_utf_8_is_read(book):
    odd = book.rename(book.with_name(os.fsdecode(b"caf\xe9?#%.sqlite3")))
    with foreign(odd) as other:
        assert len(other) == 3
