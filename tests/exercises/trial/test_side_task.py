"""Busy and bare: the side task by seed, its marks, and what being busy costs."""

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill
from exercises.learner.attention import cost, cost_says
from exercises.learner.level import Response, expected
from exercises.trial.modes import Mode, in_mode
from exercises.trial.side_task import (
    ANSWER_WITHIN_S,
    SHORTEST_GAP_S,
    Key,
    Shape,
    Task,
    busy_result,
    mark_side,
    side_task,
)

ONE = drill("one")


@pytest.fixture(params=list(Task))
def task(request):
    return side_task(ONE.make(3, 7), request.param)


def test_the_same_trial_shows_the_same_things():
    first, second, other = (side_task(ONE.make(3, seed)) for seed in (7, 7, 8))
    assert first == second
    assert first != other


def test_things_come_seldom_and_never_twice_running(task):
    """Far below three flashes a second (WCAG 2.2, 2.3.1), and within the sound."""
    at_s = np.array([thing.at_s for thing in task.things])
    assert len(at_s) > 8
    assert np.diff(at_s).min() >= SHORTEST_GAP_S
    assert at_s[-1] + ANSWER_WITHIN_S <= ONE.make(3, 7).count.end_s
    assert all(str(a.says) != str(b.says) for a, b in zip(task.things, task.things[1:], strict=False))


def test_both_keys_are_right_about_as_often():
    keys = [thing.key for seed in range(40) for thing in side_task(ONE.make(3, seed)).things]
    assert abs(np.mean([key is Key.LEFT for key in keys]) - 0.5) < 4 * 0.5 / np.sqrt(len(keys))


def test_things_do_not_keep_time_with_the_beat():
    """Rayleigh's test of their place in the beat, over 40 trials (Zar, eq. 27.4)."""
    from exercises.timing.circular import angles, direction

    theta = []
    for seed in range(40):
        trial = ONE.make(3, seed)
        at_s = np.array([thing.at_s for thing in side_task(trial).things])
        theta.extend(angles(at_s, trial.count.beats_s[0], trial.period_s))
    assert direction(theta).rayleigh_p > 0.01


def test_even_is_left_and_every_colour_has_a_shape():
    for thing in side_task(ONE.make(3, 1)).things:
        assert (thing.key is Key.LEFT) is (int(str(thing.says)) % 2 == 0)
    shapes = {str(each.says): each.shape for each in side_task(ONE.make(3, 1), Task.COLOUR).things}
    assert len(set(shapes.values())) == len(shapes) == 4
    assert Shape.NONE not in shapes.values()


def test_what_is_shown_goes_when_its_time_is_over(task):
    thing = task.things[2]
    assert task.shown(thing.at_s) is thing
    assert task.shown(thing.at_s + ANSWER_WITHIN_S + 0.01) is not thing
    assert task.shown(0.0) is None


def test_answers_are_marked(task):
    """First answer to each thing counts; in none's time it counts for nothing."""
    good = [(thing.at_s + 0.5, thing.key) for thing in task.things]
    marks = mark_side(task, good)
    assert (marks.right, marks.wrong, marks.missed) == (len(good), 0, 0)
    assert marks.reaction_ms == pytest.approx(500)
    assert marks.kept_up
    other = [(at_s, Key.LEFT if key is Key.RIGHT else Key.RIGHT) for at_s, key in good]
    assert mark_side(task, other).wrong == len(good)
    assert mark_side(task, good + [(at_s + 0.1, key) for at_s, key in other]).right == len(good)
    nothing = mark_side(task, [(0.5, Key.LEFT)])
    assert (nothing.missed, nothing.kept_up, nothing.reaction_ms) == (len(good), False, None)


def test_pressing_one_key_all_the_time_is_not_keeping_up():
    """Over many trials: half right is chance, and lies below what counts as keeping up."""
    kept = [
        mark_side(task, [(thing.at_s + 0.3, Key.LEFT) for thing in task.things]).kept_up
        for task in (side_task(ONE.make(3, seed)) for seed in range(40))
    ]
    assert np.mean(kept) < 0.25


def test_a_busy_result_says_how_the_side_task_went():
    trial = ONE.make(3, 7)
    task = side_task(trial)
    result = ONE.mark(trial, simulate("perfect", trial))
    marks = mark_side(task, [(thing.at_s + 0.4, thing.key) for thing in task.things])
    busy = busy_result(result, marks)
    assert busy.text.endswith(f"In the side task you had {len(task.things)} of {len(task.things)}.")
    assert busy.to_json()["side_right"] == len(task.things)
    assert busy.right is result.right
    assert "only 0" in busy_result(result, mark_side(task, [])).text


def test_modes_leave_the_drums_as_they_are():
    trial = ONE.make(1, 3)
    bare, none = in_mode(trial, Mode.BARE)
    busy, task = in_mode(trial, Mode.BUSY)
    assert (bare.help.sheet, bare.help.voice, none) == (False, False, None)
    assert bare.arrangement is trial.arrangement
    assert busy is trial
    assert task.things
    assert in_mode(trial, Mode.PLAIN) == (trial, None)


@pytest.mark.parametrize(("loss", "says"), [(0.0, "No cost of the side task"), (2.4, "costs you about")])
def test_the_cost_of_being_busy_is_found_whatever_the_rungs(loss, says):
    """A simulated learner who loses ``loss`` logits when busy, tested on easier rungs then."""
    rng = np.random.default_rng(3)

    def answers(theta, hard):
        return [Response(h, 0.0, bool(rng.random() < expected(theta, h))) for h in rng.normal(hard, 0.5, 120)]

    found = cost(answers(4.0, 3.0), answers(4.0 - loss, 2.0))
    assert abs(found.logits - loss) < 2.5 * found.sd
    assert says in str(cost_says(found))


def test_too_few_trials_say_nothing_about_the_cost():
    assert "Some more trials" in str(cost_says(cost([Response(1, 0, True)] * 9, [Response(1, 0, False)] * 2)))
