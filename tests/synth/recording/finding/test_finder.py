"""Grids of made drums: tempo, beats, the one and phrases are found, and what has no steady fours is refused."""

from functools import cache

import numpy as np
import pytest

from synth.recording.finding.finder import find_grid
from synth.recording.finding.onsets import hear
from synth.recording.grid import Grid
from tests.synth.recording.drums import RATE_HZ, drums

pytestmark = pytest.mark.sampled(4)

BEAT_S = 60 / 124


def found_in(samples: np.ndarray) -> Grid:
    return find_grid(hear([samples]))


short_drums = cache(lambda: drums(bars=24))
short_grid = cache(lambda: found_in(short_drums()[0]))


@pytest.mark.sweep(1)
@pytest.mark.parametrize("tempo_bpm", [97.31, 124.0, 150.07])
def test_a_steady_recording_has_its_grid(tempo_bpm):
    samples, beats_s = drums(tempo_bpm)
    grid = found_in(samples)
    assert grid.refused is None
    assert grid.tempo_bpm == pytest.approx(tempo_bpm, abs=0.01)
    assert (grid.phrase_bars, grid.phrase_first, grid.intro_bars) == (8, 0, 8)
    count = grid.count()
    assert count.beats_s == pytest.approx(beats_s[: len(count)], abs=0.003)
    assert len(count) == pytest.approx(len(beats_s), abs=1)
    assert (count.beat_in_bar[:5].tolist(), count.bar_number[:5].tolist()) == ([1, 2, 3, 4, 1], [1, 1, 1, 1, 2])
    assert grid.sure
    assert not grid.asks_octave


@pytest.mark.sweep(1)
@pytest.mark.parametrize("beats_cut", [1, 2, 3])
def test_the_one_is_found_where_a_recording_begins_within_a_bar(beats_cut):
    samples, beats_s = drums(bars=40)
    cut_s = beats_s[4 * 3 + beats_cut] - 0.05
    grid = found_in(samples[int(cut_s * RATE_HZ) :])
    assert (grid.one_s + cut_s - beats_s[16]) / (4 * BEAT_S) == pytest.approx(0, abs=0.003)
    count = grid.count()
    assert (count.bar_number[: 4 - beats_cut] == 0).all()
    assert count.beat_in_bar[0] == beats_cut + 1
    assert grid.phrase_first % 4 == 0


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("tempo_bpm", "bars"), [(124, 4), (160, 4), (124, 16), (124, 64)])
def test_a_tempo_that_sways_is_refused(tempo_bpm, bars):
    turn = 2 * np.pi / (4 * bars)
    samples, _ = drums(
        bars=max(32, bars), time_of=lambda beat: 0.25 + 60 / tempo_bpm * beat + 0.02 * np.sin(turn * beat)
    )
    assert "wanders" in str(found_in(samples).refused)


def test_a_tempo_that_rises_by_a_five_hundredth_is_refused():
    samples, _ = drums(bars=64, time_of=lambda beat: 0.25 + BEAT_S * beat * (1 - 0.001 * beat / 256))
    assert "tempo" in str(found_in(samples).refused)


def test_a_tempo_that_steps_by_a_hundredth_is_refused():
    samples, _ = drums(bars=32, time_of=lambda beat: 0.25 + BEAT_S * (beat - 0.01 * np.maximum(0, beat - 64)))
    assert "tempo" in str(found_in(samples).refused)


# A slip in the middle, by a quarter of a beat at 150 BPM, and one that spares three quarters.
@pytest.mark.sweep(1)
@pytest.mark.parametrize(("tempo_bpm", "beats"), [(124, 64), (150, 64), (124, 96)])
def test_a_beat_that_slips_once_is_refused(tempo_bpm, beats):
    samples, _ = drums(bars=32, time_of=lambda beat: 0.25 + 60 / tempo_bpm * beat + 0.1 * (beat >= beats))
    assert found_in(samples).refused is not None


@pytest.mark.sweep(1)
@pytest.mark.parametrize("beats", [3, 5, 6, 7])
def test_another_metre_is_refused(beats):
    samples, _ = drums(bars=24, beats=beats)
    assert "four" in str(found_in(samples).refused)


@pytest.mark.parametrize("kind", ["silence", "noise", "tone"])
def test_sound_without_a_beat_is_refused(kind):
    n = 40 * RATE_HZ
    rng = np.random.default_rng(0)
    made = {
        "silence": np.zeros(n),
        "noise": 0.1 * rng.standard_normal(n),
        "tone": 0.3 * np.sin(2 * np.pi * 220 * np.arange(n) / RATE_HZ),
    }
    assert found_in(made[kind].astype(np.float32)).refused is not None


def test_too_little_sound_is_refused():
    samples, _ = drums(bars=8)
    assert "at least 20 s" in str(found_in(samples).refused)


def test_the_blocks_in_which_it_comes_make_no_difference():
    samples, _ = drums(bars=20)
    whole, parts = hear([samples]), hear(np.array_split(samples, 97))
    assert np.array_equal(whole.onsets, parts.onsets)
    assert np.array_equal(whole.attack, parts.attack)
    assert np.array_equal(whole.spectra.rows, parts.spectra.rows)


def test_a_delay_moves_the_grid_and_nothing_else():
    samples, _ = drums(bars=32)
    later = np.concatenate([np.zeros(RATE_HZ, np.float32), samples])
    one, other = found_in(samples), found_in(later)
    assert other.one_s - one.one_s == pytest.approx(1.0, abs=0.001)
    assert other.tempo_bpm == pytest.approx(one.tempo_bpm, abs=0.002)


def test_a_refused_grid_has_no_count():
    with pytest.raises(ValueError, match="no grid"):
        found_in(np.zeros(RATE_HZ, np.float32)).count()


@pytest.mark.proof
@pytest.mark.parametrize(("before", "after"), [(0, 1), (1, 0), (0.7, 0.4)])
def test_long_silence_at_the_ends_changes_nothing(before, after):
    samples, beats_s = short_drums()
    rng = np.random.default_rng(0)
    ends = [(3e-5 * rng.standard_normal(int(share * len(samples)))).astype(np.float32) for share in (before, after)]
    whole = np.concatenate([ends[0], samples, ends[1]])
    late_s = len(ends[0]) / RATE_HZ
    alone, grid = short_grid(), found_in(whole)
    assert grid.refused is None
    assert grid.tempo_bpm == pytest.approx(124, abs=0.005)
    assert grid.one_s - late_s == pytest.approx(float(beats_s[0]), abs=0.002)
    assert grid.start_s - late_s == pytest.approx(alone.start_s, abs=0.006)
    assert grid.steady_until_s <= late_s + len(samples) / RATE_HZ
    assert (grid.intro_bars, grid.phrase_first, grid.sure) == (alone.intro_bars, alone.phrase_first, alone.sure)
    assert grid.duration_s == len(whole) / RATE_HZ


def test_a_short_silence_stays():
    heard = hear([np.pad(drums(bars=16)[0], RATE_HZ * 10)])
    assert heard.sounding() == (heard, 0.0)


def test_little_sound_and_long_silence_is_too_short():
    assert "at least 20 s" in str(found_in(np.pad(drums(bars=6)[0], (0, 60 * RATE_HZ))).refused)
