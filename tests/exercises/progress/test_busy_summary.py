"""What being busy costs is told in the summary, for drills that were practised busy with the side task done."""

from datetime import UTC, datetime, timedelta
from functools import lru_cache

import pytest

from app.demo.simulated import simulate
from exercises.drills import drill
from exercises.learner.attention import cost, cost_says
from exercises.learner.level import responses
from exercises.logbook.store import Logbook
from exercises.progress.summary import busy_cost, summary
from exercises.trial.kept.record import record
from exercises.trial.modes import Mode
from exercises.trial.side_task import busy_result, mark_side, side_task

pytestmark = pytest.mark.sampled(3)


@lru_cache(maxsize=64)
def made(seed):
    return drill("one").make(4, seed)


def practise(logbook, mode, who, trials, *, day=0, pressed=1.0):
    """Some trials of `one`, answered by a simulated learner, who presses a key at that share of what is shown."""
    one, rows = drill("one"), []
    for seed in range(trials):
        trial = made(seed)
        answer = simulate(who, trial)
        result = one.mark(trial, answer)
        if mode is Mode.BUSY:
            task = side_task(trial)
            things = task.things[: round(pressed * len(task.things))]
            result = busy_result(result, mark_side(task, [(thing.at_s + 0.5, thing.key) for thing in things]))
        when = datetime(2030, 5, 1, 18, tzinfo=UTC) + timedelta(days=day, minutes=seed)
        rows.append(record(trial, answer, result, when=when, mode=mode, simulated=True))
    logbook.add_all(rows)


def test_the_loss_against_the_plain_drill_is_told(tmp_path):
    """Right when plain and lost when busy costs rungs; without busy trials nothing is said of it."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, Mode.PLAIN, "perfect", 12)
        assert summary(logbook, "me").busy == {}
        practise(logbook, Mode.BUSY, "on-the-three", 12)
        found = summary(logbook, "me")
        assert "costs you about" in str(found.busy["one"])
        assert any(str(found.busy["one"]) in line for line in found.lines())


def test_who_lets_the_side_task_go_is_told_nothing_of_it(tmp_path):
    """Whatever the count was worth: with too few keys pressed those trials were hardly busy ones."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, Mode.PLAIN, "perfect", 12)
        practise(logbook, Mode.BUSY, "on-the-three", 12, pressed=0.6)
        assert "Some more trials" in str(busy_cost(logbook, "me", "one"))
        practise(logbook, Mode.BUSY, "on-the-three", 12, day=1)
        assert "costs you about" in str(busy_cost(logbook, "me", "one"))


def test_what_was_learnt_since_is_no_cost(tmp_path):
    """Equally lost plain and busy in the first week; two months later the plain drill goes well."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, Mode.PLAIN, "on-the-three", 12)
        practise(logbook, Mode.BUSY, "on-the-three", 12)
        then = busy_cost(logbook, "me", "one")
        assert "costs you about" not in str(then)
        practise(logbook, Mode.PLAIN, "perfect", 40, day=60)
        assert busy_cost(logbook, "me", "one") == then
        # All of it together would be told as a cost.
        plain, busy = (responses(logbook.all(), mode=mode)["one"] for mode in (Mode.PLAIN, Mode.BUSY))
        assert "costs you about" in str(cost_says(cost(plain, busy)))
