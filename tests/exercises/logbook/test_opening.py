"""Opening the logbook: copies by the day, and a damaged file mended without losing what can be kept."""

import json
import sqlite3
from dataclasses import replace
from datetime import timedelta

import pytest

from exercises.learner.stored_levels import learner_levels
from exercises.logbook.copies import COPIES, copies, daily_copy
from exercises.logbook.file import cut_off
from exercises.logbook.opening import open_logbook
from exercises.logbook.schema import SCHEMA_VERSION, VERSIONS, statements
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import export, merge
from exercises.trial.kept.record import TrialRecord
from exercises.trial.trial import Answer
from synth.base.errors import Trouble
from tests.exercises.trial.plain import NOW, PLAIN

pytestmark = pytest.mark.sampled(3)

TAPPED = replace(PLAIN, answer=Answer([1.0, 2.0]), result={"right": True, "verdict": [], "filler": "x" * 500})


def fresh(number=0):
    """A record of its own, ``number`` minutes after the first."""
    when = (NOW + timedelta(minutes=number)).strftime("%Y-%m-%dT%H:%M:%SZ")
    return replace(TAPPED, when=when, uid=TrialRecord.__dataclass_fields__["uid"].default_factory())


@pytest.fixture
def file(tmp_path):
    """A logbook with a copy of 40 trials, and 20 more since."""
    path = tmp_path / "logbook.sqlite3"
    with open_logbook(path, NOW, copy=False).logbook as logbook:
        logbook.add_all(fresh(number) for number in range(40))
        assert daily_copy(path, NOW) is None
        logbook.add_all(fresh(number) for number in range(40, 60))
    return path


def scribble(path, first, last):
    data = bytearray(path.read_bytes())
    data[first:last] = b"\xa5" * (last - first)
    path.write_bytes(data)


def test_seven_copies_are_kept_one_a_day(file):
    for day in range(10):
        assert daily_copy(file, NOW + timedelta(days=day, hours=1)) is None
        assert daily_copy(file, NOW + timedelta(days=day, hours=2)) is None
    assert [path.name for path in copies(file)] == [f"logbook-2030-05-{day:02}.sqlite3" for day in range(10, 3, -1)]
    assert len(copies(file)) == COPIES
    with Logbook.open(copies(file)[0]) as copy:
        assert copy.count() == 60


@pytest.mark.parametrize("name", ["pupil [B].1.sqlite3", "pupil.db", "pupil"])
def test_copies_are_called_after_the_logbook(file, name):
    """Whatever it is called, it comes back from its copy, which is told with its day."""
    other = file.replace(file.with_name(name))
    assert copies(other) == []
    assert daily_copy(other, NOW) is None
    assert [copy.parent.name for copy in copies(other)] == [f"{other.stem}-copies"]
    other.unlink()
    opened = open_logbook(other, NOW, copy=False)
    with opened.logbook as logbook:
        assert logbook.count() == 60
    assert "The copy of 2030-05-01 was opened" in " ".join(map(str, opened.messages))


def test_a_copy_that_cannot_be_made_is_told_and_stops_nothing(file):
    (file.parent / "logbook-copies").rename(file.parent / "elsewhere")
    (file.parent / "logbook-copies").write_text("in the way")
    opened = open_logbook(file, NOW)
    assert "could not be made" in " ".join(map(str, opened.messages))
    with opened.logbook as logbook:
        assert logbook.count() == 60


def test_a_sound_logbook_opens_without_a_word(file):
    opened = open_logbook(file, NOW)
    opened.logbook.close()
    assert not opened.messages


def test_a_damaged_file_is_set_aside_and_the_copy_opened_with_what_could_be_read(file):
    """The pages of the first trials are scribbled over; the last ones can still be read, and are added."""
    damaged = file.read_bytes()
    scribble(file, 80_000 - 80_000 % 4096, 84_000)
    damaged = file.read_bytes()
    with open_logbook(file, NOW, copy=False).logbook as logbook:
        count = logbook.count()
    assert 40 <= count <= 60
    (aside,) = file.parent.glob("*-damaged-*.sqlite3")
    assert aside.read_bytes() == damaged


def test_a_mended_logbook_writes_ahead_again(file):
    """As a new one does; what SQLite says of the mode (https://www.sqlite.org/wal.html, section 3.3)."""
    file.write_bytes(file.read_bytes()[:20_000])
    with open_logbook(file, NOW, copy=False).logbook as logbook:
        assert logbook.rows("PRAGMA journal_mode") == [("wal",)]


def test_a_file_that_is_busy_keeps_its_mode_and_is_opened(file):
    with sqlite3.connect(file, isolation_level=None) as other:
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM trials").fetchone()  # a reader, who does not let go
        with Logbook.open(file, busy_s=0) as logbook:
            assert logbook.count() == 60
            assert logbook.rows("PRAGMA journal_mode") == [("delete",)]
    other.close()
    with Logbook.open(file) as logbook:
        assert logbook.rows("PRAGMA journal_mode") == [("wal",)]


@pytest.mark.parametrize("share", [0.3, 0.7, 0.97])
def test_a_cut_off_file_is_set_aside_and_told(file, share):
    file.write_bytes(file.read_bytes()[: int(file.stat().st_size * share)])
    opened = open_logbook(file, NOW, copy=False)
    with opened.logbook as logbook:
        assert logbook.count() >= 40
        logbook.add(fresh(99))
    words = " ".join(map(str, opened.messages))
    assert "copy of 2030-05-01 was opened. Trials kept: 40" in words
    assert "may be missing" in words
    assert len(list(file.parent.glob("*-damaged-*.sqlite3"))) == 1


def test_a_checkpoint_that_was_broken_off_is_no_damage(tmp_path):
    """A full disk, or a crash: the first page is new and the file is short, but the write-ahead log has the rest."""
    path, there = tmp_path / "logbook.sqlite3", tmp_path / "there"
    there.mkdir()
    with Logbook.open(path) as logbook:
        logbook._connection.execute("PRAGMA wal_autocheckpoint = 0")
        logbook.add_all(fresh(number) for number in range(60))
        wal = path.with_name(path.name + "-wal").read_bytes()
        logbook._connection.execute("PRAGMA wal_checkpoint(FULL)")
        first_page = path.read_bytes()[:4096]
    (there / path.name).write_bytes(first_page)
    (there / f"{path.name}-wal").write_bytes(wal)
    assert cut_off(there / path.name)
    opened = open_logbook(there / path.name, NOW, copy=False)
    with opened.logbook as logbook:
        assert not opened.messages
        assert logbook.count() == 60


def test_a_disk_too_full_to_mend_leaves_everything_as_it_was(file, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    file.write_bytes(file.read_bytes()[:20_000])
    before = file.read_bytes()
    monkeypatch.setattr("shutil.copyfile", full)
    with pytest.raises(Trouble, match="cannot be mended now"):
        open_logbook(file, NOW)
    assert file.read_bytes() == before
    assert len(list(file.parent.glob("*"))) == 2


@pytest.mark.parametrize("junk", [b"hello", b"\0" * 8192, bytes(range(256)) * 40, b""])
def test_random_bytes_in_place_of_the_logbook_are_set_aside_where_there_is_a_copy(file, junk):
    file.write_bytes(junk)
    opened = open_logbook(file, NOW, copy=False)
    with opened.logbook as logbook:
        assert logbook.count() == 40
    assert opened.messages
    (aside,) = file.parent.glob("*-damaged-*.sqlite3")
    assert aside.read_bytes() == junk


def test_random_bytes_without_a_copy_are_left_alone(tmp_path):
    """It may be anybody's file."""
    path = tmp_path / "logbook.sqlite3"
    path.write_bytes(b"my diary")
    with pytest.raises(Trouble, match="not a logbook"):
        open_logbook(path, NOW)
    assert path.read_bytes() == b"my diary"


def test_a_missing_file_comes_back_from_its_copy(file):
    file.unlink()
    opened = open_logbook(file, NOW, copy=False)
    with opened.logbook as logbook:
        assert logbook.count() == 40
    assert "missing" in " ".join(map(str, opened.messages))


def test_a_damaged_copy_is_passed_over(file):
    daily_copy(file, NOW + timedelta(days=1))
    scribble(copies(file)[0], 8192, 40_000)
    file.write_bytes(file.read_bytes()[:20_000])
    opened = open_logbook(file, NOW, copy=False)
    opened.logbook.close()
    assert "copy of 2030-05-01" in " ".join(map(str, opened.messages))


def test_a_damaged_logbook_is_never_copied_over_a_good_one(file):
    """It is told, and the next start mends it, however large the file is."""
    before = copies(file)
    scribble(file, 20_480, 40_960)
    assert "damaged" in str(daily_copy(file, NOW + timedelta(days=1)))
    assert copies(file) == before
    opened = open_logbook(file, NOW, copy=False)
    opened.logbook.close()
    assert "set aside" in " ".join(map(str, opened.messages))


def test_a_newer_logbook_and_a_locked_one_are_not_taken_for_damaged(file):
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    opened = open_logbook(file, NOW, copy=False)
    assert not opened.messages
    opened.logbook.close()
    other.execute("ROLLBACK")
    other.execute("PRAGMA user_version = 99")
    other.close()
    before = file.read_bytes()
    with pytest.raises(Trouble, match="version 99"):
        open_logbook(file, NOW)
    assert file.read_bytes() == before


def test_an_older_logbook_is_brought_up_to_date_with_a_copy_kept(tmp_path):
    """A file as version 1 left it, trials in it."""
    path = tmp_path / "logbook.sqlite3"
    old = sqlite3.connect(path, isolation_level=None)
    old.execute("PRAGMA journal_mode = WAL")
    for statement in statements(VERSIONS[0]):
        old.execute(statement)
    old.execute("INSERT INTO learners (name) VALUES ('ada')")
    old.execute("INSERT INTO benches (device, calibration) VALUES ('desk', 'null')")
    old.executemany(
        "INSERT INTO trials (uid, at, learner, bench, drill, rung, seed, version, mode, groove, tempo_bpm, taps,"
        " value, result, simulated)"
        " VALUES (?, '2030-05-01T18:00:00Z', 1, 1, 'one', 1, 1, 1, 'plain', 'backbeat', 100.0,"
        ' x\'\', \'null\', \'{"right":true,"spread_ms":20.5,"hits":5,"targets":9}\', 0)',
        [(bytes([number]) * 16,) for number in range(5)],
    )
    old.execute("PRAGMA application_id = 0x54414C59")
    old.execute("PRAGMA user_version = 1")
    old.close()
    with open_logbook(path, NOW, copy=False).logbook as logbook:
        assert logbook.count() == 5
        logbook.add(replace(TAPPED, learner="ada", device="desk"))
        rows = logbook._connection.execute("SELECT trials, rights, spreads, spread_ms FROM days").fetchall()
    assert rows == [(6, 6, 5, 102.5)]
    kept = sqlite3.connect(path.with_name(f"logbook-before-version-{SCHEMA_VERSION}.sqlite3"))
    assert kept.execute("PRAGMA user_version").fetchone() == (1,)
    assert kept.execute("SELECT count(*) FROM trials").fetchone() == (5,)
    kept.close()


def test_a_logbook_of_version_2_keeps_its_days_and_takes_local_ones(tmp_path):
    """What was kept by UTC's days stays there; marked anew or deleted it goes from the day on which it stands."""
    path = tmp_path / "logbook.sqlite3"
    old = sqlite3.connect(path, isolation_level=None)
    old.execute("PRAGMA journal_mode = WAL")
    for script in VERSIONS[:2]:
        for statement in statements(script):
            old.execute(statement)
    old.execute("INSERT INTO learners (name) VALUES ('ada')")
    old.execute("INSERT INTO benches (device, calibration) VALUES ('desk', 'null')")
    old.executemany(
        "INSERT INTO trials (uid, at, learner, bench, drill, rung, seed, version, mode, groove, tempo_bpm, taps,"
        " value, result, simulated)"
        " VALUES (?, '2030-05-02T03:00:00Z', 1, 1, 'one', 1, 1, 1, 'plain', 'backbeat', 100.0,"
        " x'', 'null', '{\"right\":true}', 0)",
        [(bytes([number]) * 16,) for number in range(2)],
    )
    old.execute("PRAGMA application_id = 0x54414C59")
    old.execute("PRAGMA user_version = 2")
    old.close()
    of_days = "SELECT day, trials, rights FROM days ORDER BY day"
    with open_logbook(path, NOW, copy=False).logbook as logbook:
        assert logbook.rows(of_days) == [("2030-05-02", 2, 2)]
        evening = replace(TAPPED, learner="ada", device="desk", when="2030-05-02T03:00:00Z", offset_min=-300)
        number = logbook.add(evening)
        assert logbook.rows(of_days) == [("2030-05-01", 1, 1), ("2030-05-02", 2, 2)]
        assert [each.offset_min for each in logbook.all()] == [0, 0, -300]
        logbook.set_results({number: '{"right":false}', 1: '{"right":false}'})
        assert logbook.rows(of_days) == [("2030-05-01", 1, 0), ("2030-05-02", 2, 1)]
        logbook._connection.execute("DELETE FROM trials WHERE id = ?", (number,))
        assert logbook.rows(of_days) == [("2030-05-02", 2, 1)]
    assert path.with_name(f"logbook-before-version-{SCHEMA_VERSION}.sqlite3").exists()


def test_a_logbook_of_version_4_gets_the_names_of_its_rungs(tmp_path):
    """By the numbers of then: also of rungs that have moved or are no more, and none where nobody knows the drill.

    A line of an export of then is read the same.
    """
    path = tmp_path / "logbook.sqlite3"
    old = sqlite3.connect(path, isolation_level=None)
    old.execute("PRAGMA journal_mode = WAL")
    for script in VERSIONS[:4]:
        for statement in statements(script):
            old.execute(statement)
    old.execute("INSERT INTO learners (name) VALUES ('ada')")
    old.execute("INSERT INTO benches (device, calibration) VALUES ('desk', 'null')")
    old.executemany(
        "INSERT INTO trials (uid, at, learner, bench, drill, rung, seed, version, mode, groove, tempo_bpm, taps,"
        " value, result, simulated)"
        " VALUES (?, '2030-05-01T18:00:00Z', 1, 1, ?, ?, 1, 3, 'plain', 'backbeat', 100.0,"
        " x'', 'null', '{\"right\":true}', 0)",
        [(bytes([at]) * 16, *row) for at, row in enumerate([("one", 4), ("turn", 5), ("intro", 4), ("none", 1)])],
    )
    old.execute("INSERT INTO levels VALUES (1, 'one', 4, 1, 20000.0, x'00')")
    old.execute("PRAGMA application_id = 0x54414C59")
    old.execute("PRAGMA user_version = 4")
    old.close()
    names = ["kick-on-every-beat", "six-too", "any-sign", None]
    with open_logbook(path, NOW, copy=False).logbook as logbook:
        assert [(each.rung, each.rung_id) for each in logbook.all()] == list(zip((4, 5, 4, 1), names, strict=True))
        assert logbook.rows("SELECT count(*) FROM levels") == [(0,)]
        assert set(learner_levels(logbook, "ada").tried) == {"one", "turn", "intro"}
        export(logbook, tmp_path / "all.jsonl")
    lines = [json.loads(line) for line in (tmp_path / "all.jsonl").read_text("utf-8").splitlines()]
    assert [line["rung_id"] for line in lines[1:]] == names
    for line in lines[1:]:
        del line["rung_id"]
    (tmp_path / "then.jsonl").write_text("\n".join(map(json.dumps, lines)), "utf-8")
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        assert merge(other, tmp_path / "then.jsonl").new == 4
        assert [each.rung_id for each in other.all()] == names
