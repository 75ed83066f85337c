"""Drift of taps against the sound: a linear regression of their asynchronies.

Conventions: seconds; positive drift falls behind, negative runs ahead. A constant latency does not affect the drift,
so no calibration is needed.
"""

import math
from dataclasses import dataclass
from statistics import median

import numpy as np

from exercises.timing.dependence import half_width
from synth.base.arrays import Seconds

# Mean threshold for one displaced tone, as a share of the beat (Friberg & Sundberg 1995, JASA 98, 2524-2531).
HEARD_SHARE = 0.025
# Just noticeable change of tempo (Drake & Botte 1993, Percept. Psychophys. 54, 277-286: 1.5 % at best). A smaller
# one shows only by the displacement it adds up to.
HEARD_TEMPO_SHARE = 0.015
# Fewest points of a regression: four lie near some line too easily.
FEWEST_FOR_DRIFT = 5
# Limit of the residual scatter, as a share of the beat; above it there is a step or no line. Twice the SD of
# untrained people (20 to 40 ms at 500 ms; from memory, low confidence).
OFF_THE_LINE_SHARE = 0.15
# Beyond this share of the tempo the taps have another rate, not a drift.
OTHER_RATE_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Drift:
    """Relative deviation ``share`` of the taps' intervals from the sound's (positive: longer).

    ``low`` and ``high`` bound the share at 95 % (see ``dependence``); ``first_s`` and ``last_s`` are the fitted
    asynchronies of the first and last tap, ``span_s`` the time between their targets, ``scatter_s`` the residual SD.
    """

    share: float
    low: float
    high: float
    first_s: float
    last_s: float
    span_s: float
    scatter_s: float

    def ms_per(self, length_s: float) -> float:
        """Drift in ms after ``length_s`` seconds of the sound."""
        return 1000 * self.share * length_s

    def audible(self, period_s: float) -> bool:
        """Whether the drift surely displaced a beat by more than the just noticeable share over the taps.

        The interval must exclude everything unnoticeable, not only zero.
        """
        surely = max(self.low, -self.high)
        return surely * self.span_s > HEARD_SHARE * period_s and self.scatter_s <= OFF_THE_LINE_SHARE * period_s


def drift(targets_s: Seconds, late_s: Seconds) -> Drift | None:
    """Least-squares line through ``late_s`` (n,) over the targets (n,); None for fewer than five."""
    n = len(targets_s)
    if n < FEWEST_FOR_DRIFT:
        return None
    mean_s, at_s = late_s.sum() / n, targets_s - targets_s.sum() / n
    squares = float(at_s @ at_s)
    share = float(at_s @ late_s) / squares
    rest_s = late_s - mean_s - share * at_s
    scatter_s = math.sqrt(float(rest_s @ rest_s) / (n - 2))
    half = half_width(late_s, at_s)
    first_s, last_s = (float(mean_s + share * at) for at in (at_s[0], at_s[-1]))
    return Drift(share, share - half, share + half, first_s, last_s, float(at_s[-1] - at_s[0]), scatter_s)


def own_drift(targets_s: Seconds, taps_s: Seconds) -> Drift | None:
    """Drift of taps that keep their own count, however far they depart from the targets.

    Each tap is assigned the target as many steps after the first; the whole row is aligned at the end where it lies
    nearest to a target. Targets are equidistant. None where the taps have another rate.
    """
    if len(taps_s) < FEWEST_FOR_DRIFT or len(targets_s) < 2:
        return None
    gaps_s, step_s = taps_s[1:] - taps_s[:-1], median((targets_s[1:] - targets_s[:-1]).tolist())
    steps = np.concatenate([[0.0], np.cumsum(np.rint(gaps_s / median(gaps_s.tolist())))])
    if steps[-1] == 0:
        return None
    found = drift(steps * step_s, taps_s - steps * step_s)
    if found is None or abs(found.share) > OTHER_RATE_SHARE:
        return None
    off_s = [_off_s(targets_s, end_s) for end_s in (found.first_s, found.last_s + found.span_s)]
    first_s = off_s[0] if abs(off_s[0]) <= abs(off_s[1]) else off_s[1] - found.share * found.span_s
    last_s = first_s + found.share * found.span_s
    return Drift(found.share, found.low, found.high, first_s, last_s, found.span_s, found.scatter_s)


def _off_s(targets_s: Seconds, tap_s: float) -> float:
    return float(tap_s - targets_s[np.argmin(np.abs(targets_s - tap_s))])
