"""Variances of clock and hand against hand-computed intervals and against a simulated clock and hand."""

import numpy as np
import pytest

from exercises.timing.clock_and_hand import autocovariance, pooled, split

# Computed by hand, dividing by the number of intervals: (intervals ms, g(0), g(1), r1, var_hand, var_clock).
FITS = ((520, 490, 510, 480, 500, 520, 510, 480, 500, 490), 200, -50, -0.25, 50, 100)
DOES_NOT = ((500, 520, 490, 505, 485, 510, 495, 515, 480, 500), 150, -90, -0.60, 90, -30)


def tapped(rng, intervals, clock_ms, hand_ms, drift_ms=0.0):
    """Intervals of a clock and a hand with these SDs, mean 500 ms, growing by ``drift_ms`` from one to the next."""
    clock = 500 + drift_ms * np.arange(intervals) + clock_ms * rng.standard_normal(intervals)
    return clock + np.diff(hand_ms * rng.standard_normal(intervals + 1))


@pytest.mark.parametrize(("intervals", "g0", "g1", "r1", "hand", "clock"), [FITS, DOES_NOT])
def test_the_figures_of_ten_intervals(intervals, g0, g1, r1, hand, clock):
    """The formulas of Wing & Kristofferson 1973 (from memory) worked by hand."""
    assert autocovariance(intervals, 0) == pytest.approx(g0)
    assert autocovariance(intervals, 1) == pytest.approx(g1)
    found = split(intervals)
    assert (found.hand_var_ms2, found.clock_var_ms2) == (pytest.approx(hand), pytest.approx(clock))
    assert autocovariance(intervals, 1) / autocovariance(intervals, 0) == pytest.approx(r1)
    assert found.fits is (clock >= 0)


def test_autocovariance_agrees_with_numpy():
    intervals = np.random.default_rng(1).normal(500, 20, 40)
    off = intervals - intervals.mean()
    full = np.correlate(off, off, "full") / 40
    assert [autocovariance(intervals, lag) for lag in range(5)] == pytest.approx(full[39:44])


@pytest.mark.sweep(1)
@pytest.mark.parametrize("intervals", [12, 32])
def test_pooled_short_runs_give_clock_and_hand_without_bias_and_with_honest_intervals(intervals):
    """SD of the clock 20 ms, of the hand 12 ms, each run with its own drift; 95 % of 300 intervals, give or take."""
    rng, runs = np.random.default_rng(7), -(-240 // intervals)
    found = [
        pooled([tapped(rng, intervals, 20, 12, drift_ms=float(rng.normal(0, 1))) for _ in range(runs)])
        for _ in range(300)
    ]
    found = [each for each in found if each is not None]
    assert len(found) >= 295
    for name, truth in (("clock_ms", 20.0), ("hand_ms", 12.0)):
        values = np.array([getattr(each, name) for each in found])
        squares = np.square(values[:, 0])
        assert squares.mean() == pytest.approx(truth**2, abs=4 * squares.std() / np.sqrt(len(found)) + 2)
        assert np.mean((values[:, 1] <= truth) & (truth <= values[:, 2])) >= 0.91


def test_fewer_than_a_hundred_intervals_or_four_runs_tell_nothing():
    rng = np.random.default_rng(4)
    runs = [tapped(rng, 25, 20, 8) for _ in range(4)]
    assert pooled(runs).intervals == 100
    assert pooled([runs[0][1:], *runs[1:]]) is None
    assert pooled([tapped(rng, 60, 20, 8) for _ in range(3)]) is None
    assert pooled([tapped(rng, 7, 20, 8) for _ in range(40)]) is None


def test_taps_that_correct_themselves_do_not_fit():
    """Where every tap is pulled back to a metronome, neighbours cancel: correlation below -0.5, negative variance."""
    rng = np.random.default_rng(5)
    assert pooled([500 + np.diff(np.tile([20.0, -20.0], 20)) + rng.normal(0, 1, 39) for _ in range(4)]) is None


def test_what_is_no_row_of_intervals_is_refused():
    for wrong in ([], [[500.0]], [500.0, np.nan]):
        with pytest.raises(ValueError, match="intervals"):
            split(wrong)
