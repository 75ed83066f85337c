"""The drill `faster`: which of two excerpts is faster."""

from itertools import pairwise

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer

pytestmark = pytest.mark.sampled(3)

FASTER = drill("faster")
RUNGS = range(1, len(FASTER.rungs) + 1)


def beats_apart_s(trial):
    """The two beat lengths that are in the count: before and after the pause."""
    gaps_s = np.diff(trial.count.beats_s)
    pause = int(gaps_s.argmax())
    return gaps_s[:pause], gaps_s[pause + 1 :]


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_faster_one_has_the_shorter_beats_by_the_gap_of_the_rung(rung):
    for seed in range(8):
        trial = FASTER.make(rung, seed)
        first_s, second_s = beats_apart_s(trial)
        assert np.ptp(first_s) < 1e-9 > np.ptp(second_s)
        slow_s, fast_s = sorted([first_s.mean(), second_s.mean()], reverse=True)
        assert slow_s / fast_s == pytest.approx(1 + FASTER.rungs[rung - 1].gap_percent / 100)
        assert trial.expected == ("first" if first_s.mean() < second_s.mean() else "second")
        for choice in trial.choices:
            assert FASTER.mark(trial, Answer(value=choice.key)).right is (choice.key == trial.expected)


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_both_excerpts_sound_equally_long_whichever_is_faster(rung, request):
    """First drum, pause and end fall on the same moments in all tempos: no length tells. Of eight the drums, too."""
    for seed in range(8):
        assert float(FASTER.make(rung, seed).arrangement.hits.onset_s[-1]) < 14.5
    request.getfixturevalue("quiet")
    trials = [FASTER.make(rung, seed) for seed in range(40)]
    assert {trial.expected for trial in trials} == {"first", "second"}
    assert len({(round(trial.duration_s, 9), str(trial.question)) for trial in trials}) == 1
    starts_s = {
        tuple(
            np.round(trial.count.beats_s[np.flatnonzero(np.diff(trial.count.phrase_number, prepend=0))], 9).tolist()
        )
        for trial in trials
    }
    assert starts_s == {(1.0, 8.5)}


@pytest.mark.proof
def test_the_tempo_of_the_first_tells_little(quiet):
    """Someone who hears the first only, and calls it the faster one when it is above the usual, does not get far."""
    trials = [FASTER.make(7, seed) for seed in range(400)]
    guesses = ["first" if trial.period_s < 60 / 113 else "second" for trial in trials]
    assert np.mean([guess == trial.expected for guess, trial in zip(guesses, trials, strict=True)]) < 0.62


def test_the_gaps_narrow_to_what_people_can_tell():
    """Drake & Botte 1993: 6 % after one interval is clear to anybody who hears ten; below 1.5 % nobody hears it."""
    plain = [rung.gap_percent for rung in FASTER.rungs if not rung.other_grooves]
    assert all(later < earlier for earlier, later in pairwise(plain))
    assert plain[0] > 4 * 3.0  # far above the 3 % after six intervals
    assert 1.5 <= plain[-1] < 3.0


@pytest.mark.proof
def test_a_listener_with_a_threshold_of_three_per_cent_climbs_and_then_fails(quiet):
    """Decision by tempo with normal noise whose d' is 1 at 3 % (Drake & Botte 1993): sure at 18 %, unsure at 2 %."""
    rng = np.random.default_rng(2)

    def share(rung):
        right = 0
        for seed in range(150):
            trial = FASTER.make(rung, seed)
            first_s, second_s = beats_apart_s(trial)
            felt = np.log(first_s.mean() / second_s.mean()) + 0.03 * rng.standard_normal()
            right += FASTER.mark(trial, Answer(value="second" if felt > 0 else "first")).right
        return right / 150

    assert share(2) > 0.97
    assert 0.6 < share(10) < 0.88


def test_the_verdict_names_both_tempos_and_forgives_what_nobody_hears():
    for rung, sentence in ((2, "Nod along with the first"), (6, "A busier pattern"), (10, "no surprise")):
        trial = FASTER.make(rung, 4)
        wrong = "first" if trial.expected == "second" else "second"
        text = FASTER.mark(trial, Answer(value=wrong)).text
        assert text.startswith(f"It was the {trial.expected}: {FASTER.rungs[rung - 1].gap_percent:g} % faster")
        assert sentence in text
