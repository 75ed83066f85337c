"""Timekeeper and motor variance of free tapping.

Conventions: intervals between taps in ms, tapped without a metronome; variances in ms^2; autocovariances are divided
by the number of intervals. Method: Wing & Kristofferson 1973, Percept. Psychophys. 14, 5-12 (from memory): an
interval is that of the timekeeper plus the difference of two motor delays, so the lag-one covariance is minus the
motor variance. Taps that follow a sound are corrected by it, which violates the model (Vorberg & Wing 1996; from
memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from exercises.timing.distributions import t_quantile
from synth.base.arrays import Seconds

# Fewest intervals and runs that determine the two variances, and the shortest run.
FEWEST, FEWEST_RUNS, SHORTEST = 100, 4, 8


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


@dataclass(frozen=True, slots=True)
class Pooled:
    """SDs of the timekeeper and the motor delay in ms, each with its 95 % interval, from ``runs`` runs of taps."""

    intervals: int
    runs: int
    clock_ms: tuple[float, float, float]
    hand_ms: tuple[float, float, float]


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


def pooled(runs_ms: Sequence[Seconds]) -> Pooled | None:
    """Clock and hand from several runs of intervals at about one tempo, each (n,) with a linear drift of its own.

    Two sums of products of what a line leaves over, at lags zero and one, are set equal to their expectations under
    the model, which are linear in the two variances: so short runs give no bias. The intervals are those of the
    jackknife over the runs, by Student's t. None for fewer than ``FEWEST`` intervals or ``FEWEST_RUNS`` runs, and
    where the model does not fit (a negative variance).
    """
    runs = [run for run in runs_ms if run.size >= SHORTEST]
    if sum(run.size for run in runs) < FEWEST or len(runs) < FEWEST_RUNS:
        return None
    sums = np.array([_sums(run) for run in runs])
    expected = np.array([_expected(run.size) for run in runs])
    whole = np.linalg.solve(expected.sum(axis=0), sums.sum(axis=0))
    if whole.min() < 0:
        return None
    k = len(runs)
    without = np.linalg.solve(expected.sum(axis=0) - expected, (sums.sum(axis=0) - sums)[:, :, None])[:, :, 0]
    half = t_quantile(0.95, k - 1) * np.sqrt((k - 1) / k * np.square(without - without.mean(axis=0)).sum(axis=0))
    clock, hand = (
        (float(np.sqrt(var)), float(np.sqrt(max(0.0, var - off))), float(np.sqrt(var + off)))
        for var, off in zip(whole, half, strict=True)
    )
    return Pooled(sum(run.size for run in runs), k, clock, hand)


def _left_over(n: int) -> Seconds:
    """Projection (n, n) onto what a line leaves over."""
    q, _ = np.linalg.qr(np.column_stack([np.ones(n), np.arange(n)]))
    found: Seconds = np.eye(n) - q @ q.T
    return found


def _sums(run_ms: Seconds) -> tuple[float, float]:
    """Sums of squares, and of products at lag one, of what a line leaves over of a run."""
    off = _left_over(run_ms.size) @ run_ms
    return float(off @ off), float(off[:-1] @ off[1:])


@lru_cache(maxsize=256)
def _expected(n: int) -> tuple[tuple[float, float], tuple[float, float]]:
    """Expectations of ``_sums`` for n intervals: rows the sums, columns a clock and a hand of variance one."""
    over, shift = _left_over(n), np.eye(n, k=1)
    hand = 2 * np.eye(n) - np.eye(n, k=1) - np.eye(n, k=-1)
    at_zero, at_one = over @ over, over @ shift @ over
    return (
        (float(np.trace(at_zero)), float(np.trace(at_zero @ hand))),
        (float(np.trace(at_one)), float(np.trace(at_one @ hand))),
    )
