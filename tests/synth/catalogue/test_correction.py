"""Corrections, against counting by hand: which beats are ones, and where phrases begin, before and after."""

from dataclasses import replace

import numpy as np
import pytest

from synth.catalogue.correction import (
    double,
    earlier,
    half,
    intro_ends,
    later,
    moved,
    one_at,
    phrase_at,
)
from synth.catalogue.entry import entry_of
from tests.synth.catalogue.made import GRID, NO_GRID, recording

pytestmark = pytest.mark.sampled(3)

BEAT_S = 60 / 124


def test_later_moves_every_one_and_phrase_by_a_beat():
    after = later(GRID)
    assert after.count().ones_s[:10] == pytest.approx(GRID.count().ones_s[:10] + BEAT_S)
    assert after.count().phrase_starts_s[:5] == pytest.approx(GRID.count().phrase_starts_s[:5] + BEAT_S)


def test_earlier_than_the_first_sound_begins_with_the_next_bar():
    after = earlier(GRID)
    assert after.one_s == pytest.approx(GRID.one_s + 3 * BEAT_S)
    assert after.count().ones_s[:10] == pytest.approx(GRID.count().ones_s[1:11] - BEAT_S)
    # Phrases of 8 bars began with bars 1, 9, ...: now with bars 8, 16, ... The intro ends a beat earlier.
    assert after.count().phrase_starts_s[0] == pytest.approx(GRID.count().phrase_starts_s[1] - BEAT_S)
    assert (after.phrase_first, after.intro_bars) == (7, 15)


@pytest.mark.parametrize("beats", [-1, 1, 2, 0.5])
def test_without_an_intro_there_is_none_where_the_one_is_another(beats):
    assert moved(replace(GRID, intro_bars=0), beats).intro_bars == 0


def test_a_one_just_before_the_first_frame_is_there_after_a_beat_there_and_back():
    grid = replace(GRID, one_s=-0.0006, start_s=0.0)
    assert later(earlier(grid)).one_s == pytest.approx(grid.one_s)


@pytest.mark.parametrize("beats", [1, 2, 3, 4, 5, 0.5])
@pytest.mark.parametrize("first", [0, 3])
def test_there_and_back_is_the_same_grid(beats, first):
    grid = replace(GRID, phrase_first=first, one_s=2.0, start_s=1.0)
    again = moved(moved(grid, beats), -beats)
    assert again.one_s == pytest.approx(grid.one_s)
    assert (again.phrase_first, again.intro_bars) == (grid.phrase_first, grid.intro_bars)


def test_four_beats_are_a_bar_of_the_same_ones_and_another_place_of_the_phrase():
    after = moved(GRID, 4)
    assert after.one_s == pytest.approx(GRID.one_s)
    assert (after.phrase_first, after.intro_bars) == (1, 17)


def test_double_and_back():
    twice = double(GRID)
    assert twice.tempo_bpm == 248
    assert (twice.phrase_bars, twice.intro_bars) == (16, 32)
    assert twice.count().phrase_starts_s == pytest.approx(GRID.count().phrase_starts_s)
    assert half(twice) == GRID


def test_at_half_tempo_ones_stay_where_phrases_begin():
    grid = replace(GRID, phrase_first=3)
    after = half(grid)
    assert after.tempo_bpm == 62
    starts_s = grid.count().phrase_starts_s
    assert set(np.round(after.count().phrase_starts_s, 6)) == set(np.round(starts_s, 6))
    assert set(np.round(starts_s, 6)) <= set(np.round(after.count().ones_s, 6))


@pytest.mark.parametrize("shift", [-1, 0, 1, 2])
def test_taps_say_where_the_one_is_early_and_scattered_as_people_tap(shift):
    """People tap some 30 ms early and scatter by 20 ms (common practice)."""
    rng = np.random.default_rng(3)
    taps_s = GRID.one_s + BEAT_S * (shift + 4 * np.arange(5, 9)) - 0.03 + 0.02 * rng.standard_normal(4)
    after = one_at(GRID, taps_s)
    late = (after.one_s - GRID.one_s) / BEAT_S - shift
    assert late == pytest.approx(4 * round(late / 4), abs=1e-6)


def test_taps_between_the_beats_move_the_beats():
    after = one_at(GRID, GRID.one_s + BEAT_S * (0.5 + 4 * np.arange(5, 9)))
    assert after.one_s == pytest.approx(GRID.one_s + BEAT_S / 2)
    assert entry_of(recording(grid=after)).recording().grid == after


@pytest.mark.parametrize("taps_s", [[], [10.25, 10.25 + BEAT_S, 10.25 + 2 * BEAT_S, 10.25 + 3 * BEAT_S]])
def test_taps_all_over_the_bar_say_nothing(taps_s):
    with pytest.raises(ValueError, match="taps"):
        one_at(GRID, taps_s)


def test_a_phrase_begins_where_it_is_said_to():
    count = phrase_at(GRID, 6).count()
    assert set(count.bar_number[(count.bar_in_phrase == 1) & (count.beat_in_bar == 1)][:3]) == {6, 14, 22}
    count = phrase_at(GRID, 6, 4).count()
    assert set(count.bar_number[(count.bar_in_phrase == 1) & (count.beat_in_bar == 1)][:3]) == {2, 6, 10}
    with pytest.raises(ValueError, match="phrases of 5"):
        phrase_at(GRID, 1, 5)


def test_intro_and_end():
    assert intro_ends(GRID, 8).intro_bars == 8
    assert intro_ends(GRID, None).intro_bars is None
    assert replace(GRID, steady_until_s=100.0).count().end_s == pytest.approx(100, abs=BEAT_S)
    with pytest.raises(ValueError, match="recording"):
        intro_ends(GRID, 5000)


@pytest.mark.parametrize("correct", [earlier, half, double, lambda grid: one_at(grid, [1.0])])
def test_without_a_grid_there_is_nothing_to_correct(correct):
    with pytest.raises(ValueError, match="no grid"):
        correct(NO_GRID)
