"""The logbook at a glance says what the plan does: one rule for what comes next and for what stands lowest."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest

from exercises.drills import drills
from exercises.learner.plan import plan
from exercises.learner.reasons import NEXT, WEAK, Reason
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.history import practised
from exercises.logbook.store import Logbook
from exercises.progress.overview import ladder, tasks
from tests.exercises.trial.plain import NOW, PLAIN


@pytest.fixture
def logbook(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        yield logbook


def answered(logbook, *rows):
    logbook.add_all(
        replace(PLAIN, uid=uuid4().hex, drill=drill, rung=rung, result={"right": right})
        for drill, rung, right in rows
    )


def told(logbook, template):
    """The drills of the tasks that say it."""
    stands = learner_levels(logbook, "me")
    found = tasks(ladder(stands, practised(logbook, "me")), {}, stands.fresh)
    return [task.drill for task in found if task.say.template == template]


@pytest.mark.parametrize(
    "rows",
    [
        [],
        [("one", 7, True)] * 6,
        [("one", 7, True)] * 6 + [("stopped-bar", 6, True)],
        [("drum", 1, True)] * 2,
        [("drum", 2, True)] * 4 + [("one", 2, False)] * 4,
    ],
)
def test_what_comes_next_on_the_ladder_is_what_the_plan_begins(logbook, rows):
    """Also for somebody placed above the foot of the ladder, and where two answers are no practice yet."""
    answered(logbook, *rows)
    (coming,) = told(logbook, NEXT)
    later = [plan(logbook, "me", NOW + timedelta(days=day), 30) for day in (1, 4)]
    begun = [item.drill for today in later for item in today.items if item.reason is Reason.NEXT]
    assert coming == begun[0]


def test_what_stands_lowest_is_only_told_of_three_drills_and_is_the_plan_s(logbook):
    answered(logbook, *[("drum", 6, True)] * 5, *[("beat", 2, False)] * 5)
    assert told(logbook, WEAK) == []
    answered(logbook, *[("one", 9, True)] * 40)
    today = plan(logbook, "me", NOW + timedelta(days=20), 30)
    assert told(logbook, WEAK) == [item.drill for item in today.items if item.reason is Reason.WEAK] == ["beat"]


def test_each_task_is_a_drill_s_own(logbook):
    answered(logbook, *[(drill, 2, True) for drill in ("drum", "beat", "one") for _ in range(4)])
    stands = learner_levels(logbook, "me")
    found = tasks(ladder(stands, practised(logbook, "me")), {}, stands.fresh)
    assert len(found) == 2
    assert {task.drill for task in found} <= set(drills())
