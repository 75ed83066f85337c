"""Hits of played genres lie beside the grid, those of programmed ones on it; the count knows nothing of either."""

from functools import lru_cache, partial

import numpy as np
import pytest

from synth.score.arranging.arrangement import LONGEST_SHIFT_MS, arrange
from synth.score.grooves import grooves
from synth.score.hits import DRUMS, HATS
from synth.score.microtiming import KICK_MS, ON_GRID, PLAYED_MS
from synth.sound.kit import Kit
from synth.sound.mix import Mix

pytestmark = pytest.mark.sampled(3)

GROOVES = grooves([])
PLAYED = sorted(name for name, groove in GROOVES.items() if groove.family in PLAYED_MS)
SEEDS = range(24)


@lru_cache(maxsize=len(SEEDS))
def record(name, seed=0, **more):
    """Without fills, which no groove shifts."""
    return arrange(
        GROOVES[name], tempo_bpm=GROOVES[name].usual_tempo_bpm, form="verse:16", seed=seed, signals=("crash",), **more
    )


def drawn_ms(name, of):
    """Shifts of the hits of ``SEEDS`` records for which ``of`` (record, voice) holds, less what the groove shifts."""
    found = []
    for seed in SEEDS:
        made = record(name, seed)
        for voice, drum in enumerate(made.hits.voices):
            rows = (made.hits.voice == voice) & of(made, drum) & (made.hits.grid_s > 0.05)
            found.append(1000 * made.hits.shift_s[rows] - GROOVES[name].shift_ms.get(drum, 0.0))
    return np.concatenate(found)


def beats_of(made):
    return np.round(made.hits.grid_s * made.tempo_bpm / 60, 4)


def on_beat(made):
    return beats_of(made) % 1 == 0


@pytest.mark.sweep
@pytest.mark.parametrize("name", PLAYED)
def test_kicks_on_beats_lie_around_the_grid_and_the_rest_varies_more(name):
    """Kicks on beats: mean 0 and a small SD. All else: a mean of 0, beside what the groove says, and 3 to 8 ms SD."""
    kicks = drawn_ms(name, lambda made, drum: on_beat(made) & (drum == "kick"))
    # A hat that replaces the groove's own has no shift of the groove.
    own = set(DRUMS) - set(HATS if set(HATS) & set(GROOVES[name].shift_ms) else ())
    others = drawn_ms(name, lambda made, drum: ~on_beat(made) if drum == "kick" else drum in own)
    assert (len(kicks) > 300, len(others) > 300) == (True, True)
    assert abs(kicks.mean()) < 4 * KICK_MS / np.sqrt(len(kicks))
    assert kicks.std() == pytest.approx(KICK_MS, rel=0.15)
    assert abs(others.mean()) < 4 * others.std() / np.sqrt(len(others))
    assert 3.0 <= others.std() <= 8.0


@pytest.mark.sweep
@pytest.mark.parametrize("name", sorted(set(GROOVES) - set(PLAYED)))
def test_what_is_programmed_lies_on_the_grid(name):
    drums = drawn_ms(name, lambda made, drum: np.full(len(made.hits), drum in DRUMS))
    assert len(drums) > 100
    assert not drums.round(9).any()


def test_one_and_three_are_shifted_alike():
    """No beat of the bar is told by its timing."""
    means = []
    for beat in (1, 3):
        own = partial(lambda beat, made, drum: (drum == "kick") & (beats_of(made) % 4 == beat - 1), beat)
        means.append(drawn_ms("backbeat", own).mean())
    assert abs(means[0] - means[1]) < 4 * KICK_MS * np.sqrt(2 / (24 * 15))


class OneTake(Kit):
    """Rendered quickly: where a hit begins does not depend on what is struck."""

    def take(self, *_, **__):
        return super().take("kick")


@pytest.mark.parametrize("name", ["soul", "techno"])
def test_a_hit_sounds_on_grid_and_shift(name):
    """Mixed to the frame where the two add up, whatever is cut out of the record."""
    made = record(name, 3, song=True)
    for part in (made, made.excerpt(9, 23, lead_in_s=1.0), made.without(8.0, 12.0)):
        hits = part.hits
        np.testing.assert_allclose(hits.grid_s + hits.shift_s, hits.onset_s, rtol=0, atol=1e-12)
        assert np.array_equal(np.sort(Mix.of(hits, OneTake(0)).start), np.rint(np.sort(hits.onset_s) * 48_000))
        assert np.abs(hits.shift_s).max() <= LONGEST_SHIFT_MS / 1000
        assert not hits.only(*ON_GRID).shift_s.any()


def test_an_excerpt_goes_by_the_grid():
    """The hits of a beat stay with it however early or late they come, and the grid of a hit stays where it was."""
    made = record("soul", 5)
    for first in range(4, 40):
        part = made.excerpt(first, 4, lead_in_s=1.0)
        beats = (part.hits.grid_s - 1.0) * made.tempo_bpm / 60
        assert beats.min() > -1e-6
        assert beats.max() < 4 - 1e-6
        start_s = float(made.count.beats_s[first])
        inside = (made.hits.grid_s > start_s - 1e-6) & (made.hits.grid_s < start_s + 4 * 60 / made.tempo_bpm - 1e-6)
        assert len(part.hits.only(*DRUMS)) == len(made.hits.where(inside).only(*DRUMS))


def test_a_chord_is_struck_together():
    hits = record("soul", 2, song=True).hits.only("stab")
    for grid_s in np.unique(hits.grid_s.round(6)):
        assert np.ptp(hits.shift_s[np.abs(hits.grid_s - grid_s) < 1e-5]) < 1e-9
