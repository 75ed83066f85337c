"""Whether taps ran faster or slower than the sound: a straight line through how early or late they are.

Conventions: seconds; a drift above zero falls behind, below zero runs ahead. A constant lag of the equipment shifts
all taps alike and leaves the drift alone, so it can be told without a calibration.
"""

import math
from dataclasses import dataclass

import numpy as np

from exercises.timing.asynchrony import t_quantile
from synth.base.arrays import Seconds

# From this much on a displaced beat is noticed, as a share of the beat (Friberg & Sundberg 1995, JASA 98, 2524-2531).
HEARD_SHARE = 0.025
# From this much on a change of tempo is noticed (Drake & Botte 1993, Percept. Psychophys. 54, 277-286: 1.5 % at its
# best). A smaller one is only found by the beats that it displaces in the end.
HEARD_TEMPO_SHARE = 0.015
# Four points lie near some line too easily.
FEWEST_FOR_DRIFT = 5
# A step rather than a slope, or no line at all, where the taps scatter more than this about theirs, as a share of the
# beat: twice the SD of untrained people (20 to 40 ms at 500 ms; from memory, low confidence).
OFF_THE_LINE_SHARE = 0.15
# Beyond this share of the tempo it is another rate that was tapped, and no drift.
OTHER_RATE_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Drift:
    """How much longer (shorter: negative) the steps of the taps were than those of the sound, as a share of them.

    ``low`` and ``high`` bound the share at 95 %, ``first_s`` and ``last_s`` are how late the line has the first and
    the last tap, ``span_s`` lies between their targets, ``scatter_s`` is the SD about the line.
    """

    share: float
    low: float
    high: float
    first_s: float
    last_s: float
    span_s: float
    scatter_s: float

    def ms_per(self, length_s: float) -> float:
        """How many ms later (earlier: negative) the taps came after so many seconds of the sound."""
        return 1000 * self.share * length_s

    def audible(self, period_s: float) -> bool:
        """Whether it is sure: over the taps, it displaced a beat by more than anybody's ear would let pass.

        Not only zero, but all that nobody would notice must lie outside the interval: neighbouring taps depend on
        each other (people correct), so that an interval that takes them as independent is a little too narrow.
        """
        surely = max(self.low, -self.high)
        return surely * self.span_s > HEARD_SHARE * period_s and self.scatter_s <= OFF_THE_LINE_SHARE * period_s


def drift(targets_s: Seconds, late_s: Seconds) -> Drift | None:
    """The line through ``late_s`` (n,) over their targets (n,), by least squares; None for fewer than five."""
    n = len(targets_s)
    if n < FEWEST_FOR_DRIFT:
        return None
    at_s = targets_s - targets_s.mean()
    squares = float(at_s @ at_s)
    share = float(at_s @ late_s) / squares
    rest_s = late_s - late_s.mean() - share * at_s
    scatter_s = math.sqrt(float(rest_s @ rest_s) / (n - 2))
    half = t_quantile(0.95, n - 2) * scatter_s / math.sqrt(squares)
    first_s, last_s = (float(late_s.mean() + share * at) for at in (at_s[0], at_s[-1]))
    return Drift(share, share - half, share + half, first_s, last_s, float(at_s[-1] - at_s[0]), scatter_s)


def own_drift(targets_s: Seconds, taps_s: Seconds) -> Drift | None:
    """The drift of taps that keep their own count, however far they have left the targets behind by then.

    Each tap belongs to as many targets after the first one's as it lies steps after the first tap, and the whole row
    to the targets that its nearest end lies at. Targets stand evenly. None where the taps go at another rate.
    """
    if len(taps_s) < FEWEST_FOR_DRIFT or len(targets_s) < 2:
        return None
    gaps_s, step_s = np.diff(taps_s), float(np.median(np.diff(targets_s)))
    steps = np.concatenate([[0.0], np.cumsum(np.rint(gaps_s / float(np.median(gaps_s))))])
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
