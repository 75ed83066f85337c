"""The drill `intro`: how many bars before the song comes in."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

INTRO = drill("intro")
RUNGS = range(1, len(INTRO.rungs) + 1)


def says(trial, value):
    return INTRO.mark(trial, Answer(value=value)).text


@pytest.mark.parametrize("rung", RUNGS)
def test_the_number_is_in_the_sound(rung):
    """Bass or chords first sound on the one after as many bars as are expected; the right number is right.

    The bar is measured by 240 / BPM seconds from the first one (facts, 11).
    """
    for seed in range(12):
        trial = INTRO.make(rung, seed)
        hits, ones_s = (
            trial.arrangement.hits,
            trial.count.ones_s[trial.count.bar_number[trial.count.beat_in_bar == 1] > 0],
        )
        notes_s = np.sort(hits.grid_s[hits.pitch > 0])
        bars = (notes_s[0] - ones_s[0]) / (4 * trial.period_s)
        assert trial.expected <= bars + 0.01 < trial.expected + 1
        result = INTRO.mark(trial, Answer(value=trial.expected))
        assert (result.right, result.score) == (True, 1.0)
        assert not INTRO.mark(trial, Answer(value=trial.expected + 1)).right


@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.proof
def test_every_length_is_drawn_and_the_sound_is_equally_long(rung, quiet):
    trials = [INTRO.make(rung, seed, tempo_bpm=128) for seed in range(120)]
    assert {trial.expected for trial in trials} == set(INTRO.rungs[rung - 1].lengths)
    assert (
        len({(round(t.duration_s, 9), len(t.count), str(t.question), float(t.count.beats_s[0])) for t in trials}) == 1
    )


def test_the_usual_lengths_and_odd_ones_are_among_the_rungs():
    lengths = {length for rung in INTRO.rungs for length in rung.lengths}
    assert {4, 8, 12, 16, 24, 32} < lengths
    assert any(length % 2 for length in INTRO.rungs[-1].lengths)


def test_near_answers_are_explained():
    trial = next(t for t in (INTRO.make(5, seed) for seed in range(50)) if t.expected == 20)
    told = {
        16: "You said 16; the intro was 20 bars long. That is one phrase short",
        24: "That is one phrase too many",
        19: "That is one bar short",
        21: "That is one bar too many",
        10: "That is half of it",
        40: "That is twice as much",
        80: "That is the number of beats",
        17: "That is 3 bars short",
        22: "That is 2 bars too many",
        20: "Right: the intro was 20 bars long.",
    }
    for value, sentence in told.items():
        assert sentence in says(trial, value)


@pytest.mark.parametrize("value", [None, 0, -4, "many", "nan"])
def test_what_is_no_number_of_bars_is_refused(value):
    with pytest.raises(Trouble):
        says(INTRO.make(1, 1), value)
