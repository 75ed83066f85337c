"""A trial stands on the day of the place where it was practised."""

import time
from datetime import datetime, timedelta

import pytest

from app.inputs.taps import Tap
from app.practice.plan.planned import Planned
from app.practice.trial.attempt import Phase
from exercises.learner.plan import plan

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="only POSIX changes the zone of a running program")


@pytest.fixture(params=["ABC9", "ABC-5:45", "ABC0"])
def ahead_min(request, monkeypatch):
    """The zone of this computer, for one test; in a POSIX TZ the sign is the other way round (POSIX.1, 8.3)."""
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield {"ABC9": -540, "ABC-5:45": 345, "ABC0": 0}[request.param]
    monkeypatch.undo()
    time.tzset()


def test_practice_keeps_the_day_of_the_place(practice, player, logbook, ahead_min):
    practice.start()
    practice.attempt.tap(Tap(player.start_s + 1.0, "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    practice.tick()
    assert practice.phase is Phase.MARKED
    (saved,) = logbook.trials(10)
    assert saved.offset_min == ahead_min
    there = datetime.fromisoformat(saved.when) + timedelta(minutes=ahead_min)
    assert logbook.rows("SELECT day FROM days") == [(there.date().isoformat(),)]


def test_the_plan_is_told_what_day_it_is_there(monkeypatch, ahead_min):
    told = []

    def planned(logbook, learner, now, *more):
        told.append(now)
        return plan(logbook, learner, now, *more)

    monkeypatch.setattr("app.practice.plan.making_plan.plan", planned)
    Planned(None).make("me")
    assert told[0].utcoffset() == timedelta(minutes=ahead_min)
