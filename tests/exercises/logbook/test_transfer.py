"""In and out: what is written can be read by others, and comes back without doubling; deleting is for good."""

import csv
import json
import shutil
import sqlite3
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill, drills
from exercises.logbook.copies import copies, daily_copy
from exercises.logbook.old_trials.missing_truths import rebuilt
from exercises.logbook.old_trials.remark import remark
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import delete_learner, export, merge
from exercises.trial.kept.record import record
from exercises.trial.modes import Mode
from exercises.trial.side_task import busy_result, mark_side, side_task
from exercises.trial.trial import Answer, Kind
from synth.base.errors import Trouble
from synth.base.words import Say

pytestmark = pytest.mark.sampled(8)

NOW = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)


@cache
def records():
    """A trial of every drill, two of them ada's, and a void one."""
    made = []
    for place, one in enumerate(drills().values()):
        trial = one.make(1 + place % 8, place)
        answer = Answer() if trial.kind is Kind.NONE else simulate("beginner", trial)
        made.append(
            record(
                trial,
                answer,
                one.mark(trial, answer, uncertainty_ms=0.5, calibrated=place % 2 == 0),
                when=NOW if place % 3 else NOW.astimezone(timezone(timedelta(hours=-9))),
                learner="ada" if place in (2, 3) else "=1+1",
                device="desk, left",
                calibration={"lag_ms": 40.0} if place % 2 == 0 else None,
                simulated=True,
            )
        )
    void = record(drill("one").make(1, 99), Answer([1.0]), None, when=NOW, void="silence", learner="=1+1")
    return (*made, void)


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """A logbook that holds ``records``, each added by itself; closed."""
    path = tmp_path_factory.mktemp("written") / "logbook.sqlite3"
    with Logbook.open(path) as logbook:
        for each in records():
            logbook.add(each)
    return path


@pytest.fixture
def logbook(written, tmp_path):
    """A copy of it."""
    (tmp_path / "own").mkdir()
    with Logbook.open(Path(shutil.copy(written, tmp_path / "own"))) as logbook:
        yield logbook


def plain(logbook):
    """Everything that a trial is, for comparison."""
    return {
        each.uid: [
            *(each.when, each.learner, each.drill, each.seed, each.answer.taps_s.tolist(), each.answer.value),
            *(each.result, each.void, each.device, each.calibration, each.simulated, each.sound_s, each.spent_s),
            each.offset_min,
        ]
        for each in logbook.all()
    }


def test_csv_is_read_back_by_the_standard_library(logbook, tmp_path):
    """Python's csv module (RFC 4180): one row a trial, the figures those of the results."""
    n = export(logbook, tmp_path / "trials.csv")
    with (tmp_path / "trials.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    records = list(logbook.all())
    assert len(rows) == n == len(records)
    for row, each in zip(rows, records, strict=True):
        assert (row["uid"], row["drill"], int(row["rung"])) == (each.uid, each.drill, each.rung)
        assert int(row["taps"]) == len(each.answer.taps_s)
        spread = (each.result or {}).get("spread_ms")
        assert row["spread_ms"] == ("" if spread is None else str(spread))
        assert row["right"] == {True: "yes", False: "no", None: ""}[(each.result or {}).get("right")]
        assert row["void"] == ("the sound stopped" if each.void else "")


def test_no_cell_is_taken_for_a_formula(logbook, tmp_path):
    """A learner may be called =1+1 (OWASP, CSV injection: a leading quote)."""
    export(logbook, tmp_path / "trials.csv")
    with (tmp_path / "trials.csv").open(newline="", encoding="utf-8") as file:
        assert {row["learner"] for row in csv.DictReader(file)} == {"'=1+1", "ada"}


def test_csv_of_taps_has_one_row_for_each(logbook, tmp_path):
    n = export(logbook, tmp_path / "taps.csv", taps=True)
    with (tmp_path / "taps.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == n == sum(len(each.answer.taps_s) for each in logbook.all())
    by_uid = {}
    for row in rows:
        by_uid.setdefault(row["uid"], []).append(float(row["tap_s"]))
    for each in logbook.all():
        assert np.array_equal(by_uid.get(each.uid, []), each.answer.taps_s)


def test_csv_of_trials_is_read_back_by_pandas(logbook, tmp_path):
    """pandas.read_csv with its own guesses of types: a row a trial, numbers as numbers, times as times of UTC."""
    import pandas as pd  # takes a second

    n = export(logbook, tmp_path / "trials.csv")
    table = pd.read_csv(tmp_path / "trials.csv", parse_dates=["when"])
    records = list(logbook.all())
    assert len(table) == n == len(records)
    assert table["uid"].tolist() == [each.uid for each in records]
    assert table["when"].eq(pd.Timestamp(NOW)).all()
    assert table["rung"].tolist() == [each.rung for each in records]
    assert table["tempo_bpm"].tolist() == [each.tempo_bpm for each in records]
    assert table["taps"].sum() == sum(len(each.answer.taps_s) for each in records)
    for name in ("spread_ms", "hits", "score"):
        told = [(each.result or {}).get(name) for each in records]
        np.testing.assert_array_equal(table[name], np.array([np.nan if each is None else each for each in told]))
    assert table["void"].dropna().tolist() == ["the sound stopped"]


def test_csv_of_taps_is_read_back_by_pandas(logbook, tmp_path):
    """pandas.read_csv: a row a tap, each to the last digit, numbered from 1 within its trial."""
    import pandas as pd  # takes a second

    n = export(logbook, tmp_path / "taps.csv", taps=True)
    table = pd.read_csv(tmp_path / "taps.csv")
    records = {each.uid: each for each in logbook.all() if len(each.answer.taps_s)}
    assert len(table) == n
    assert set(table["uid"]) == set(records)
    for uid, rows in table.groupby("uid"):
        assert rows["tap_s"].tolist() == records[uid].answer.taps_s.tolist()
        assert rows["tap"].tolist() == list(range(1, len(rows) + 1))
        assert set(rows["drill"]) == {records[uid].drill}


def test_a_logbook_is_not_exported_onto_itself(logbook):
    before = plain(logbook)
    with pytest.raises(Trouble, match="itself"):
        export(logbook, logbook.path.parent / "." / logbook.path.name)
    assert plain(logbook) == before


@pytest.mark.parametrize("name", ["all.jsonl", "all.sqlite3"])
def test_what_goes_out_comes_in_the_same_and_only_once(logbook, tmp_path, name):
    n = export(logbook, tmp_path / name)
    with Logbook.open(tmp_path / "other" / "logbook.sqlite3") as other:
        done = merge(other, tmp_path / name)
        assert (done.trials, done.new) == (n, n)
        assert plain(other) == plain(logbook)
        assert merge(other, tmp_path / name).new == 0
        sums = "SELECT drill, day, trials, rights, spread_ms, spent_s FROM days ORDER BY 1, 2, 3, 4, 5"
        assert other.rows(sums) == logbook.rows(sums)
        assert other.rows("SELECT started FROM sittings ORDER BY 1") == logbook.rows(
            "SELECT started FROM sittings ORDER BY 1"
        )


def test_lines_of_before_the_days_of_the_place_come_in_on_those_of_utc(logbook, tmp_path):
    export(logbook, tmp_path / "new.jsonl")
    head, *lines = (tmp_path / "new.jsonl").read_text(encoding="utf-8").splitlines()
    old = [
        json.dumps({name: value for name, value in json.loads(line).items() if name != "offset_min"})
        for line in lines
    ]
    (tmp_path / "old.jsonl").write_text("\n".join([head, *old]), encoding="utf-8")
    with Logbook.open(tmp_path / "other" / "logbook.sqlite3") as other:
        assert merge(other, tmp_path / "old.jsonl").new == len(lines)
        assert {each.offset_min for each in other.all()} == {0}
        assert other.rows("SELECT DISTINCT day FROM days") == [("2030-05-01",)]


def test_two_logbooks_become_one(logbook, tmp_path):
    """Half of the trials are on both computers."""
    with Logbook.open(tmp_path / "other" / "logbook.sqlite3") as other:
        other.add_all(replace(each, sitting=None) for each in list(logbook.all())[::2])
        other.add(replace(next(logbook.all()), uid="ab" * 16, learner="ben"))
        export(other, tmp_path / "other.jsonl")
    before = logbook.count()
    assert merge(logbook, tmp_path / "other.jsonl").new == 1
    assert logbook.count() == before + 1


def test_the_lines_are_what_the_docstring_says(logbook, tmp_path):
    export(logbook, tmp_path / "ada.jsonl", learner="ada")
    head, *lines = map(json.loads, (tmp_path / "ada.jsonl").read_text(encoding="utf-8").splitlines())
    assert head == {"format": "tallybar logbook", "version": 1, "trials": 2}
    from exercises.logbook import transfer

    assert len(lines) == 2
    for name in lines[0]:
        assert f"``{name}``" in transfer.__doc__, name


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("hello\n", "line 1: not a trial"),
        ('{"format": "other"}\n', "not a logbook"),
        ('{"format": "tallybar logbook", "version": 9}\n', "version 9"),
        ('{"format": "tallybar logbook", "version": 1}\n{"uid": "00"}\n', "line 2: not a trial"),
        ('{"format": "tallybar logbook", "version": 1}\n[1, 2]\n', "line 2: not a trial"),
        ("", "empty"),
    ],
)
def test_what_is_no_logbook_is_refused_and_nothing_is_written(logbook, tmp_path, text, says):
    path = tmp_path / "in.jsonl"
    path.write_text(text, encoding="utf-8")
    before = plain(logbook)
    with pytest.raises(Trouble, match=says):
        merge(logbook, path)
    assert plain(logbook) == before


def test_a_broken_line_after_good_ones_leaves_nothing_behind(logbook, tmp_path):
    export(logbook, tmp_path / "all.jsonl")
    with (tmp_path / "all.jsonl").open("a") as file:
        file.write('{"uid": \n')
    with Logbook.open(tmp_path / "other" / "logbook.sqlite3") as other:
        with pytest.raises(Trouble, match="Nothing was imported"):
            merge(other, tmp_path / "all.jsonl")
        assert (other.count(), other.learners()) == (0, [])


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("tempo_bpm", float("nan")),
        ("tempo_bpm", float("inf")),
        ("tempo_bpm", -1),
        ("seed", 2**63),
        ("seed", -1),
        ("rung", -1),
        ("version", 2**64),
        ("result", {"right": True, "score": float("nan")}),
        ("calibration", {"lag_ms": float("inf")}),
        ("value", float("-inf")),
        ("device", "\ud800"),
    ],
)
def test_a_line_that_the_logbook_does_not_take_is_named(logbook, tmp_path, name, value):
    """Python's json reads and writes NaN and Infinity, which JSON (RFC 8259, section 6) does not know."""
    export(logbook, tmp_path / "all.jsonl")
    head, first, second, *_ = (tmp_path / "all.jsonl").read_text(encoding="utf-8").splitlines()
    head = json.dumps({**json.loads(head), "trials": 2})
    bad = json.dumps(json.loads(second) | {name: value})
    (tmp_path / "bad.jsonl").write_text("\n".join([head, first, bad]) + "\n", encoding="utf-8")
    with Logbook.open(tmp_path / "other" / "logbook.sqlite3") as other:
        with pytest.raises(Trouble, match=r"line 3: not a trial \(.*\)\. Nothing was imported"):
            merge(other, tmp_path / "bad.jsonl")
        assert (other.count(), other.learners()) == (0, [])


def test_a_file_cut_off_at_the_end_of_a_line_is_not_taken_for_whole(logbook, tmp_path):
    n = export(logbook, tmp_path / "all.jsonl")
    lines = (tmp_path / "all.jsonl").read_text(encoding="utf-8").splitlines(keepends=True)
    (tmp_path / "all.jsonl").write_text("".join(lines[:-2]), encoding="utf-8")
    with Logbook.open(tmp_path / "other" / "logbook.sqlite3") as other:
        with pytest.raises(Trouble, match=f"trials: {n - 2}, but its first line says {n}. Nothing was imported"):
            merge(other, tmp_path / "all.jsonl")
        assert (other.count(), other.learners()) == (0, [])


def test_bytes_that_are_no_text_are_refused(logbook, tmp_path):
    (tmp_path / "in.jsonl").write_bytes(b"\xff\xfe\x00" * 50)
    with pytest.raises(Trouble, match="not a"):
        merge(logbook, tmp_path / "in.jsonl")
    with pytest.raises(Trouble, match="itself"):
        merge(logbook, logbook.path)
    with pytest.raises(Trouble, match="cannot be read"):
        merge(logbook, tmp_path / "none.jsonl")


def test_a_learner_is_deleted_for_good_from_the_copies_too(logbook, tmp_path):
    """Not a byte of the name or of the taps is left in any file that the program keeps."""
    secret = record(
        drill("one").make(1, 5), Answer([1.234567]), None, when=NOW, void="x", learner="Zaphira", device="Zaphira's"
    )
    logbook.add(secret)
    assert daily_copy(logbook.path, NOW) is None
    traces = (b"Zaphira", np.array([1.234567]).tobytes(), bytes.fromhex(secret.uid))
    before = logbook.count()
    assert delete_learner(logbook, "Zaphira") == []
    assert logbook.count() == before - 1
    logbook.close()
    files = [path for path in logbook.path.parent.rglob("*") if path.is_file()]
    assert len(files) >= 2
    for path in files:
        assert not [trace for trace in traces if trace in path.read_bytes()], path
    with sqlite3.connect(copies(logbook.path)[0]) as copy:
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    copy.close()


def test_deleting_goes_on_past_a_damaged_copy_and_names_it(logbook):
    """What cannot be cleaned is told, the other copies and the logbook are clean."""
    for day in range(3):
        assert daily_copy(logbook.path, NOW + timedelta(days=day)) is None
    damaged = copies(logbook.path)[1]
    damaged.write_bytes(damaged.read_bytes()[:5000])
    assert delete_learner(logbook, "ada") == [damaged]
    assert "ada" not in logbook.learners()
    for copy in copies(logbook.path)[::2]:
        with Logbook.open(copy) as cleaned:
            assert cleaned.learners() == ["=1+1"]
    assert not list(damaged.parent.glob("*-suspect"))


def test_deleting_finds_what_is_kept_beside_whatever_the_logbook_is_called(tmp_path):
    """A name with brackets, which are a pattern to ``glob``; a logbook that only begins alike is left alone."""
    kept = tmp_path / "pupil [B]-before-restore-2030-05-01-180000", tmp_path / "pupil [B]-before-version-4.sqlite3"
    trial = record(drill("one").make(1, 5), Answer([1.0]), None, when=NOW, void="x", learner="ada", device="desk")
    for path in kept:
        with Logbook.open(path) as other:
            other.add(trial)
    with Logbook.open(tmp_path / "pupil [B]") as mine:
        mine.add(trial)
        assert delete_learner(mine, "ada") == []
    found = []
    for path in kept:
        with Logbook.open(path) as other:
            found.append(other.learners())
    assert found == [[], ["ada"]]


def test_deleting_that_failed_can_be_done_again(logbook):
    """Another program holds the logbook: the learner is still there, and is deleted the next time."""
    assert daily_copy(logbook.path, NOW) is None
    logbook._connection.execute("PRAGMA busy_timeout = 0")
    other = sqlite3.connect(logbook.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(Trouble, match="another program holds"):
        delete_learner(logbook, "ada")
    assert "ada" in logbook.learners()
    other.execute("ROLLBACK")
    other.close()
    assert delete_learner(logbook, "ada") == []
    assert "ada" not in logbook.learners()


def test_there_must_be_such_a_learner(logbook):
    with pytest.raises(Trouble, match="Did you mean ada"):
        delete_learner(logbook, "adda")


def test_every_drill_is_marked_anew_from_what_is_stored_without_a_change(logbook):
    """As long as the marking is the same, and whatever the drill."""
    found = remark(logbook)
    assert found.changed.total() == found.gone == found.older == 0
    assert (found.seen, found.void) == (len(drills()) + 1, 1)


def test_results_of_an_older_marking_are_replaced_and_told(logbook):
    (kept,) = logbook.trials(drill="one", learner=None, limit=2)[1:]
    old = dict(kept.result) | {"right": not kept.result["right"], "score": 0.123}
    logbook.set_results({kept.id: json.dumps(old)})
    dry = remark(logbook, write=False)
    assert dry.changed == {"one": 1}
    assert "Nothing was written." in map(str, dry.says())
    assert logbook.trials(drill="one", limit=2)[1].result["score"] == 0.123
    found = remark(logbook)
    assert (found.rights["one"] + found.wrongs["one"], found.changed.total()) == (1, 1)
    assert logbook.trials(drill="one", limit=2)[1].result == kept.result
    assert remark(logbook).changed.total() == 0


@pytest.mark.parametrize("wrong", [False, True])
def test_marking_anew_keeps_what_was_done_beside_a_busy_trial(logbook, wrong):
    """As it was marked at the end of the trial: figures, and the sentence on it, whether or not the marks change."""
    one = drill("one")
    trial = one.make(4, 7)
    task, answer = side_task(trial), simulate("beginner", trial)
    marks = mark_side(task, [(thing.at_s + 0.4, thing.key) for thing in task.things[1:]])
    result = busy_result(one.mark(trial, answer), marks)
    busy = record(trial, answer, result, when=NOW, mode=Mode.BUSY, calibration={"lag_ms": 40.0})
    number = logbook.add(busy)
    if wrong:
        old = dict(busy.result) | {"right": not busy.result["right"]}
        logbook.set_results({number: json.dumps(old | {"verdict": [{"say": "Old."}, old["verdict"][-1]]})})
    assert remark(logbook).changed.total() == wrong
    (kept,) = (each for each in logbook.all() if each.id == number)
    assert kept.result == busy.result
    assert (kept.result["side_right"], kept.result["side_missed"]) == (len(task.things) - 1, 1)


def test_what_cannot_be_made_again_is_left_and_told(logbook):
    one = next(each for each in logbook.all() if each.drill == "one")
    fresh = iter(f"{n:032x}" for n in range(9))
    logbook.add_all(
        [
            replace(one, uid=next(fresh), sitting=None, truth=None, version=99),
            replace(one, uid=next(fresh), sitting=None, drill="no-more"),
            replace(one, uid=next(fresh), sitting=None, truth=None, rung=77),
            replace(one, uid=next(fresh), sitting=None, truth=None, groove="lost"),
        ]
    )
    found = remark(logbook)
    assert (found.older, found.gone, found.changed.total()) == (1, 3, 0)
    assert [str(say)[-3:] for say in found.says() if "Left as they are" in str(say)] == [" 1.", " 3."]


def test_a_wish_for_tempo_and_groove_is_rebuilt_too():
    trial = drill("one").make(1, 3, tempo_bpm=143.0, groove="half-time")
    kept = record(trial, Answer(), None, when=NOW, void="x")
    again = rebuilt(kept)
    assert np.array_equal(again.targets_s, trial.targets_s)


def test_a_verdict_of_version_0_1_0_is_the_same_when_marked_again(tmp_path):
    """It was kept as English text."""
    trial = drill("beat").make(1, 5)
    answer = Answer(trial.targets_s)
    made = record(trial, answer, drill("beat").mark(trial, answer, calibrated=False), when=NOW, simulated=True)
    old = [{"say": str(say)} for say in map(Say.from_json, made.result["verdict"])]
    with Logbook.open(tmp_path / "old.sqlite3") as logbook:
        logbook.add(replace(made, result={**made.result, "verdict": old}))
        assert not remark(logbook, write=False).changed
