"""The interval of errors that depend on their neighbours: coverage, a reference with whole matrices, and laws."""

import numpy as np
import pytest
from scipy import stats

from exercises.timing import dependence
from exercises.timing.dependence import CORRELATIONS, PRIOR, half_width


def rows(correlation: float, n: int, many: int, seed: int) -> np.ndarray:
    """Stationary autoregressive rows, (many, n), with a mean and a slope of zero."""
    steps = np.random.default_rng(seed).standard_normal((many, n))
    found = np.empty((many, n))
    found[:, 0] = steps[:, 0] / np.sqrt(1 - correlation**2)
    for at in range(1, n):
        found[:, at] = correlation * found[:, at - 1] + steps[:, at]
    return found


@pytest.mark.proof
@pytest.mark.parametrize("n", [16, 40])
@pytest.mark.parametrize("correlation", [0.0, 0.25, 0.5])
def test_it_holds_the_true_mean_and_slope_as_often_as_it_says(n, correlation):
    """93 to 97 % of 1 000 rows, give or take 1.4 % (two standard errors of that share)."""
    errors, at = rows(correlation, n, 1000, 9), np.arange(float(n))
    means = np.mean([abs(row.mean()) <= half_width(row) for row in errors])
    fitted = np.polyfit(at, errors.T, 1)[0]
    slopes = np.mean([abs(slope) <= half_width(row, at) for slope, row in zip(fitted, errors, strict=True)])
    assert min(means, slopes) >= 0.916
    assert max(means, slopes) <= 0.984


@pytest.mark.parametrize("n", [3, 8])
def test_from_fewer_errors_it_is_wider_than_for_independent_ones(n):
    errors = rows(0.0, n, 50, 3)
    plain = stats.t.ppf(0.975, n - 1) * errors.std(axis=1, ddof=1) / np.sqrt(n)
    assert np.mean([half_width(row) for row in errors] / plain) > 1.2


@pytest.mark.parametrize("sloping", [False, True])
def test_it_is_that_of_whole_matrices(sloping):
    """Generalised least squares written out: covariance matrices, their inverses and determinants."""
    errors = rows(0.4, 12, 1, 5)[0]
    at = np.sort(np.random.default_rng(1).uniform(0, 9, 12))
    design = np.column_stack([np.ones(12)] + ([at - at.mean()] if sloping else []))
    degrees, left = 12 - design.shape[1], np.linalg.pinv(design)[-1]
    sds, likely = [], []
    for correlation, prior in zip(CORRELATIONS, PRIOR, strict=True):
        covariance = correlation ** np.abs(np.subtract.outer(np.arange(12), np.arange(12))) / (1 - correlation**2)
        inner = design.T @ np.linalg.solve(covariance, design)
        rest = errors - design @ np.linalg.solve(inner, design.T @ np.linalg.solve(covariance, errors))
        squares = rest @ np.linalg.solve(covariance, rest)
        dets = np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(inner)[1]
        likely.append(prior * np.exp(-dets / 2) * squares ** (-degrees / 2))
        sds.append(np.sqrt(squares / degrees * (left @ covariance @ left)))
    expected = (1 + 4 / 64) * stats.t.ppf(0.975, degrees) * np.average(sds, weights=likely)
    assert half_width(errors, at if sloping else None) == pytest.approx(expected, rel=1e-9)


def test_a_constant_and_another_unit_change_it_as_they_should():
    errors, at = rows(0.3, 20, 1, 2)[0], np.arange(20.0)
    assert half_width(errors + 150) == pytest.approx(half_width(errors))
    assert half_width(1000 * errors, at) == pytest.approx(1000 * half_width(errors, at))
    assert half_width(errors, 500 * at) == pytest.approx(half_width(errors, at) / 500)
    assert half_width(np.full(9, 3.25)) == 0.0


def test_too_few_errors_are_refused():
    for errors, at in ((np.zeros(1), None), (np.zeros(2), np.arange(2.0))):
        with pytest.raises(ValueError, match="more than the regression has coefficients"):
            half_width(errors, at)


def test_products_far_apart_add_nothing(monkeypatch):
    errors = rows(0.5, 400, 1, 4)[0]
    short = half_width(errors)
    monkeypatch.setattr(dependence, "MOST_LAGS", 400)
    assert half_width(errors) == pytest.approx(short, rel=1e-12)
