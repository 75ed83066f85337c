"""A steady lag of the equipment: found in simulated learners who have it, not in those who are late."""

from functools import lru_cache

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.equipment_lag import LagWatch, excused, excused_kept, lags
from exercises.trial.kept.record import kept
from exercises.trial.trial import Answer
from tests.exercises.quiet import leave_out_drums

LEARNERS, TRIALS = 12, 5


@lru_cache(maxsize=256)
def made(drill_id: str, rung: int, seed: int):
    """Every kind of hands taps the same trials, of which the times alone matter."""
    with pytest.MonkeyPatch.context() as patch:
        leave_out_drums(patch)
        return drill(drill_id).make(rung, seed)


def told(drill_id: str, rung: int, taps, *, bench=lambda at: "desk", when_s=lambda at: 60.0 * at) -> list[int | None]:
    """For each learner after how many trials the lag is known to be the equipment's; ``taps(trial, rng)``."""
    found = []
    for learner in range(LEARNERS):
        rng, watch, first = np.random.default_rng(learner), LagWatch(), None
        for at in range(TRIALS):
            trial = made(drill_id, rung, 100 * learner + at)
            answer = Answer(np.sort(taps(trial, rng)))
            if watch.see(bench(at), str(at), when_s(at), trial, answer) and first is None:
                first = at + 1
        found.append(first)
    return found


def late(by_s: float, sd_s: float = 0.015):
    return lambda trial, rng: trial.targets_s + by_s + rng.normal(0, sd_s, len(trial.targets_s))


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("drill_id", "rung"), [("beat", 3), ("beat", 7), ("one", 3)])
@pytest.mark.parametrize("by_s", [0.16, 0.2, 0.3])
def test_the_same_lag_at_two_tempos_is_found(drill_id, rung, by_s):
    found = told(drill_id, rung, late(by_s))
    assert sum(each is not None for each in found) >= LEARNERS - 2
    assert min(each for each in found if each) >= 2


@pytest.mark.sweep(1)
@pytest.mark.parametrize(
    "taps",
    [
        late(0.08),
        late(-0.2),
        lambda trial, rng: trial.targets_s + rng.normal(0.18, 0.045, len(trial.targets_s)),  # answers each drum
        lambda trial, rng: late(trial.period_s / 2)(trial, rng),
        lambda trial, rng: late(trial.period_s / 3)(trial, rng),
        lambda trial, rng: late(trial.period_s)(trial, rng),
        lambda trial, rng: late(0.2)(trial, rng)[::2],
        lambda trial, rng: np.empty(0),
    ],
    ids=["a little late", "early", "answers", "off-beat", "a third", "next beat", "every second", "nothing"],
)
@pytest.mark.parametrize("drill_id", ["beat", "one"])
def test_what_hands_do_is_not_taken_for_it(drill_id, taps):
    assert sum(each is not None for each in told(drill_id, 3, taps)) <= 1


def test_other_drills_other_equipment_and_other_days_are_not_compared():
    assert lags(drill("turn").make(1, 1), Answer(drill("turn").make(1, 1).targets_s + 0.2)) == ()
    assert told("beat", 7, late(0.2), bench=lambda at: at) == [None] * LEARNERS
    assert told("beat", 7, late(0.2), when_s=lambda at: 86_400.0 * at) == [None] * LEARNERS


def test_an_excused_trial_is_neither_right_nor_wrong_and_says_what_to_do():
    trial = drill("beat").make(3, 1)
    result = drill("beat").mark(trial, Answer(trial.targets_s + 0.2))
    free = excused(result, 203.4)
    assert str(free).startswith("Your taps came 203 ms late, evenly and at each tempo. That is the equipment")
    assert str(free).endswith("Measure the delay under Sound and taps.")
    assert (free.right, free.figures["equipment_lag_ms"]) == (None, 203)
    assert excused_kept(kept(trial, result), 203.4) == kept(trial, free)
