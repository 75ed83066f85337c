"""Timekeeper and motor variance of free tapping.

Conventions: intervals between taps in ms, tapped without a metronome; variances in ms^2; autocovariances are divided
by the number of intervals. Method: Wing & Kristofferson 1973, Percept. Psychophys. 14, 5-12 (from memory): an
interval is that of the timekeeper plus the difference of two motor delays, so the lag-one covariance is minus the
motor variance. Taps that follow a sound are corrected by it, which violates the model (Vorberg & Wing 1996; from
memory).
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Seconds

# Fewer intervals do not determine the two variances.
FEWEST = 30


@dataclass(frozen=True, slots=True)
class ClockAndHand:
    """Variances of the timekeeper (``clock``) and the motor delay (``hand``), from ``intervals`` intervals."""

    intervals: int
    clock_var_ms2: float
    hand_var_ms2: float

    @property
    def fits(self) -> bool:
        """Whether the intervals fit the model: no negative variance, lag-one correlation -0.5 to 0."""
        return self.clock_var_ms2 >= 0 and self.hand_var_ms2 >= 0


def autocovariance(intervals_ms: npt.ArrayLike, lag: int) -> float:
    """Autocovariance of intervals at ``lag``, divided by their number. ``ValueError`` unless one finite row."""
    off: Seconds = np.asarray(intervals_ms, dtype=np.float64)
    if off.ndim != 1 or not 0 <= lag < off.size or not np.all(np.isfinite(off)):
        raise ValueError(f"intervals of shape {off.shape}, lag {lag}: one row of more finite intervals expected")
    off = off - off.mean()
    return float(off[: off.size - lag] @ off[lag:]) / off.size


def split(intervals_ms: npt.ArrayLike) -> ClockAndHand:
    """Variances of at least two intervals: var_hand = -g(1), var_clock = g(0) + 2 g(1)."""
    g0, g1 = autocovariance(intervals_ms, 0), autocovariance(intervals_ms, 1)
    return ClockAndHand(np.size(intervals_ms), g0 + 2 * g1, -g1)


def clock_and_hand(intervals_ms: npt.ArrayLike) -> ClockAndHand | None:
    """``split`` after removing the linear drift; None for fewer than 30 intervals."""
    intervals: Seconds = np.asarray(intervals_ms, dtype=np.float64)
    if intervals.size < FEWEST:
        return None
    at = np.arange(intervals.size) - (intervals.size - 1) / 2
    slope = float(at @ intervals) / float(at @ at)
    return split(intervals - slope * at)
