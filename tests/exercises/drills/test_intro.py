"""The drill `intro`: how many bars before the song comes in."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.base.errors import Trouble
from synth.score.departures import Departure
from synth.score.hits import PITCHED
from synth.sound.kit import Kit
from synth.sound.mixdown import mixdown

pytestmark = pytest.mark.sampled(3)

INTRO = drill("intro")
RUNGS = range(1, len(INTRO.rungs) + 1)
RATE = 16_000


def says(trial, value):
    return INTRO.mark(trial, Answer(value=value)).text


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_number_is_in_the_sound(rung):
    """Bass and chords first sound together after as many bars as are expected; the right number is right.

    The bar is measured by 240 / BPM seconds from the first one (facts, 11). Before, one part at most plays in a
    phrase, and softly.
    """
    for seed in range(12):
        trial = INTRO.make(rung, seed)
        hits, ones_s = (
            trial.arrangement.hits,
            trial.count.ones_s[trial.count.bar_number[trial.count.beat_in_bar == 1] > 0],
        )
        notes = hits.where(hits.pitch > 0)
        bars = np.floor((notes.grid_s - ones_s[0]) / (4 * trial.period_s) + 0.01).astype(int)
        full = notes.where(bars == trial.expected)
        assert {"bass"} < {notes.voices[voice] for voice in full.voice}
        teases = {odd.start_s for odd in trial.truth().exceptions if odd.kind == Departure.TEASE}
        assert (
            bool(teases)
            == (Departure.TEASE in INTRO.rungs[rung - 1].exceptions)
            == bool((bars < trial.expected).any())
        )
        phrase = trial.count.phrase_number[np.searchsorted(trial.count.beats_s, notes.grid_s + 0.01) - 1]
        for number in np.unique(phrase[bars < trial.expected]):
            early = notes.where((phrase == number) & (bars < trial.expected))
            assert len(np.unique(early.voice)) == 1
            assert early.velocity.max() < 0.75 * full.velocity.max()
            assert np.abs(early.grid_s[0] - np.array(sorted(teases))).min() < 4 * trial.period_s
        if not teases:
            assert bars[0] == trial.expected
        result = INTRO.mark(trial, Answer(value=trial.expected))
        assert (result.right, result.score) == (True, 1.0)
        assert not INTRO.mark(trial, Answer(value=trial.expected + 1)).right


@pytest.mark.proof
def test_a_hint_is_much_less_than_the_song():
    """Notes alone, two bars each: the song is at least 6 dB louder than any hint before it."""
    for seed in range(6):
        trial = INTRO.make(6, seed)
        sound = mixdown(trial.arrangement.only(*PITCHED), Kit(0, RATE)).mean(axis=1)
        two_bars_s = 8 * trial.period_s

        def power(start_s, sound=sound, two_bars_s=two_bars_s):
            return np.mean(sound[int(start_s * RATE) : int((start_s + two_bars_s) * RATE)] ** 2)

        song_s = float(trial.count.ones_s[trial.expected])
        hints = [power(odd.start_s) for odd in trial.truth().exceptions]
        assert 10 * np.log10(power(song_s) / max(hints)) > 6


def test_who_takes_a_hint_for_the_song_is_told():
    for trial in (INTRO.make(6, seed) for seed in range(6)):
        start_s = trial.truth().exceptions[0].start_s
        bars = round((start_s - float(trial.count.ones_s[0])) / (4 * trial.period_s))
        assert "That was only a hint" in says(trial, bars)


@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.proof
def test_every_length_is_drawn_and_the_sound_is_equally_long(rung, quiet):
    """What betrays an answer in one trial of twenty is found with 0.95 in one rung."""
    lengths = set(INTRO.rungs[rung - 1].lengths)
    trials = [INTRO.make(rung, seed, tempo_bpm=128) for seed in range(60 if len(lengths) < 9 else 120)]
    assert {trial.expected for trial in trials} == lengths
    assert (
        len({(round(t.duration_s, 9), len(t.count), str(t.question), float(t.count.beats_s[0])) for t in trials}) == 1
    )


def test_the_usual_lengths_and_odd_ones_are_among_the_rungs():
    lengths = {length for rung in INTRO.rungs for length in rung.lengths}
    assert {4, 8, 12, 16, 24, 32} < lengths
    assert any(length % 2 for length in INTRO.rungs[-1].lengths)


def test_near_answers_are_explained():
    trial = next(t for t in (INTRO.make(8, seed) for seed in range(90)) if t.expected == 20)
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
        20: "The intro was 20 bars long.",
    }
    for value, sentence in told.items():
        assert sentence in says(trial, value)


@pytest.mark.parametrize("value", [None, 0, -4, "many", "nan"])
def test_what_is_no_number_of_bars_is_refused(value):
    with pytest.raises(Trouble):
        says(INTRO.make(1, 1), value)
