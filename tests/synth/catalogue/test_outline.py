"""The outline: how loud a recording is over its time, and where that changes.

Levels are those of sines and of digital silence, by their definition: 20 log10 of the root of the mean square.
"""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.words import say
from synth.catalogue.outline import OutlineWriter, beat_levels_db, changes, levels_db
from synth.recording.grid import Grid

RATE_HZ = 22_050
# 120 BPM: a bar lasts 2 s, and the grid 64 bars.
GRID = Grid(120.0, 0.0, 0.0, 128.0, 128.0, 8, 0, 8, 1.0, 1.0, 1.0, 1.0, True)


def outline(samples: np.ndarray, block: int = 10_000) -> bytes:
    writer = OutlineWriter(RATE_HZ)
    for first in range(0, len(samples), block):
        writer.push(samples[first : first + block].astype(np.float32))
    return writer.done()


def sine(amplitude: float, seconds: float) -> np.ndarray:
    return amplitude * np.sin(2 * np.pi * 441 * np.arange(round(seconds * RATE_HZ)) / RATE_HZ)


def test_the_level_of_a_sine_is_that_of_its_root_mean_square():
    """Of amplitude 0.1: 20 log10(0.1 / sqrt 2) = -23.01 dB, to the quarter of a dB that is kept."""
    found = levels_db(outline(np.concatenate([sine(0.1, 2), np.zeros(2 * RATE_HZ)])), np.array([0.0, 2.0, 4.0]))
    assert found == pytest.approx([-23.01, -63.75], abs=0.13)


def test_it_does_not_matter_in_which_blocks_the_sound_comes():
    song = np.random.default_rng(1).normal(0, 0.1, 5 * RATE_HZ)
    assert outline(song, 997) == outline(song, 60_000)
    assert len(outline(song)) == 50


def test_a_beat_half_in_a_loud_part_is_3_db_softer():
    """Half the power: 10 log10(1/2) = -3.01 dB."""
    found = levels_db(outline(np.concatenate([sine(0.1, 1), np.zeros(RATE_HZ)])), np.array([0.0, 1.0, 2.0]))
    half = levels_db(outline(np.concatenate([sine(0.1, 1), np.zeros(RATE_HZ)])), np.array([0.5, 1.5]))
    assert half[0] == pytest.approx(found[0] - 3.01, abs=0.1)


def test_beats_after_the_end_of_the_sound_are_silent():
    found = beat_levels_db(outline(sine(0.1, 2)), GRID.count())
    assert found[0] == pytest.approx(-23.0, abs=0.2)
    assert found[-1] == -63.75


def test_the_greatest_change_comes_first():
    """Built so: 10 dB louder on bar 9, 6 dB softer on bar 33, 3 dB louder on bar 49; a bar lasts 2 s."""
    parts = [(0.05, 16), (0.158, 48), (0.079, 32), (0.112, 32)]
    assert changes(GRID, outline(np.concatenate([sine(*part) for part in parts]))).tolist() == [9, 33, 49]


def test_a_steady_sound_has_no_changes_and_one_without_outline_that_of_its_intro():
    assert changes(GRID, outline(sine(0.1, 128))).tolist() == []
    assert changes(GRID, b"").tolist() == [9]
    assert changes(replace(GRID, intro_bars=None, phrase_first=4), b"").tolist() == [5]
    assert changes(replace(GRID, intro_bars=None), b"").tolist() == []


def test_a_grid_that_was_refused_has_no_places():
    with pytest.raises(ValueError, match="no grid"):
        changes(Grid.none(say("no beat"), 60.0), b"\x80" * 600)
