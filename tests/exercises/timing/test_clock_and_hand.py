"""Variances of clock and hand against hand-computed intervals and against a simulated clock and hand."""

import numpy as np
import pytest

from exercises.timing.clock_and_hand import autocovariance, clock_and_hand, split

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


def test_a_simulated_clock_and_hand_are_told_apart():
    """SD of the clock 20 ms, of the hand 8 ms: theory g(0) = 400 + 2 * 64 = 528, g(1) = -64."""
    rng = np.random.default_rng(7)
    found = [clock_and_hand(tapped(rng, 400, 20, 8)) for _ in range(400)]
    # Four standard errors of the mean over 400 runs, and the bias of order 1/n from the line taken off.
    for name, truth in (("clock_var_ms2", 400.0), ("hand_var_ms2", 64.0)):
        values = np.array([getattr(each, name) for each in found])
        assert values.mean() == pytest.approx(truth, abs=4 * values.std() / 20 + 6 * truth / 400)


def test_a_steady_drift_is_taken_off():
    """Slowing down would look like a bad clock; taken off, the same taps give the same figures as without it."""
    still, drifting = (tapped(np.random.default_rng(3), 60, 20, 8, drift) for drift in (0.0, 2.0))
    plain, found = clock_and_hand(still), clock_and_hand(drifting)
    assert found.clock_var_ms2 == pytest.approx(plain.clock_var_ms2)
    assert split(drifting).clock_var_ms2 > 3 * found.clock_var_ms2


def test_fewer_than_thirty_intervals_tell_nothing():
    intervals = tapped(np.random.default_rng(4), 30, 20, 8)
    assert clock_and_hand(intervals) is not None
    assert clock_and_hand(intervals[1:]) is None


def test_taps_that_correct_themselves_do_not_fit():
    """Where every tap is pulled back to a metronome, neighbours cancel: correlation below -0.5, negative variance."""
    errors = np.tile([20.0, -20.0], 20)
    assert not clock_and_hand(500 + np.diff(errors) + np.random.default_rng(5).normal(0, 1, 39)).fits


def test_what_is_no_row_of_intervals_is_refused():
    for wrong in ([], [[500.0]], [500.0, np.nan]):
        with pytest.raises(ValueError, match="intervals"):
            split(wrong)
