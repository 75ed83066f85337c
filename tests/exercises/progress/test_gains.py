"""What went well, in numbers; and a new rung, announced once."""

from datetime import UTC, datetime, timedelta
from functools import lru_cache

import numpy as np
import pytest

from exercises.drills import drill
from exercises.learner.level import TOLD_FROM
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.store import Logbook
from exercises.progress.gains import (
    EXPLAINED_TO,
    FOLLOWS,
    STANDS,
    Tally,
    comes_back,
    day_began,
    last_time,
    new_rung,
    stands,
    sure,
    tally,
)
from exercises.progress.overview import ladder
from exercises.trial.kept.record import record
from exercises.trial.result import Result
from exercises.trial.trial import Answer

NOW = datetime(2030, 1, 1, 12, 0, tzinfo=UTC)


@lru_cache(maxsize=32)
def made(drill_id, rung):
    return drill(drill_id).make(rung, 1)


def result(drill_id, rung, right):
    trial = made(drill_id, rung)
    return trial, Result(drill_id, rung, 1, right=right, score=float(bool(right)), verdict=())


def test_a_tally_counts_answers_and_silence_carried():
    whole = sum((tally(*result("through", 2, right)) for right in (True, True, False, None)), Tally())
    assert whole == Tally(2, 3, 4)
    assert [str(each) for each in whole.says()] == ["2 of 3 right this time.", "4 bars of silence carried."]
    assert whole - tally(*result("through", 2, True)) == Tally(1, 2, 2)
    assert str(tally(*result("through", 1, True)).says()[1]) == "1 bar of silence carried."
    assert [str(each) for each in tally(*result("one", 2, True)).says()] == ["1 of 1 right this time."]
    assert Tally().says() == ()


def answers(logbook, drill_id, rights, start=NOW):
    """Answers on the rung that suits; yields what each of them announces."""
    one = drill(drill_id)
    for number, right in enumerate(rights):
        before = learner_levels(logbook, "me")
        rung = before.level(drill_id).rung(one)
        trial, marked = result(drill_id, rung, right)
        when = start + timedelta(minutes=number)
        one_more = record(trial, Answer(), marked, when=when, learner="me", groove="", device="", calibration=None)
        logbook.add(one_more)
        yield new_rung(before, learner_levels(logbook, "me"), one, logbook, "me")


def on_rung(logbook, rung, rights, when):
    for right in rights:
        trial, marked = result("drum", rung, right)
        logbook.add(record(trial, Answer(), marked, when=when, learner="me", groove="", device="", calibration=None))


def test_last_time_are_the_answers_of_the_day_before_on_the_rung_of_today(logbook):
    one = drill("drum")
    assert last_time(logbook, "me", one) == Tally()
    on_rung(logbook, 1, [True, False, False], NOW - timedelta(days=9))
    assert last_time(logbook, "me", one) == Tally()  # the first day has nothing before it
    on_rung(logbook, 1, [True, True, False, False], NOW - timedelta(days=3))
    on_rung(logbook, 2, [True, True], NOW - timedelta(days=3))
    on_rung(logbook, 2, [False], NOW - timedelta(days=1))
    on_rung(logbook, 1, [True, True, True], NOW)
    assert last_time(logbook, "me", one) == Tally(2, 4)
    on_rung(logbook, 2, [True], NOW)  # a day of two rungs is compared with none
    assert last_time(logbook, "me", one) == Tally()


def test_a_rung_that_the_day_changed_is_told_with_the_one_it_began_on(logbook):
    one = drill("drum")
    on_rung(logbook, 2, [True] * TOLD_FROM, NOW - timedelta(days=2))
    on_rung(logbook, 1, [True], NOW)
    on_rung(logbook, 2, [True] * 30, NOW + timedelta(minutes=1))
    assert day_began(logbook, "me", one) == 1
    level = learner_levels(logbook, "me").level("drum")
    rung = level.rung(one)
    assert rung > 1
    said = stands(level, one, logbook, "me")[0]
    assert str(said) == f"You are on rung {rung} of {len(one.rungs)}; you began the day on rung 1."


@pytest.fixture
def logbook(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as book:
        yield book


@pytest.mark.proof
def test_a_new_rung_is_announced_once_when_the_lower_bound_passes_it(logbook):
    """Each rung once, in order, even where the level falls between and rises again; the ladder's bar passed it."""
    one, news = drill("stopped-bar"), []
    for day, right in enumerate((True, False, True)):
        for said in answers(logbook, one.id, [right] * (60 if right else 15), NOW + timedelta(days=day)):
            if said is not None:
                rung = int(said.values["rung"])
                news.append(rung)
                row = next(row for row in ladder(learner_levels(logbook, "me"), {}) if row.drill == one.id)
                assert row.low >= rung
    assert news
    assert news == sorted(set(news))


def test_nothing_is_announced_or_said_of_few_answers(logbook):
    assert [said for said in answers(logbook, "one", [True] * (TOLD_FROM - 1)) if said] == []
    level = learner_levels(logbook, "me").level("one")
    assert stands(level, drill("one"), logbook, "me") == ()
    assert sure(level, drill("one")) == 1


def test_where_one_stands_and_when_it_comes_back(logbook):
    for _ in answers(logbook, "one", [True] * 12):
        pass
    level = learner_levels(logbook, "me").level("one")
    assert str(stands(level, drill("one"), None, "me")[0]).startswith("You are on rung ")
    assert "comes back" in str(comes_back(level, drill("one")))


def test_the_last_answers_on_the_rung_are_told(logbook):
    """Of this rung alone, six at most, counted here from the answers given."""
    one, given = drill("stopped-bar"), []
    for right in np.random.default_rng(4).random(40) < 0.8:
        rung = learner_levels(logbook, "me").level(one.id).rung(one)
        for _ in answers(logbook, one.id, [bool(right)], NOW + timedelta(minutes=len(given))):
            given.append((rung, bool(right)))
        level = learner_levels(logbook, "me").level(one.id)
        here = [right for rung, right in given if rung == level.rung(one)][-6:]
        said = [str(each) for each in stands(level, one, logbook, "me")]
        if level.answers < TOLD_FROM:
            assert said == []
        elif len(here) < 3:
            assert said == [f"You are on rung {level.rung(one)} of {len(one.rungs)}."]
        else:
            told = f"On rung {level.rung(one)} of {len(one.rungs)}, {sum(here)} of your last {len(here)} were right."
            assert said[0] == told
            assert said[1:] == [str(FOLLOWS())] * (level.answers <= EXPLAINED_TO)
            today = Tally(sum(here), len(here))
            assert stands(level, one, logbook, "me", today)[0].template == STANDS
    assert stands(level, one, logbook, "nobody")[0] == STANDS(rung=level.rung(one), rungs=len(one.rungs))
