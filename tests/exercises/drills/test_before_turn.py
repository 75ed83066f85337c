"""The drill `before-turn`: one press, as many bars before the second turn as the question says."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer

pytestmark = pytest.mark.sampled(3)

BEFORE = drill("before-turn")
RUNGS = range(1, len(BEFORE.rungs) + 1)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_target_is_a_one_as_many_bars_before_the_second_turn(rung, quiet):
    row = BEFORE.rungs[rung - 1]
    for seed in range(6):
        trial = BEFORE.make(rung, seed)
        count, (target_s,) = trial.count, trial.targets_s
        at = int(np.abs(count.beats_s - target_s).argmin())
        assert count.beats_s[at] == pytest.approx(target_s, abs=1e-9)
        assert count.beat_in_bar[at] == 1
        assert count.bar_in_phrase[at] == row.phrase_bars + 1 - row.before_bars
        turns_s = count.phrase_starts_s[count.phrase_starts_s > count.beats_s[0] + 1e-6]
        assert len(turns_s) == 2
        assert turns_s[0] < target_s < turns_s[1]
        assert trial.question.values["phrase"] == row.phrase_bars
        assert BEFORE.mark(trial, Answer(trial.targets_s)).right


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_the_first_turn_comes_after_any_number_of_beats_and_the_length_tells_nothing(rung, quiet):
    trials = [BEFORE.make(rung, seed) for seed in range(60)]
    assert len({len(trial.count) for trial in trials}) == 1
    beats = {round((trial.targets_s[0] - 1) / trial.period_s) for trial in trials}
    assert len(beats) >= 4 * min(4, len(BEFORE.rungs[rung - 1].starts)) - 3


@pytest.mark.parametrize(
    ("beats", "says"),
    [
        (0, "You pressed as many bars before the turn as was asked."),
        (1, "You came in one beat late. Press with the one, not after it."),
        (2, "You came in 2 beats late. That was not a one."),
        (4, "You came in one bar late. That was a one, but of another bar."),
        (16, "You pressed as the phrase turned. Count its bars, and press 4 bars earlier."),
    ],
)
def test_presses_are_told_in_words(beats, says):
    trial = BEFORE.make(3, 2)
    result = BEFORE.mark(trial, Answer(trial.targets_s + beats * trial.period_s), calibrated=False)
    assert result.right is (beats == 0)
    assert result.text == says or result.text.startswith(says)
