"""Asynchrony of taps: bias, spread, and the confidence interval of the bias.

Conventions: an error is tap minus target, early negative, late positive, in ms. Bias is the mean error, spread its
standard deviation (n - 1); the 95 % interval of the bias allows for errors that depend on their neighbours (see
``dependence``). A constant latency of the equipment shifts the bias and leaves the spread unchanged.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from exercises.timing.dependence import half_width


@dataclass(frozen=True, slots=True)
class Asynchrony:
    """Mean error, its SD and its 95 % interval; None where there are too few errors."""

    bias_ms: float | None
    spread_ms: float | None
    bias_ci95_ms: tuple[float, float] | None


def asynchrony(errors_ms: npt.ArrayLike) -> Asynchrony:
    """Bias (from one error on), spread and interval (from two on). ``ValueError`` for errors that are not finite."""
    errors = np.asarray(errors_ms, dtype=np.float64)
    if errors.ndim != 1 or not np.isfinite(errors).all():
        raise ValueError("errors: one row of finite milliseconds expected")
    n = errors.size
    if n == 0:
        return Asynchrony(None, None, None)
    bias_ms = float(errors.mean())
    if n == 1:
        return Asynchrony(bias_ms, None, None)
    spread_ms = float(errors.std(ddof=1))
    half_ms = half_width(errors)
    return Asynchrony(bias_ms, spread_ms, (bias_ms - half_ms, bias_ms + half_ms))
