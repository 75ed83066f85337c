"""Calibration by tapping: which click a tap belongs to, which taps count, how many are wanted, what they tell."""

import numpy as np
import pytest

from exercises.calibration.tapping import (
    CLICK_GAP_S,
    EARLIEST_S,
    TAPS,
    UNSURE_S,
    WAY_IN,
    even_clicks_s,
    judge,
    off_clicks_ms,
    still_wanted,
    surely_before,
)

STARTS_S = even_clicks_s()
FIRST_S = STARTS_S[WAY_IN]


def test_the_clicks_are_even_and_more_than_the_taps_wanted():
    np.testing.assert_allclose(np.diff(STARTS_S), CLICK_GAP_S)
    assert len(STARTS_S) > WAY_IN + TAPS
    np.testing.assert_array_equal(even_clicks_s(12), STARTS_S[:-12])


def test_each_tap_belongs_to_its_click_however_slow_the_sound():
    """A whole number of gaps later changes nothing; 0.35 s late is late, not early."""
    late_s = FIRST_S + np.arange(20) * CLICK_GAP_S + 0.35
    np.testing.assert_allclose(off_clicks_ms(late_s, STARTS_S), 350)
    np.testing.assert_allclose(off_clicks_ms(late_s - 0.4, STARTS_S), -50)
    assert len(off_clicks_ms(np.empty(0), STARTS_S)) == 0


def test_taps_on_the_way_in_and_after_the_last_click_are_left_out():
    """A tap may come before the first click that counts, and one gap after the last."""
    taps_s = [*STARTS_S[:WAY_IN], FIRST_S - 0.05, STARTS_S[-1] + 0.05, STARTS_S[-1] + CLICK_GAP_S + 0.05]
    np.testing.assert_allclose(off_clicks_ms(np.array(taps_s), STARTS_S), [-50, 50])


def test_one_tap_a_click_is_wanted():
    """Two taps on a click are one, those on the way in are none, those kept need no others."""
    along_s = STARTS_S + 0.03
    assert still_wanted(np.empty(0), STARTS_S) == TAPS
    assert still_wanted(along_s[:WAY_IN], STARTS_S) == TAPS
    assert still_wanted(np.repeat(along_s[WAY_IN : WAY_IN + 3], 2), STARTS_S) == TAPS - 3
    assert still_wanted(along_s[: WAY_IN + 3], STARTS_S, kept=12) == TAPS - 15
    assert still_wanted(along_s, STARTS_S) == 0


def test_a_tap_before_its_click_is_wanted_for_that_click():
    early_s = STARTS_S[WAY_IN : WAY_IN + 2] - EARLIEST_S / 2
    assert still_wanted(early_s, STARTS_S) == TAPS - 2


def test_the_last_moments_before_a_stumble_are_not_sure():
    taps_s = 10.0 - UNSURE_S + np.array([-1.0, -0.01, 0.01, 1.0])
    np.testing.assert_array_equal(surely_before(taps_s, 10.0), taps_s[:2])


@pytest.mark.parametrize(("lag_ms", "says"), [(40.0, "40 ms after the click"), (-30.0, "30 ms before the click")])
def test_even_taps_are_a_lag(lag_ms, says):
    found = judge(lag_ms + np.tile([-5.0, 0.0, 5.0], 10))
    assert found.lag is found.middle
    assert found.lag.middle_ms == pytest.approx(lag_ms)
    assert says in str(found.say)


def test_few_taps_and_wandering_taps_are_no_lag():
    """The middle of those that wander is shown all the same."""
    few = judge(np.zeros(7))
    assert (few.lag, few.middle) == (None, None)
    assert "Too few taps: 7. At least 8" in str(few.say)
    assert judge(np.zeros(8)).lag is not None
    wide = judge(np.random.default_rng(2).uniform(-150, 150, 20))
    assert wide.lag is None
    assert wide.middle is not None
    assert "wander" in str(wide.say)
