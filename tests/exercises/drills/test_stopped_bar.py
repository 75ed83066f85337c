"""Stopped bar: the place in the phrase lies in the turns that are heard, and near answers get their words."""

import pytest

from exercises.drills import drill
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.trial import Answer

pytestmark = pytest.mark.sampled(3)

DRILL = drill("stopped-bar")
RUNGS = range(1, len(DRILL.rungs) + 1)


def stopped_at(bar, beat, rung=5):
    """A trial of that rung (5: phrases of eight bars) that stops there."""
    return next(t for t in (DRILL.make(rung, seed) for seed in range(400)) if t.expected == f"{bar}.{beat}")


@pytest.mark.sweep
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


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_at_least_two_bars_sound_before_the_first_turn_or_a_whole_phrase_after_it(rung, quiet):
    for seed in range(20):
        trial = DRILL.make(rung, seed)
        first_s, starts_s = trial.count.beats_s[0], trial.count.phrase_starts_s
        assert any(start_s - first_s >= 2 * 4 * trial.period_s - 1e-6 for start_s in starts_s)


@pytest.mark.parametrize(
    ("given", "score", "words"),
    [
        ("3.2", 1.0, "It stopped in bar 3, on the two."),
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


def test_a_trial_read_from_a_file_is_marked_the_same():
    trial = DRILL.make(5, 2)
    again = trial_from_json(trial.to_json())
    for given in ("1.1", "8.4", trial.expected):
        assert DRILL.mark(again, Answer(value=given)).to_json() == DRILL.mark(trial, Answer(value=given)).to_json()
