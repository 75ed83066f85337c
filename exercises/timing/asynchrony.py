"""Asynchrony of taps: bias, spread, and the confidence interval of the bias.

Conventions: an error is tap minus target, early negative, late positive, in ms. Bias is the mean error, spread its
standard deviation (n - 1); the 95 % interval of the bias is Student's t, assuming independent and roughly normal
errors. A constant latency of the equipment shifts the bias and leaves the spread unchanged.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True, slots=True)
class Asynchrony:
    """Mean error, its SD and its 95 % interval; None where there are too few errors."""

    bias_ms: float | None
    spread_ms: float | None
    bias_ci95_ms: tuple[float, float] | None


def asynchrony(errors_ms: npt.ArrayLike) -> Asynchrony:
    """Bias (from one error on), spread and interval (from two on). ``ValueError`` for errors that are not finite."""
    errors = np.asarray(errors_ms, dtype=np.float64)
    if errors.ndim != 1 or not np.all(np.isfinite(errors)):
        raise ValueError("errors: one row of finite milliseconds expected")
    n = errors.size
    if n == 0:
        return Asynchrony(None, None, None)
    bias_ms = float(errors.mean())
    if n == 1:
        return Asynchrony(bias_ms, None, None)
    spread_ms = float(errors.std(ddof=1))
    half_ms = t_quantile(0.95, n - 1) * spread_ms / math.sqrt(n)
    return Asynchrony(bias_ms, spread_ms, (bias_ms - half_ms, bias_ms + half_ms))


def t_share(t: float, df: int) -> float:
    """Probability that Student's t with whole ``df`` degrees of freedom lies within -t to t.

    The closed forms of Abramowitz & Stegun (1964), 26.7.3 for odd and 26.7.4 for even degrees of freedom.
    """
    if df < 1 or t < 0:
        raise ValueError(f"t {t}, df {df}: t of 0 or more and at least one degree of freedom expected")
    theta = math.atan2(t, math.sqrt(df))
    sine, cosine = math.sin(theta), math.cos(theta)
    term = cosine if df % 2 else 1.0
    total = 0.0
    for k in range(3 if df % 2 else 2, df + 1, 2):
        total += term
        term *= cosine**2 * (k - 1) / k
    if df % 2:
        return 2 / math.pi * (theta + sine * total)
    return sine * total


@lru_cache(maxsize=1024)
def t_quantile(share: float, df: int) -> float:
    """The t that holds ``share`` (0 to 1) of Student's t between -t and t: the inverse of ``t_share``.

    Above 200 degrees of freedom the expansion in powers of 1 / df (Abramowitz & Stegun 26.7.5), exact to 1e-9 there.
    """
    if not 0 < share < 1 or df < 1:
        raise ValueError(
            f"share {share}, df {df}: a share between 0 and 1 and at least one degree of freedom expected"
        )
    if df > 200:
        x = NormalDist().inv_cdf((1 + share) / 2)
        return (
            x
            + (x**3 + x) / (4 * df)
            + (5 * x**5 + 16 * x**3 + 3 * x) / (96 * df**2)
            + (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / (384 * df**3)
        )
    low, high = 0.0, 1.0
    while t_share(high, df) < share:
        low, high = high, 2 * high
    while high - low > 1e-12 * high:
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if t_share(middle, df) < share else (low, middle)
    return (low + high) / 2
