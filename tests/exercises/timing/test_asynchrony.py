"""Bias, spread and interval: scipy as reference, and laws."""

import numpy as np
import pytest
from scipy import stats

from exercises.timing.asynchrony import asynchrony


def test_for_independent_errors_the_interval_is_the_one_that_scipy_gives(independent):
    errors_ms = np.random.default_rng(4).normal(-30, 25, 16)
    figures = asynchrony(errors_ms)
    expected = stats.t.interval(0.95, 15, loc=errors_ms.mean(), scale=stats.sem(errors_ms))
    assert figures.bias_ci95_ms == pytest.approx(expected, rel=1e-9)
    assert figures.spread_ms == pytest.approx(stats.tstd(errors_ms))


def test_early_taps_have_a_negative_bias():
    assert asynchrony([-30.0, -20.0]).bias_ms == -25.0


def test_a_constant_lag_moves_the_bias_and_leaves_the_spread():
    errors_ms = np.array([-12.0, 3.0, 8.0, -1.0])
    plain, lagged = asynchrony(errors_ms), asynchrony(errors_ms + 150)
    assert lagged.bias_ms == pytest.approx(plain.bias_ms + 150)
    assert lagged.spread_ms == pytest.approx(plain.spread_ms)


def test_too_few_errors_give_no_figure_rather_than_a_wrong_one():
    assert asynchrony([]).bias_ms is None
    one = asynchrony([5.0])
    assert (one.bias_ms, one.spread_ms, one.bias_ci95_ms) == (5.0, None, None)


@pytest.mark.parametrize("errors", [[1.0, np.inf], [[1.0, 2.0]]])
def test_errors_that_are_no_row_of_numbers_are_refused(errors):
    with pytest.raises(ValueError, match="finite milliseconds"):
        asynchrony(errors)
