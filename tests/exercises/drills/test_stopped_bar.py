"""Stopped bar: the place in the phrase lies in the turns that are heard, and near answers get their words."""

import numpy as np
import pytest
from scipy.stats import binomtest, chi2_contingency

from exercises.drills import drill
from exercises.trial.trial import Answer
from exercises.trial.trial_file import trial_from_json

DRILL = drill("stopped-bar")
RUNGS = range(1, len(DRILL.rungs) + 1)


def stopped_at(bar, beat, rung=5):
    """A trial of that rung (5: phrases of eight bars) that stops there."""
    return next(t for t in (DRILL.make(rung, seed) for seed in range(400)) if t.expected == f"{bar}.{beat}")


@pytest.mark.parametrize("rung", RUNGS)
def test_a_perfect_learner_is_right_and_counts_from_a_turn_that_is_heard(rung):
    for seed in range(4):
        trial = DRILL.make(rung, seed)
        assert DRILL.mark(trial, Answer(value=trial.expected)).right
        count = trial.count
        assert trial.expected == f"{count.bar_in_phrase[-1]}.{count.beat_in_bar[-1]}"
        turn_s = count.phrase_starts_s[-1]
        told = {turn.time_s: turn.signals for turn in trial.arrangement.turns}
        assert told[min(told, key=lambda at: abs(at - turn_s))]
        assert min(abs(at - turn_s) for at in told) < 1e-6
        # Counted by hand from that turn: whole bars of the metre, then beats.
        beats = round((count.beats_s[-1] - turn_s) / trial.period_s)
        per_bar = int(count.beat_in_bar.max())
        assert trial.expected == f"{beats // per_bar + 1}.{beats % per_bar + 1}"


@pytest.mark.parametrize("rung", RUNGS)
def test_at_least_two_bars_sound_before_the_first_turn_or_a_whole_phrase_after_it(rung):
    for seed in range(20):
        trial = DRILL.make(rung, seed)
        first_s, starts_s = trial.count.beats_s[0], trial.count.phrase_starts_s
        assert any(start_s - first_s >= 2 * 4 * trial.period_s - 1e-6 for start_s in starts_s)


def test_nothing_but_the_drums_tells_the_place(quiet):
    """Bar and beat against length in beats and seconds over 800 seeds: independent by a chi-square test, 0.1 %."""
    trials = [DRILL.make(3, seed) for seed in range(800)]
    places = np.array([[int(part) - 1 for part in trial.expected.split(".")] for trial in trials])
    order_s = np.argsort(np.argsort([trial.duration_s for trial in trials]))
    clues = {
        "beats": np.array([len(trial.count) % 4 for trial in trials]),
        "bars": np.array([len(trial.count) // 4 % 4 for trial in trials]),
        "seconds": order_s * 4 // len(trials),
        "seed": np.array([trial.seed % 4 for trial in trials]),
    }
    for name, clue in clues.items():
        for truth in places.T:
            table = np.zeros((4, 4))
            np.add.at(table, (truth, clue), 1)
            assert chi2_contingency(table).pvalue > 0.001, name
    assert len({(str(trial.question), trial.kit_seed, trial.count.beats_s[0], trial.help) for trial in trials}) == 1


@pytest.mark.parametrize(
    ("given", "score", "words"),
    [
        ("3.2", 1.0, "Yes: bar 3, on the two."),
        ("4.2", 0.5, "It stopped in bar 3, on the two. You had the right beat, one bar on."),
        ("2.2", 0.5, "You had the right beat, one bar back."),
        ("5.2", 0.25, "You had the right beat, 2 bars on."),
        ("1.2", 0.25, "You had the right beat, 2 bars back."),
        ("7.2", 0.25, "You had the right beat, half a phrase off."),
        ("3.3", 0.5, "You were one beat on."),
        ("3.1", 0.5, "You were one beat back."),
        ("3.4", 0.5, "You had the right bar, but the four for the beat."),
        ("6.4", 0.0, "Say the number of the bar on every one"),
        ("11.2", 0.25, "You had the right beat, 8 bars on."),
    ],
)
def test_near_answers_get_credit_and_words(given, score, words, quiet):
    result = DRILL.mark(stopped_at(3, 2), Answer(value=given))
    assert (result.score, result.right) == (score, score == 1.0)
    assert words in result.text


def test_one_beat_over_the_end_of_the_bar_or_phrase_is_near():
    assert "one beat on" in DRILL.mark(stopped_at(3, 4), Answer(value="4.1")).text
    assert "one beat back" in DRILL.mark(stopped_at(1, 1), Answer(value="8.4")).text


def test_on_the_three_is_never_right():
    """Who takes the three for the one is two beats off, wherever it stops."""
    for seed in range(30):
        trial = DRILL.make(5, seed)
        bar, beat = map(int, trial.expected.split("."))
        at = ((bar - 1) * 4 + beat - 1 + 2) % 32
        assert not DRILL.mark(trial, Answer(value=f"{at // 4 + 1}.{at % 4 + 1}")).right


def test_answers_by_lot_are_right_by_chance(quiet):
    """500 trials, one place of the phrase by lot, against the stated chance: two-sided, 0.1 %."""
    rng = np.random.default_rng(6)
    right, chances = 0, []
    for seed in range(500):
        trial = DRILL.make(1 + seed % 4, seed)
        given = f"{rng.integers(1, 5)}.{rng.integers(1, 5)}"
        right += bool(DRILL.mark(trial, Answer(value=given)).right)
        chances.append(DRILL.chance(trial))
    assert np.mean(chances) == pytest.approx(1 / 16)
    assert binomtest(right, 500, 1 / 16).pvalue > 0.001


def test_a_trial_read_from_a_file_is_marked_the_same():
    trial = DRILL.make(5, 2)
    again = trial_from_json(trial.to_json())
    for given in ("1.1", "8.4", trial.expected):
        assert DRILL.mark(again, Answer(value=given)).to_json() == DRILL.mark(trial, Answer(value=given)).to_json()
