"""Today's plan while it is practised: no window, no clock but the test's."""

from concurrent.futures import Future, ThreadPoolExecutor, wait
from datetime import UTC, datetime, timedelta

import pytest

from app.practice.plan.planned import Planned
from app.practice.plan.today import READING_S, State, Today, Turn, states
from app.practice.trial.next_trial import Wish
from exercises.learner.placement import DrillRung
from exercises.learner.plan import Item, Plan
from exercises.learner.reasons import Reason
from exercises.logbook.store import Logbook
from synth.base.words import say

pytestmark = pytest.mark.sampled(3)

NOW = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)


def item(drill: str, trials: int, minutes: float, reason: Reason = Reason.DUE) -> Item:
    return Item(drill, 2, trials, minutes, reason, say("Because."))


@pytest.fixture
def today() -> Today:
    return Today(Plan((item("beat", 1, 1.5, Reason.WARM_UP), item("one", 3, 4.5), item("intro", 2, 4.0)), 10))


def go(today: Today, trials: int, start_s: float = 0.0, lasts_s: float = 30.0) -> None:
    for number in range(trials):
        today.started(start_s + number * lasts_s)
        today.done(start_s + (number + 1) * lasts_s)


def test_the_items_follow_each_other_trial_by_trial(today):
    """Every trial is the next of its item, and after the last item all is over."""
    seen = []
    while not today.finished:
        today.started(0.0)
        seen.append((today.item.drill, today.turn))
        today.done(1.0)
    assert [drill for drill, _ in seen] == ["beat", "one", "one", "one", "intro", "intro"]
    assert [turn for _, turn in seen][1:4] == [Turn(1, 1), Turn(1, 2), Turn(1, 3)]
    assert today.item is None
    assert today.practised() == ("beat", "one", "intro")


def test_a_trial_that_was_broken_off_is_still_to_come(today):
    """Started and never done: the same one again."""
    today.started(0.0)
    today.started(5.0)
    assert (today.at, today.turn, today.counts) == (0, Turn(0, 1), [0, 0, 0])


def test_a_trial_that_does_not_count_is_still_to_come(today):
    """Also the last of an item, which is gone back to; and all is as before when it counts again."""
    for trials in (1, 3, 6):
        go(today, trials - sum(today.counts))
        before = (today.at, list(today.counts))
        today.recount(False)
        assert (sum(today.counts), today.at, today.finished) == (trials - 1, today.turn.item, False)
        today.recount(True)
        assert (today.at, today.counts) == before


def test_what_is_skipped_is_skipped_and_what_was_done_of_it_stays(today):
    """An item left after one trial counts as done so far; one never begun as skipped; neither stops the plan."""
    today.skip()
    go(today, 1)
    assert today.turn_goes_on
    today.skip()
    assert not today.turn_goes_on
    assert [state for _, state in states(today)] == [State.SKIPPED, State.DONE, State.NOW]
    today.skip()
    today.skip()
    assert today.finished
    assert today.practised() == ("one",)


def test_minutes_left_go_down_with_every_trial(today):
    left = [today.minutes_left]
    for number in range(6):
        go(today, 1, number)
        left.append(today.minutes_left)
    assert left[0] == 10
    assert left[-1] == 0
    assert left == sorted(left, reverse=True)
    # The parts are told as 2, 4 and 4 minutes: what is left is what is still to come of these.
    assert left == [10, 8, 7, 5, 4, 2, 0]


def test_one_of_two_trials_takes_its_minute_off():
    """A warm-up of two minutes and two trials: after the first of them nine of ten minutes are left."""
    today = Today(Plan((item("count-along", 2, 1.7, Reason.WARM_UP), item("one", 5, 8.3)), 10))
    go(today, 1)
    assert today.minutes_left == 9


def test_a_placement_run_s_find_holds_until_a_plan_is_over_or_another_day(tmp_path):
    """The drill with which to begin is in each plan of the day that is made before one of them is over."""
    now = [NOW]
    planner = Planned(tmp_path / "logbook.sqlite3", clock=lambda: now[0])
    planner.make("me")
    planner.begin = DrillRung("feel", 1)
    for minutes in (10, 15):
        planner.minutes = minutes
        planner.make("me")
        planner.poll()
        assert planner.today.plan.items[1].drill == "feel"
    while not planner.today.finished:
        planner.today.skip()
    planner.keep()
    planner.make("me", anew=True)
    planner.poll()
    assert "feel" not in {each.drill for each in planner.today.plan.items}
    planner.begin = DrillRung("feel", 1)
    now[0] = NOW + timedelta(days=1)
    planner.make("me")
    assert planner.begin is None


def test_time_spent_is_listening_and_a_while_of_reading(today):
    """Two trials of 30 s with 10 s between them; a rest of an hour counts as one look at the result."""
    go(today, 1, 0.0)
    today.started(40.0)
    today.done(70.0)
    assert today.spent_s == 70.0
    today.started(3670.0)
    today.done(3700.0)
    assert today.spent_s == 70.0 + READING_S + 30.0


def test_a_warm_up_stays_easy_and_other_rungs_follow_the_answers(today):
    free = Wish("faster", 7, 120.0, way="letters")
    assert today.wish(free) == Wish("beat", 2, way="letters")
    today.skip()
    assert today.wish(free) == Wish("one", None, way="letters")
    today.skip()
    today.skip()
    assert today.wish(free) is free


def test_a_trial_is_started_before_it_is_done_and_never_after_the_end(today):
    with pytest.raises(ValueError, match="no trial"):
        today.done(0.0)
    for _ in range(3):
        today.skip()
    with pytest.raises(ValueError, match="over"):
        today.started(0.0)


@pytest.mark.parametrize("there", [False, True], ids=["no logbook", "empty logbook"])
def test_the_first_day_begins_with_listening(tmp_path, there):
    path = None
    if there:
        path = tmp_path / "logbook.sqlite3"
        Logbook.open(path).close()
    planner = Planned(path, clock=lambda: NOW)
    planner.make("me")
    assert planner.making
    assert planner.poll()
    assert not planner.making
    assert planner.notices == ()
    first = planner.today.item
    assert (first.drill, first.reason) == ("count-along", Reason.WARM_UP)


def test_a_worker_makes_the_plan_while_the_window_goes_on(tmp_path):
    with ThreadPoolExecutor(1) as workers:
        planner = Planned(None, workers, 20, lambda: NOW)
        planner.make("me")
        wait([planner._coming])
    assert planner.today is None
    assert planner.poll()
    assert planner.today.plan.minutes == 20


def test_a_plan_that_could_not_be_made_is_told_once():
    planner = Planned(None, clock=lambda: NOW)
    planner.make("me")
    planner._coming = Future()
    planner._coming.set_exception(ValueError("no such plan"))
    with pytest.raises(ValueError, match="no such plan"):
        planner.poll()
    assert not planner.poll()


def test_a_logbook_that_cannot_be_read_is_said_and_practice_goes_on(tmp_path):
    path = tmp_path / "logbook.sqlite3"
    path.write_bytes(b"no logbook at all, and long enough to be looked at" * 40)
    planner = Planned(path, clock=lambda: NOW)
    planner.make("me")
    planner.poll()
    assert "logbook.sqlite3" in str(planner.notices[0])
    assert "first day" in str(planner.notices[0])
    assert planner.today.plan.items


def test_another_day_asks_for_another_plan_unless_one_is_under_way():
    now = [NOW]
    planner = Planned(clock=lambda: now[0])
    planner.make("me")
    planner.poll()
    assert not planner.stale
    now[0] = NOW + timedelta(days=1)
    assert planner.stale
    planner.today.started(0.0)
    assert not planner.stale
    for _ in planner.today.plan.items:
        planner.today.skip()
    assert planner.stale
