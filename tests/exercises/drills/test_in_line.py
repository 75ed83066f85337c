"""The drill `in-line`: how far apart two records are, by their own counts, and what the answers are told."""

from dataclasses import replace

import numpy as np
import pytest

from exercises.drills import drill
from exercises.drills.in_line import Ask
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

IN_LINE = drill("in-line")
RUNGS = range(1, len(IN_LINE.rungs) + 1)


def apart(trial, rows_of):
    """Beats from the first record's ones (or turns) to the second's, by the counts of the two arrangements."""
    part = trial.beside[0]
    second_s = rows_of(part.arrangement.count)[0] + part.start_s
    return round((second_s - rows_of(trial.arrangement.count)[0]) / trial.period_s)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_answer_is_in_the_two_counts(rung, quiet):
    ask = IN_LINE.rungs[rung - 1].ask
    for seed in range(12):
        trial = IN_LINE.make(rung, seed)
        beats = apart(trial, lambda count: count.ones_s) % 4
        if ask is Ask.SAME:
            assert (beats == 0) is (trial.expected == "same")
        elif ask is Ask.BEATS:
            assert str(beats) == trial.expected
        else:
            assert beats == 0
            bars = apart(trial, lambda count: count.phrase_starts_s) / 4
            assert str(int(bars % trial.arrangement.phrase_bars)) == trial.expected


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_both_records_end_together_and_both_turn(rung, quiet):
    """More than a phrase of both is heard, so that each turns at least once (as the arranger wrote it down)."""
    for seed in range(12):
        trial = IN_LINE.make(rung, seed)
        part = trial.beside[0]
        assert part.arrangement.count.end_s + part.start_s == pytest.approx(trial.count.end_s)
        turns_s = [turn.time_s for turn in trial.arrangement.turns]
        assert any(at_s > part.start_s for at_s in turns_s)
        assert any(turn.time_s > 1e-6 for turn in part.arrangement.turns)
        assert part.arrangement.tempo_bpm == trial.arrangement.tempo_bpm


@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.proof
def test_every_answer_comes_and_each_as_often(rung, quiet):
    """Within three SDs of a fair draw over 60 seeds, as near as four SDs over 100.

    Of two answers one that came three times as often is found with 0.85 in one rung, with 0.99 in any three.
    """
    made = [IN_LINE.make(rung, seed) for seed in range(60)]
    keys = [choice.key for choice in made[0].choices]
    share = 1 / len(keys)
    for key in keys:
        assert abs(np.mean([each.expected == key for each in made]) - share) < 3 * np.sqrt(share * (1 - share) / 60)


def test_right_and_wrong_are_told_in_words():
    trial = next(t for t in (IN_LINE.make(5, seed) for seed in range(50)) if t.expected == "1")
    right = IN_LINE.mark(trial, Answer(value="1"))
    assert (right.right, right.text) == (True, "The second record was one beat later.")
    wrong = IN_LINE.mark(trial, Answer(value="3"))
    assert wrong.right is False
    assert wrong.text.startswith("It was one beat later, not one beat earlier. Count the first record aloud")


def test_an_answer_that_is_none_is_refused():
    trial = IN_LINE.make(1, 1)
    with pytest.raises(Trouble, match="same, apart"):
        IN_LINE.mark(trial, Answer(value="later"))
    with pytest.raises(Trouble, match="no answer"):
        IN_LINE.mark(trial, Answer())


def test_the_sound_is_that_of_both_records():
    """The second record comes in after its two bars: until then the sound is the first record's alone."""
    trial, rate = IN_LINE.make(1, 3), 16_000
    both, alone = trial.samples(rate), replace(trial, beside=()).samples(rate)
    at = round(trial.beside[0].start_s * rate)
    scale = np.linalg.norm(both[: at - 33]) / np.linalg.norm(alone[: at - 33])
    # But for the single peaks that the limiter takes.
    assert np.quantile(np.abs(both[: at - 33] - scale * alone[: at - 33]), 0.999) < 0.02
    assert np.abs(both[at : at + rate // 10] - scale * alone[at : at + rate // 10]).max() > 0.05


def test_a_wish_for_a_waltz_keeps_both_records_in_three():
    trial = IN_LINE.make(5, 2, groove="waltz")
    assert trial.beside[0].arrangement.metre == trial.arrangement.metre
    assert [choice.key for choice in trial.choices] == ["0", "1", "2"]
