"""The drill `odd-phrase`: which phrase was longer or shorter, and by how many bars."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

ODD = drill("odd-phrase")
RUNGS = range(1, len(ODD.rungs) + 1)


def phrase_bars(trial):
    """Bars of every phrase as they are heard, from the times of the turns alone."""
    starts_s = np.append(trial.count.phrase_starts_s, trial.count.end_s)
    return np.rint(np.diff(starts_s) / (4 * trial.period_s)).astype(int).tolist()


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_one_phrase_is_odd_and_its_key_says_which_and_by_how_much(rung, quiet):
    """Bars counted from the turns by 240 / BPM seconds a bar; the key is right and every other choice wrong."""
    row = ODD.rungs[rung - 1]
    for seed in range(10):
        trial = ODD.make(rung, seed)
        number, by = int(trial.expected[0]), int(trial.expected[1:])
        bars = phrase_bars(trial)[: row.phrases]
        assert bars[number - 1] == row.phrase_bars + by
        assert bars[: number - 1] + bars[number:] == [row.phrase_bars] * (row.phrases - 1)
        marked = {choice.key: ODD.mark(trial, Answer(value=choice.key)).right for choice in trial.choices}
        assert [key for key, right in marked.items() if right] == [trial.expected]


@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.proof
def test_every_answer_is_drawn_and_the_sound_is_equally_long(rung, quiet):
    """What betrays an answer in one trial of twenty is found with 0.95 in one rung."""
    trials = [ODD.make(rung, seed, tempo_bpm=126) for seed in range(60)]
    keys = [choice.key for choice in trials[0].choices]
    assert {trial.expected for trial in trials} == set(keys)
    assert len({(round(t.duration_s, 9), len(t.count), str(t.question), t.choices) for t in trials}) == 1
    assert 2 <= len(keys) <= 9  # a figure on the keyboard picks each


def test_what_was_confused_is_said():
    trial = next(t for t in (ODD.make(9, seed) for seed in range(80)) if t.expected == "3+1")
    told = {
        "3+1": "It was the third, one bar longer; the others had 8 bars.",
        "4+1": "It was the third, one bar longer; the others had 8 bars. You had by how much, but not which",
        "3+2": "You had the right phrase and the right way",
        "3-1": "the wrong way round",
        "4-2": "Count each phrase from 1 again",
    }
    for key, sentence in told.items():
        assert sentence in ODD.mark(trial, Answer(value=key)).text


@pytest.mark.parametrize("value", [None, "", "9+9", "third"])
def test_what_is_no_answer_is_refused(value):
    with pytest.raises(Trouble):
        ODD.mark(ODD.make(1, 1), Answer(value=value))
