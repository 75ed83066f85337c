"""Circular statistics of taps: mean direction, resultant length, Rayleigh test.

Conventions: angles in radians, one turn a period; a tap on the beat has angle 0, a late one a positive, an early one
a negative angle. The resultant length R is 1 for equal angles and near 0 for uniform ones. Formulas as in Zar,
Biostatistical Analysis, chapters 26 and 27; also Berens 2009, J. Stat. Softw. 31(10).
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Seconds


@dataclass(frozen=True, slots=True)
class Direction:
    """Mean direction (-pi to pi), resultant length R (0 to 1), p value of the Rayleigh test."""

    mean_rad: float
    length: float
    rayleigh_p: float


def angles(taps_s: npt.ArrayLike, beat_s: npt.ArrayLike, period_s: npt.ArrayLike) -> Seconds:
    """Angle (-pi to pi) of each tap in the cycle that starts at ``beat_s`` and lasts ``period_s``."""
    off_s = np.asarray(taps_s, dtype=np.float64) - np.asarray(beat_s, dtype=np.float64)
    turns: Seconds = off_s / np.asarray(period_s, dtype=np.float64)
    return 2 * math.pi * (turns - np.rint(turns))


def direction(angles_rad: npt.ArrayLike) -> Direction:
    """Mean direction of the angles; ``ValueError`` for none, or one that is not finite."""
    theta = np.asarray(angles_rad, dtype=np.float64)
    if theta.ndim != 1 or not theta.size or not np.isfinite(theta).all():
        raise ValueError("angles: one row of at least one finite angle in radians expected")
    mean = np.exp(1j * theta).mean()
    length = min(float(np.abs(mean)), 1.0)
    return Direction(float(np.angle(mean)), length, rayleigh_p(theta.size, length))


def rayleigh_p(n: int, length: float) -> float:
    """Probability that ``n`` uniform angles give a resultant length of ``length`` or more (Zar, eq. 27.4).

    Unlike the common series approximations this is never negative for tight data.
    """
    # sqrt(1 + 4n + 4(n^2 - (nR)^2)) - (1 + 2n), rewritten to avoid cancellation.
    root = math.sqrt(1 + 4 * n + 4 * n**2 * (1 - length**2))
    return min(1.0, math.exp(-4 * (n * length) ** 2 / (root + 1 + 2 * n)))
