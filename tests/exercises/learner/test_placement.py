"""Placement: simulated people of known level find their start within three minutes."""

from itertools import pairwise

import numpy as np
import pytest

from exercises.drills import drill, drills
from exercises.learner.level import Level, difficulty, expected, usual
from exercises.learner.placement import ANSWERING_S, LONGEST_S, SURE_SD, DrillRung, Placement
from tests.exercises.quiet import leave_out_drums


def run(theta, rng):
    """A whole run of somebody of that level, who takes as long as people do."""
    now = Placement()
    while (place := now.next()) is not None:
        chance, sounds_s = usual(place.drill, place.rung)
        right = rng.random() < expected(theta, difficulty(drill(place.drill), place.rung), chance)
        now = now.after(place, bool(right), sounds_s + ANSWERING_S)
    return now


@pytest.fixture(scope="module")
def runs():
    rng = np.random.default_rng(5)
    with pytest.MonkeyPatch.context() as patch:
        leave_out_drums(patch)
        return [(theta, run(theta, rng)) for theta in np.repeat([0.0, 2.0, 4.0, 6.0], 10)]


@pytest.mark.proof
def test_a_run_never_takes_longer_than_three_minutes(runs):
    assert all(0 < done.used_s <= LONGEST_S for _, done in runs)


def test_a_run_stops_when_the_level_is_known(runs):
    """Some do before the time is up; none goes on after it."""
    early = [done for _, done in runs if done.level.sd <= SURE_SD]
    assert early
    assert min(done.used_s for done in early) < LONGEST_S - 5


@pytest.mark.proof
def test_the_level_is_found(runs):
    """The error's SD is what the stated standard errors say, and there is no great bias."""
    errors = np.array([done.level.theta - theta for theta, done in runs])
    stated = np.sqrt(np.mean([done.level.sd**2 for _, done in runs]))
    assert np.sqrt(np.mean(errors**2)) < 1.4 * stated
    assert np.sqrt(np.mean(errors**2)) < 1.3


@pytest.mark.proof
def test_better_people_start_further_up(runs):
    places = {theta: [drill(done.start.drill).place for at, done in runs if at == theta] for theta, _ in runs}
    means = [np.mean(places[theta]) for theta in sorted(places)]
    assert means == sorted(means)
    assert means[-1] > means[0] + 40


def test_drills_change_from_trial_to_trial(runs):
    for _, done in runs:
        asked = [place.drill for place in done.asked]
        assert all(a != b for a, b in pairwise(asked))
        assert len(set(asked)) >= 3


def test_a_run_cut_short_begins_lower_than_one_that_is_sure():
    """The same mean, known less well."""
    places = [drill(Placement(Level.about(3.0, sd)).start.drill).place for sd in (0.5, 0.9, 1.5, 2.0)]
    assert places == sorted(places, reverse=True)
    assert places[-1] < places[0]


def test_nobody_starts_anywhere_but_on_a_rung():
    for theta in (-6.0, 16.0):
        start = Placement(Level.about(theta, 0.3)).start
        assert 1 <= start.rung <= len(drills()[start.drill].rungs)
    assert Placement(Level.about(-6.0, 0.3)).start == DrillRung("drum", 1)


def test_no_trial_is_asked_that_does_not_fit():
    assert Placement(used_s=LONGEST_S - 3).next() is None


def test_time_runs_forward():
    with pytest.raises(ValueError, match="took_s"):
        Placement().after(DrillRung("one", 1), True, -1.0)
