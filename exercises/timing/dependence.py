"""Interval of a mean or a slope of errors that depend on their neighbours, as people's taps do: they correct.

Conventions: errors in the order of the taps, all in one unit; the half width is in that unit, or per unit of ``at``.
Method: autoregressive errors of first order. For each correlation of a grid the regression is whitened (Prais &
Winsten 1954), which gives the variance of a step and the likelihood of that correlation; the standard error is the
mean over the grid, weighted by the posterior (Zellner & Tiao 1964, J. Am. Stat. Assoc. 59, 763-778; both from
memory), and Student's t as many times that. A short row cannot tell its own correlation, so a single estimate of it
would make the interval too narrow.
"""

import numpy as np

from exercises.timing.distributions import t_quantile
from synth.base.arrays import Seconds

# Correlations, and their prior. The weights are chosen, not measured: with them the interval holds the true value in
# 93 to 97 % of rows from 16 errors on, at any correlation from 0 to 0.5 (``bench --only intervals``).
CORRELATIONS = np.linspace(-0.2, 0.8, 11)
PRIOR = np.array([0.49, *[0.03] * 9, 0.24])
# Below 16 errors that is not enough: for each one fewer the interval grows by this share.
ENOUGH, WIDER = 16, 1 / 64
# Products over more errors than this are zero to 14 digits.
MOST_LAGS = 150


def half_width(errors: Seconds, at: Seconds | None = None) -> float:
    """Half of the 95 % interval of the mean of errors (n,), or of their slope over ``at`` (n,).

    ``ValueError`` for fewer than two errors, or three with ``at``.
    """
    n = errors.size
    design = [np.ones(n)] if at is None else [np.ones(n), at - at.mean()]
    degrees = n - len(design)
    if degrees < 1:
        raise ValueError(f"{n} errors: more than the regression has coefficients expected")
    rest = errors - errors.mean()
    if not rest.any():
        return 0.0
    left = design[-1] / float(design[-1] @ design[-1])
    rest, likely = _white(rest), np.log(PRIOR) + 0.5 * np.log(1 - CORRELATIONS**2)
    before: list[Seconds] = []
    for column in map(_white, design):
        for other in before:
            column = column - _along(column, other) * other
        length = np.sqrt(np.square(column).sum(axis=1, keepdims=True))
        before.append(column / length)
        rest = rest - _along(rest, before[-1]) * before[-1]
        likely -= np.log(length[:, 0])
    squares = np.maximum(np.square(rest).sum(axis=1), np.finfo(np.float64).tiny)
    likely -= degrees / 2 * np.log(squares)
    weights = np.exp(likely - likely.max())
    products = _products(left)
    powers = 2 * CORRELATIONS[:, None] ** np.arange(products.size)
    powers[:, 0] = 1
    variances = squares / degrees * (powers @ products) / (1 - CORRELATIONS**2)
    wider = 1 + WIDER * max(0, ENOUGH - n)
    return wider * t_quantile(0.95, degrees) * float(weights @ np.sqrt(variances)) / float(weights.sum())


def _white(values: Seconds) -> Seconds:
    """The values (n,) with each correlation taken out: (correlations, n)."""
    made: Seconds = values - CORRELATIONS[:, None] * np.concatenate([[0.0], values[:-1]])
    made[:, 0] = values[0] * np.sqrt(1 - CORRELATIONS**2)
    return made


def _along(values: Seconds, unit: Seconds) -> Seconds:
    """Lengths of rows along rows of length one, (correlations, 1)."""
    found: Seconds = (values * unit).sum(axis=1, keepdims=True)
    return found


def _products(values: Seconds) -> Seconds:
    """Sums of products of values a lag apart, from lag 0 on."""
    n = values.size
    if n <= MOST_LAGS:
        found: Seconds = np.correlate(values, values, "full")[n - 1 :]
        return found
    return np.array([values[: n - lag] @ values[lag:] for lag in range(MOST_LAGS)])
