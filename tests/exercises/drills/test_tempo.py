"""The drill `tempo`: taps, then the beats a minute."""

import numpy as np
import pytest

from app.demo.simulated import at_random
from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

TEMPO = drill("tempo")
RUNGS = range(1, len(TEMPO.rungs) + 1)


def mark(trial, value, taps_s=None):
    return TEMPO.mark(trial, Answer(trial.targets_s if taps_s is None else taps_s, value))


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_tempo_is_in_the_beats_and_its_tolerance_holds_on_both_sides(rung):
    for seed in range(8):
        trial = TEMPO.make(rung, seed)
        assert 60 / np.diff(trial.targets_s).mean() == pytest.approx(trial.expected)
        share = TEMPO.rungs[rung - 1].tolerance_percent / 100
        for sign in (-1, 1):
            assert mark(trial, trial.expected * (1 + sign * 0.99 * share)).right
            assert not mark(trial, trial.expected * (1 + sign * 1.01 * share)).right


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_every_sound_lasts_equally_long_in_every_tempo(rung, quiet):
    trials = [TEMPO.make(rung, seed) for seed in range(30)]
    assert len({(round(trial.duration_s, 9), str(trial.question), trial.groove) for trial in trials}) == len(
        {trial.groove for trial in trials}
    )
    assert len({trial.expected for trial in trials}) > 10


def test_the_tolerances_are_those_of_the_source():
    """Levitin & Cook 1996: of tempos sung from memory 72 % lie within 8 %, 40 % within 4 %."""
    tolerances = [rung.tolerance_percent for rung in TEMPO.rungs]
    assert tolerances == sorted(tolerances, reverse=True)
    assert {8, 4} <= set(tolerances)
    assert tolerances[-1] == 4


def test_no_tempo_named_every_time_is_right_often():
    """Of all whole tempos of the widest tolerance: the best constant covers a third of them at most."""
    low, high = TEMPO.rungs[0].tempo_bpm
    drawn = np.arange(low, high + 1)
    assert max(np.mean(np.abs(drawn - named) <= 0.12 * drawn) for named in drawn) <= 0.36


def test_agrees_with_mir_eval_where_the_tolerance_is_its_own():
    """mir_eval.tempo.detection takes 8 % of the reference, as rung 4 does."""
    from mir_eval.tempo import detection

    assert TEMPO.rungs[3].tolerance_percent == 8
    for seed in range(12):
        trial = TEMPO.make(4, seed)
        reference = np.array([trial.expected, 2 * trial.expected])
        for factor in (0.91, 0.93, 1.0, 1.07, 1.09):
            given = factor * trial.expected
            _, found, _ = detection(reference, 1.0, np.array([given, given]))
            assert mark(trial, given).right is bool(found)


def test_half_and_double_are_named_and_not_only_wrong():
    """Half and double are real percepts (McKinney & Moelants 2006)."""
    trial = TEMPO.make(6, 3)
    half, double = mark(trial, trial.expected / 2), mark(trial, trial.expected * 2)
    assert "which is half" in half.text
    assert "which is double" in double.text
    assert (half.right, double.right) == (False, False)
    assert half.score == pytest.approx(0.75)
    both = mark(trial, trial.expected / 2, trial.targets_s[::2])
    assert "in half time" in both.text


def test_too_many_taps_are_told_with_what_to_do():
    trial = TEMPO.make(1, 3)
    taps_s = np.sort(np.append(trial.targets_s, trial.targets_s[::3] + 0.11))
    result = mark(trial, trial.expected, taps_s)
    assert not result.right
    assert "taps too many." in result.text
    assert result.text.endswith("A single tap for each beat is enough.")


def test_where_both_are_wrong_what_to_do_is_said_of_the_taps():
    trial = TEMPO.make(6, 3)
    both = mark(trial, round(1.3 * trial.expected), trial.targets_s + trial.period_s / 2)
    assert "multiply by six" not in both.text
    assert both.text.startswith(f"You said {1.3 * trial.expected:.0f}, it was {trial.expected:g} BPM.")


def test_other_answers_are_told_how_far_off_they_are():
    trial = TEMPO.make(6, 3)
    assert "25 % faster" in mark(trial, trial.expected / 1.25).text
    assert "20 % slower" in mark(trial, trial.expected * 1.25).text
    assert mark(trial, trial.expected).text.startswith("It was ")
    assert mark(trial, trial.expected + 1).text.startswith("You said ")


def test_the_right_number_without_the_taps_is_not_right():
    trial = TEMPO.make(2, 3)
    assert not mark(trial, trial.expected, np.empty(0)).right
    assert "No tap came in." in mark(trial, trial.expected, np.empty(0)).text


@pytest.mark.proof
def test_taps_at_random_come_to_nothing_even_with_the_best_guess(quiet):
    """The middle of the range said: random taps rarely hit three quarters of the beats.

    Were 3 in 100 right, more than 2 of 200 would be with 0.94.
    """
    rng = np.random.default_rng(1)
    right = 0
    for seed in range(200):
        trial = TEMPO.make(1, seed)
        right += mark(trial, 110, at_random(trial, rng).taps_s).right
    assert right <= 2


def test_the_tempo_of_the_taps_is_among_the_figures():
    trial = TEMPO.make(5, 1)
    taps_s = np.arange(5.0, 20.0, 0.625)
    assert mark(trial, 96, taps_s).figures["tapped_bpm"] == pytest.approx(96)
    assert mark(trial, 96, taps_s[:1]).figures["tapped_bpm"] is None


@pytest.mark.parametrize("value", [None, 0, -120, "fast"])
def test_what_is_no_tempo_is_refused(value):
    with pytest.raises(Trouble):
        mark(TEMPO.make(1, 1), value)
