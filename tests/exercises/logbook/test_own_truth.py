"""Trials keep their own truth: they open and are marked from it, whatever version the program has by now."""

import json
import sqlite3
from dataclasses import replace
from datetime import UTC, datetime

import msgspec
import numpy as np
import pytest

import exercises.drills
from app.demo.simulated import simulate
from exercises.drills import drill, drills
from exercises.logbook.old_trials import again, missing_truths, remark
from exercises.logbook.old_trials.again import ANOTHER_TRIAL, ANOTHER_VERSION, grid_drums, opened, with_sound
from exercises.logbook.old_trials.version_2 import GROOVES, rung_of_2
from exercises.logbook.opening import open_logbook
from exercises.logbook.schema import VERSIONS, statements
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import export, merge
from exercises.trial.kept.record import record
from exercises.trial.modes import Mode
from exercises.trial.side_task import busy_result, mark_side, side_task
from exercises.trial.versions import VERSION
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

NOW = datetime(2030, 5, 1, 18, tzinfo=UTC)


KNOWN = frozenset(drills())


def records(make, known=KNOWN):
    """One trial of each drill that is ``known``, with its answer and result."""
    found = []
    for each in (each for each in drills().values() if each.id in known):
        trial = make(each, min(4, len(each.rungs)))
        answer = simulate("beginner", trial)
        result = each.mark(trial, answer, calibrated=False)
        found.append(record(trial, answer, result, when=NOW, simulated=True, device="desk"))
    return found


@pytest.fixture(scope="module")
def practised():
    return records(lambda each, number: each.make(number, 7))


@pytest.fixture(scope="module")
def practised_then():
    """The same with version 0.2.0, whose trials were of version 2."""
    made = records(lambda each, number: each.make(number, 7, row=rung_of_2(each.id, number)), frozenset(GROOVES))
    return [replace(each, version=2) for each in made]


@pytest.fixture
def logbook(practised, tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as book:
        book.add_all(practised)
        yield book


@pytest.fixture
def untold(practised_then, tmp_path):
    """What version 0.2.0 left, without truths."""
    with Logbook.open(tmp_path / "before.sqlite3") as book:
        book.add_all(practised_then)
        book._connection.execute("UPDATE trials SET truth = NULL")
        yield book


@pytest.fixture
def next_version(monkeypatch):
    """The program of the next version: it makes other trials."""
    for module in (exercises.drills, again, missing_truths, remark):
        monkeypatch.setattr(module, "VERSION", VERSION + 1)


def test_every_drill_of_another_version_is_marked_from_its_own_truth(logbook, next_version, monkeypatch):
    (one,) = logbook.trials(drill="one")
    right = one.result["right"]
    logbook.set_results({one.id: json.dumps(dict(one.result) | {"right": not right})})
    for each in drills().values():  # nothing is made again
        monkeypatch.setattr(type(each), "build", None)
    found = remark.remark(logbook)
    assert (found.seen, found.older, found.gone, found.changed) == (len(drills()), 0, 0, {"one": 1})
    assert logbook.trials(drill="one")[0].result == one.result


def test_the_truth_of_version_2_is_filled_in_and_can_be_broken_off(untold, practised_then):
    """What was written before a kill is there, and the next run goes on; what cannot be made stays as it is."""
    lost = replace(practised_then[3], uid="f" * 32, sitting=None, truth=None)
    untold.add_all([replace(lost, version=1), replace(lost, uid="e" * 32, groove="lost")])
    filling_in = missing_truths.fill(untold)
    for _ in range(5):
        next(filling_in)
    filling_in.close()
    assert all(each.truth is None for each in untold.all())
    assert len([*missing_truths.fill(untold)]) == len(practised_then) + 1
    kept = {each.uid: each.truth for each in untold.all()}
    assert kept == {each.uid: each.truth for each in practised_then} | {"f" * 32: None, "e" * 32: None}
    assert remark.remark(untold).changed.total() == 0


def test_marking_again_fills_in_too(untold, practised_then):
    assert remark.remark(untold, write=False).changed.total() == 0
    assert all(each.truth is None for each in untold.all())
    assert remark.remark(untold).changed.total() == 0
    assert [each.truth for each in untold.all()] == [each.truth for each in practised_then]


def test_another_version_fills_in_only_what_is_as_long_and_marked_alike(untold, next_version):
    """Where what the program makes by now is another trial, the old one is left."""
    one, beat = (untold.trials(drill=name)[0] for name in ("one", "beat"))
    untold.set_results({one.id: json.dumps(dict(one.result) | {"extra": one.result["extra"] + 1})})
    untold._connection.execute("UPDATE trials SET sound_s = 1.5 WHERE id = ?", (beat.id,))
    list(missing_truths.fill(untold))
    assert {each.drill for each in untold.all() if each.truth is None} == {"one", "beat"}
    found = remark.remark(untold, write=False)
    assert (found.older, found.changed.total()) == (2, 0)


def test_a_truth_that_is_not_that_of_the_trial_made_again_is_told(logbook):
    (one,) = logbook.trials(drill="one")
    other = msgspec.structs.replace(one.truth, phrase_bars=8)
    logbook._connection.execute("UPDATE trials SET truth = NULL WHERE id = ?", (one.id,))
    logbook.set_truths({one.id: other})
    found = remark.remark(logbook, write=False)
    assert found.unlike == 1
    assert any(str(say).endswith("made again: 1.") for say in found.says())


def test_a_truth_that_goes_with_another_drill_ends_nothing(logbook, practised):
    """Any truth beside any drill: marked, or left and told."""
    fresh = iter(f"{n:032x}" for n in range(1000))
    logbook.add_all(
        replace(each, uid=next(fresh), sitting=None, truth=other.truth, version=1)
        for each in practised
        for other in practised
        if each.result["verdict"]
    )
    found = remark.remark(logbook, write=False)
    assert found.seen > len(practised) ** 2 / 2
    assert found.gone > len(practised)


def test_the_answers_to_a_side_task_are_marked_again(logbook):
    one = drill("one")
    trial = one.make(4, 7)
    task, answer = side_task(trial), simulate("beginner", trial)
    given = [(thing.at_s + 0.4, thing.key) for thing in task.things[1:]]
    result = busy_result(one.mark(trial, answer, calibrated=False), mark_side(task, given))
    busy = record(trial, answer, result, when=NOW, mode=Mode.BUSY, side=task, side_answers=given)
    number = logbook.add(replace(busy, result={**busy.result, "side_right": 0}))
    assert remark.remark(logbook).changed == {"one": 1}
    assert next(each for each in logbook.all() if each.id == number).result == busy.result


def test_a_trial_of_the_present_version_has_its_own_sound(practised):
    for each in practised:
        sounding, told = with_sound(opened(each))
        assert told is None
        made = drill(each.drill).make(each.rung, each.seed)
        assert np.array_equal(sounding.arrangement.hits.onset_s, made.arrangement.hits.onset_s)
        assert len(sounding.beside) == len(made.beside)


def test_a_trial_of_another_version_has_plain_drums_on_its_beats(practised, next_version):
    for each in practised:
        sounding, told = with_sound(opened(each))
        assert told.template is ANOTHER_VERSION
        assert np.array_equal(sounding.count.beats_s, opened(each).count.beats_s)
        assert np.array_equal(sounding.targets_s, opened(each).targets_s)
        assert sounding.version == VERSION


def test_the_plain_drums_rest_where_its_own_did():
    trial = drill("through").make(2, 3)
    drums = grid_drums(trial)
    (first, *_, last) = trial.rest_rows()
    silent = (trial.count.beats_s[first], trial.count.beats_s[last + 1])
    deep_s = drums.only("kick").hits.onset_s
    assert not np.any((drums.hits.onset_s >= silent[0]) & (drums.hits.onset_s < silent[1]))
    assert set(trial.count.ones_s.tolist()) - set(deep_s.tolist()) == {
        at_s for at_s in trial.count.ones_s.tolist() if silent[0] <= at_s < silent[1]
    }


def test_a_trial_that_comes_out_as_another_has_plain_drums_too(practised):
    one = next(each for each in practised if each.drill == "one")
    other = replace(one, truth=msgspec.structs.replace(one.truth, phrase_bars=8))
    sounding, told = with_sound(opened(other))
    assert told.template is ANOTHER_TRIAL
    assert sounding.arrangement.phrase_bars == 8


def test_what_was_not_kept_and_cannot_be_made_is_trouble(practised):
    with pytest.raises(Trouble, match="Another version"):
        opened(replace(practised[0], truth=None, version=1))


@pytest.mark.parametrize("ending", ["jsonl", "sqlite3"])
def test_it_goes_with_the_trial_to_another_logbook(logbook, practised, tmp_path, ending):
    export(logbook, tmp_path / f"all.{ending}")
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        assert merge(other, tmp_path / f"all.{ending}").new == len(practised)
        assert [each.truth for each in other.all()] == [each.truth for each in practised]


def test_an_export_of_version_0_2_0_has_none(logbook, tmp_path):
    path = tmp_path / "all.jsonl"
    export(logbook, path)
    head, *lines = path.read_text().splitlines()
    old = [{name: value for name, value in json.loads(line).items() if name != "truth"} for line in lines]
    path.write_text("\n".join([head, *map(json.dumps, old)]) + "\n")
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        assert merge(other, path).new == len(old)
        assert all(each.truth is None for each in other.all())


def test_a_wrong_truth_is_named(logbook, tmp_path):
    path = tmp_path / "all.jsonl"
    export(logbook, path)
    head, line, *_ = path.read_text().splitlines()
    data = json.loads(line)
    data["truth"]["beats_s"] = [2.0, 1.0]
    path.write_text(json.dumps(json.loads(head) | {"trials": 1}) + "\n" + json.dumps(data) + "\n")
    with Logbook.open(tmp_path / "other.sqlite3") as other, pytest.raises(Trouble, match=r"line 2.*truth.*beats_s"):
        merge(other, path)


def test_a_logbook_of_version_3_opens_and_is_filled_in(practised, tmp_path):
    path = tmp_path / "logbook.sqlite3"
    with Logbook.open(path) as made:
        made.add_all(practised)
    old = sqlite3.connect(tmp_path / "old.sqlite3", isolation_level=None)
    for script in VERSIONS[:3]:
        for statement in statements(script):
            old.execute(statement)
    old.execute("ATTACH ? AS new", (str(path),))
    for table in ("learners", "sittings", "benches", "trials"):
        columns = ", ".join(row[1] for row in old.execute(f"PRAGMA main.table_info({table})"))
        old.execute(f"INSERT INTO {table} ({columns}) SELECT {columns} FROM new.{table}")
    old.execute("PRAGMA application_id = 0x54414C59")
    old.execute("PRAGMA user_version = 3")
    old.close()
    with open_logbook(tmp_path / "old.sqlite3", NOW, copy=False).logbook as book:
        assert all(each.truth is None for each in book.all())
        list(missing_truths.fill(book))
        assert [each.truth for each in book.all()] == [each.truth for each in practised]
