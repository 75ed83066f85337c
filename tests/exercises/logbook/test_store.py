"""The logbook's file: what is kept is there, and what is no logbook stays as it was."""

import sqlite3
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill
from exercises.logbook.schema import SCHEMA_VERSION
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import TrialRecord, record
from exercises.trial.kept.record import kept as as_kept
from exercises.trial.modes import Mode
from exercises.trial.trial import Answer
from synth.base.errors import Trouble
from synth.base.folders import data_folder

WHEN = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def practised():
    """A trial, its answer and its result."""
    trial = drill("one").make(3, 4)
    answer = simulate("beginner", trial)
    return trial, answer, drill("one").mark(trial, answer)


@pytest.fixture
def file(tmp_path):
    return tmp_path / "new" / "logbook.sqlite3"


def kept(practised, **more):
    return record(*practised, when=WHEN, simulated=True, **more)


def _add_many(logbook, practised):
    for _ in range(50):
        logbook.add(kept(practised))


def same(one, other):
    """Whether two records agree but for what the logbook adds: row number, sitting, time, names that last."""
    added = {"id": None, "sitting": None, "spent_s": None, "rung_id": None, "learner_id": None}
    plain = [replace(each, answer=Answer(), **added) for each in (one, other)]
    names = [name for name in TrialRecord.__slots__ if name != "answer"]
    return (
        all(getattr(plain[0], name) == getattr(plain[1], name) for name in names)
        and np.array_equal(one.answer.taps_s, other.answer.taps_s)
        and one.answer.value == other.answer.value
    )


def test_a_record_comes_back_as_it_was_given(file, practised):
    calibration = {"lag_ms": 41.5, "error_ms": 0.8, "method": "microphone"}
    given = kept(practised, device="Headphones, left desk", calibration=calibration, mode=Mode.BUSY)
    with Logbook.open(file) as logbook:
        logbook.add(given)
    with Logbook.open(file) as logbook:
        (back,) = logbook.trials()
    assert same(given, back)
    assert back.answer.taps_s.dtype == np.float64


def test_a_choice_and_a_void_trial_come_back_too(file, practised):
    trial, _, _ = practised
    void = record(trial, Answer(value="3.2"), None, when=WHEN, void="the sound stopped")
    with Logbook.open(file) as logbook:
        logbook.add(void)
        (back,) = logbook.trials()
    assert same(void, back)
    assert (back.void, back.result) == ("the sound stopped", None)


def test_the_stored_taps_give_the_stored_result_again(file, practised):
    """What is left out of the stored result follows from trial and taps."""
    with Logbook.open(file) as logbook:
        logbook.add(kept(practised))
        (back,) = logbook.trials()
    rebuilt = drill(back.drill).make(back.rung, back.seed, tempo_bpm=back.tempo_bpm, groove=back.groove)
    assert as_kept(rebuilt, drill("one").mark(rebuilt, back.answer)) == back.result
    assert "errors_ms" not in back.result


@pytest.mark.parametrize("seed", range(8))
def test_targets_of_half_and_double_time_stand_in_the_bar_in_which_they_sound(seed):
    """Against the bars themselves: each lasts from one beat with the number 1 to the next."""
    trial = drill("feel").make(5, seed)
    count = trial.count
    ones = np.flatnonzero(count.beat_in_bar == 1)
    hits = as_kept(trial, drill("feel").mark(trial, simulate("perfect", trial)))["phrase_hits"]
    found = dict.fromkeys(hits, 0)
    for first, end_s in zip(ones, [*count.beats_s[ones[1:]], np.inf], strict=True):
        inside = (trial.targets_s > count.beats_s[first] - 0.001) & (trial.targets_s < end_s - 0.001)
        if inside.any():
            found[str(count.bar_in_phrase[first])] += int(inside.sum())
    assert {bar: there for bar, (there, _) in hits.items()} == found


def test_the_newest_trial_comes_first_and_lists_can_be_cut(file, practised):
    with Logbook.open(file) as logbook:
        ids = [logbook.add(kept(practised, learner=name)) for name in ("ada", "ben", "ada")]
        assert [row.id for row in logbook.trials()] == ids[::-1]
        assert [row.id for row in logbook.trials(1)] == [ids[2]]
        assert [row.id for row in logbook.trials(1, offset=1)] == [ids[1]]
        assert [row.id for row in logbook.trials(learner="ada")] == [ids[2], ids[0]]
        assert logbook.trials(drill="turn") == []
        assert (logbook.count(), logbook.learners()) == (3, ["ada", "ben"])


def test_the_same_trial_is_not_kept_twice(file, practised):
    with Logbook.open(file) as logbook:
        first = kept(practised)
        assert logbook.add(first) == logbook.add(first)
        assert logbook.count() == 1


def test_a_trial_is_on_disk_when_add_returns(file, practised):
    """Another process sees it while this one has not closed the file."""
    with Logbook.open(file) as logbook:
        logbook.add(kept(practised))
        counting = "import sqlite3, sys; print(*sqlite3.connect(sys.argv[1]).execute('select count(*) from trials'))"
        seen = subprocess.run([sys.executable, "-c", counting, str(file)], capture_output=True, text=True, check=True)
    assert seen.stdout.strip() == "(1,)"


def test_a_commit_is_flushed_through_the_write_ahead_log(file):
    """SQLite's documentation: in WAL mode a commit survives a loss of power with synchronous = FULL (2)."""
    with Logbook.open(file) as logbook:
        (mode,) = logbook._connection.execute("PRAGMA journal_mode").fetchone()
        (flush,) = logbook._connection.execute("PRAGMA synchronous").fetchone()
    assert (mode, flush) == ("wal", 2)


def test_a_trial_that_cannot_be_kept_leaves_nothing_behind(file, practised):
    """A result with a value that JSON does not know: nothing is written, not even the learner."""
    broken = replace(kept(practised, learner="eve"), result={"bias_ms": float("nan")})
    with Logbook.open(file) as logbook:
        with pytest.raises(ValueError, match="JSON"):
            logbook.add(broken)
        assert (logbook.count(), logbook.learners()) == (0, [])
        logbook.add(kept(practised))


def test_two_windows_write_to_one_logbook(file, practised):
    with Logbook.open(file) as one, Logbook.open(file) as two:
        for _ in range(3):
            one.add(kept(practised))
            two.add(kept(practised))
        assert one.count() == two.count() == 6


def test_a_logbook_held_by_another_program_is_told(file, practised):
    Logbook.open(file).close()
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with Logbook.open(file, busy_s=0.0) as logbook:
        with pytest.raises(Trouble, match="another program holds the logbook"):
            logbook.add(kept(practised))
        other.execute("ROLLBACK")
        other.close()
        logbook.add(kept(practised))


def test_a_newer_logbook_is_refused_and_left_untouched(file, practised):
    with Logbook.open(file) as logbook:
        logbook.add(kept(practised))
    with sqlite3.connect(file) as newer:
        newer.execute(f"PRAGMA user_version = {SCHEMA_VERSION + 4}")
    newer.close()
    before = file.read_bytes()
    with pytest.raises(Trouble, match=f"version {SCHEMA_VERSION + 4}.*up to {SCHEMA_VERSION}"):
        Logbook.open(file)
    assert file.read_bytes() == before
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_another_programs_database_is_left_untouched(tmp_path):
    path = tmp_path / "other.sqlite3"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE recipes (name)")
    other.close()
    before = path.read_bytes()
    with pytest.raises(Trouble, match="another program's database"):
        Logbook.open(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("junk", [b"hello", b"SQLite format 3\0", b"\0" * 4096, bytes(range(256)) * 20])
def test_what_is_no_database_is_left_untouched(tmp_path, junk):
    path = tmp_path / "logbook.sqlite3"
    path.write_bytes(junk)
    with pytest.raises(Trouble, match="not a logbook"):
        Logbook.open(path)
    assert path.read_bytes() == junk


def test_a_damaged_logbook_is_told(file, practised):
    with Logbook.open(file) as logbook:
        for _ in range(40):
            logbook.add(kept(practised))
    data = bytearray(file.read_bytes())
    data[4096:] = b"\xa5" * (len(data) - 4096)
    file.write_bytes(data)
    with pytest.raises(Trouble, match="damaged"), Logbook.open(file) as logbook:
        logbook.trials()


def test_a_folder_in_the_place_of_the_file_is_told(tmp_path):
    with pytest.raises(Trouble, match="a folder"):
        Logbook.open(tmp_path)


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(Trouble, match="cannot be"):
        Logbook.open(tmp_path / "file" / "logbook.sqlite3")


def test_a_file_that_may_not_be_written_is_told(file, practised, monkeypatch):
    """The rights are asked for by os.access, which is told to say no: whoever runs the tests may be root."""
    Logbook.open(file).close()
    monkeypatch.setattr("os.access", lambda path, mode: False)
    with pytest.raises(Trouble, match="may not be written"):
        Logbook.open(file)


def test_a_full_disk_is_told_and_keeps_what_was_there(file, practised):
    with Logbook.open(file) as logbook:
        logbook.add(kept(practised))
        (pages,) = logbook._connection.execute("PRAGMA page_count").fetchone()
        logbook._connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(Trouble, match=r"disk is full\. Everything kept so far is still there"):
            _add_many(logbook, practised)
        assert logbook.count() >= 1


def test_the_learners_own_logbook_lies_in_the_data_folder(home):
    assert data_folder() == home
    with Logbook.open() as logbook:
        assert logbook.path.parent == home


def test_without_a_wish_the_platform_chooses_the_folder(monkeypatch):
    monkeypatch.delenv("TALLYBAR_HOME")
    assert data_folder().name == "tallybar"


@pytest.mark.parametrize(
    "more",
    [{"when": "yesterday"}, {"void": "silence"}, {"result": None}, {"learner": ""}],
    ids=lambda more: str(more),
)
def test_a_record_that_makes_no_sense_is_refused(practised, more):
    with pytest.raises(ValueError, match=r"expected|result|name"):
        replace(kept(practised), **more)


def test_a_time_without_its_zone_is_refused(practised):
    with pytest.raises(ValueError, match="zone"):
        record(*practised, when=datetime(2030, 5, 1))
