"""A logbook that holds something it cannot hold: it opens, what is good is there, and the rest is kept apart."""

import json
import random
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest

from exercises.learner.plan import plan
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.copies import best_copies, copy_of, daily_copy
from exercises.logbook.health import Health, examine, seal, sealed
from exercises.logbook.opening import open_logbook
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import merge
from exercises.progress.summary import summary
from tests.exercises.trial.plain import PLAIN

pytestmark = pytest.mark.sampled(3)

NOW = datetime(2030, 5, 2, 18, tzinfo=UTC)
TRIALS = 40


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """A logbook with some trials on some days, closed."""
    path = tmp_path_factory.mktemp("written") / "logbook.sqlite3"
    with Logbook.open(path) as logbook:
        logbook.add_all(
            replace(PLAIN, uid=UUID(int=n).hex, when=f"2030-04-{1 + n // 4:02}T18:{n:02}:00Z", drill=drill)
            for n in range(TRIALS)
            for drill in [("one", "beat", "turn")[n % 3]]
        )
    return path


@pytest.fixture
def file(written, tmp_path):
    """A copy of it."""
    return Path(shutil.copy(written, tmp_path))


def change(path, *statements):
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            connection.execute(statement)


def use(path):
    """Open as every start does, and read what screens and commands read; the messages, and how many trials."""
    opened = open_logbook(path, NOW, copy=False)
    with opened.logbook as logbook:
        for name in logbook.learners():
            found = summary(logbook, name)
            list(found.lines())
            json.dumps(found.to_json())
            plan(logbook, name, NOW, 10)
        return opened.messages, len(list(logbook.all()))


POISON = (
    "UPDATE trials SET rung = 1 << 40 WHERE id = 7",
    "UPDATE trials SET at = '9999-12-31T23:59:59Z' WHERE id = 7",
    "UPDATE trials SET result = '{\"right\": 5}' WHERE id = 7",
    "UPDATE trials SET result = '[]' WHERE id = 7",
    "UPDATE trials SET taps = x'0102' WHERE id = 7",
    "UPDATE trials SET mode = 'loud' WHERE id = 7",
    "UPDATE trials SET groove = cast(x'ff' AS TEXT) WHERE id = 7",
)


@pytest.mark.sweep
@pytest.mark.parametrize("poison", POISON)
def test_a_bad_row_is_kept_apart_and_the_rest_works(file, poison):
    change(file, poison)
    messages, trials = use(file)
    assert trials == TRIALS - 1
    (aside,) = file.parent.glob("logbook-set-aside*.jsonl")
    assert aside.name in str(messages[-1])
    row = json.loads(aside.read_text(encoding="utf-8").splitlines()[1])
    assert row["uid"] == UUID(int=6).hex
    assert row["why"]
    assert use(file) == ((), TRIALS - 1)


def test_a_row_that_was_put_right_comes_back(file):
    change(file, POISON[0])
    use(file)
    (aside,) = file.parent.glob("logbook-set-aside*.jsonl")
    aside.write_text(aside.read_text(encoding="utf-8").replace(str(1 << 40), "3"), encoding="utf-8")
    with Logbook.open(file) as logbook:
        assert merge(logbook, aside).new == 1
        assert logbook.count() == TRIALS


@pytest.mark.sweep
@pytest.mark.parametrize("poison", POISON)
def test_a_good_copy_has_the_row_that_went_bad(file, poison):
    daily_copy(file, NOW)
    change(file, poison)
    assert use(file)[1] == TRIALS
    assert not list(file.parent.glob("logbook-set-aside*"))


@pytest.mark.parametrize(
    "poison",
    [
        "UPDATE days SET day = '2030-04-99' WHERE day = '2030-04-03'",
        "UPDATE days SET trials = trials + 1",
        "UPDATE days SET spent_s = 9e999 WHERE day = '2030-04-03'",
        "DELETE FROM days",
    ],
)
def test_sums_that_do_not_hold_are_made_anew(file, poison):
    change(file, poison)
    assert examine(file) is Health.SUMS
    assert use(file) == ((), TRIALS)
    assert examine(file) is Health.SOUND


def test_a_copy_of_a_day_that_never_was_is_not_the_newest(file):
    """One start with the clock in 2099; then practice goes on."""
    daily_copy(file, datetime(2099, 1, 1, tzinfo=UTC))
    with Logbook.open(file) as logbook:
        logbook.add_all(
            replace(PLAIN, uid=UUID(int=1000 + n).hex, when=f"2030-05-01T18:{n:02}:00Z") for n in range(20)
        )
    daily_copy(file, NOW)
    assert best_copies(file)[0] == copy_of(file, NOW)
    data = file.read_bytes()
    file.write_bytes(data[: len(data) // 3])
    assert use(file)[1] == TRIALS + 20


def test_a_sealed_file_is_known_to_the_last_byte(file):
    seal(file)
    assert sealed(file)
    data = bytearray(file.read_bytes())
    data[-1] ^= 1
    file.write_bytes(data)
    assert not sealed(file)


@pytest.mark.parametrize("at", [18, 19])
def test_a_format_that_no_sqlite_writes_is_damage(file, at):
    """SQLite would open the file to be read alone (file format, section 1.3.3)."""
    daily_copy(file, NOW)
    data = bytearray(file.read_bytes())
    data[at] = 66
    file.write_bytes(data)
    assert use(file)[1] == TRIALS


@pytest.mark.sweep
@pytest.mark.parametrize("seed", range(12))
def test_a_flipped_bit_never_stands_in_the_way(file, seed):
    """With a copy beside it nothing is lost, wherever in the file the bit is."""
    daily_copy(file, NOW)
    data = bytearray(file.read_bytes())
    chance = random.Random(seed)
    for _ in range(4):
        at = chance.randrange(len(data))
        data[at] ^= 1 << chance.randrange(8)
    file.write_bytes(data)
    assert use(file)[1] >= TRIALS - 4  # a flip may make another trial of one, or of its name


def test_levels_that_rotted_are_worked_out_anew(file):
    with Logbook.open(file) as logbook:
        whole = learner_levels(logbook, "me").level("one").theta
    for wrong in ("x'00'", "zeroblob(length(weights))", "substr(weights, 1, 16)"):
        change(file, f"UPDATE levels SET weights = {wrong}")
        with Logbook.open(file) as logbook:
            assert learner_levels(logbook, "me").level("one").theta == pytest.approx(whole)


def test_a_day_in_2099_is_told_and_stands_in_no_way(file):
    with Logbook.open(file) as logbook:
        logbook.add(replace(PLAIN, uid=UUID(int=500).hex, when="2099-01-01T10:00:00Z"))
    opened = open_logbook(file, NOW, copy=False)
    with opened.logbook as logbook:
        assert "2099-01-01" in str(opened.messages[-1])
        found = summary(logbook, "me", NOW.date())
        assert found.weeks[-1].monday < NOW.date()
        assert logbook.count() == TRIALS + 1
        logbook.add(replace(PLAIN, uid=UUID(int=501).hex, when="2030-05-02T18:00:00Z"))
    with open_logbook(file, NOW, copy=False).logbook as logbook:
        pass
    assert open_logbook(file, NOW, copy=False).messages == ()


def test_a_schema_that_is_no_utf_8_is_damage(file):
    """Python cannot even tell what SQLite says of it."""
    daily_copy(file, NOW)
    data = file.read_bytes()
    at = data.index(b"CREATE TABLE trials")
    file.write_bytes(data[:at] + b"\xff\xfe" + data[at + 2 :])
    assert examine(file) is Health.DAMAGED
    assert use(file)[1] == TRIALS
