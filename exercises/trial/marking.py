"""Marking of taps against targets.

Conventions: seconds from the start of the sound, early negative, late positive.
"""

import numpy as np

from exercises.timing.asynchrony import asynchrony
from exercises.timing.drift import drift
from exercises.timing.matching import match
from exercises.timing.window import window_s
from exercises.trial.habit import beat_shares
from exercises.trial.result import TapMarks
from synth.base.arrays import Seconds
from synth.score.metre import Count

# Fewest hits for a meaningful mean.
FEWEST_HITS = 3


def counted_taps(targets_s: Seconds, taps_s: Seconds, count: Count, period_s: float) -> slice:
    """Taps that count: from half a beat before the first target to half a beat after the last beat."""
    if not len(targets_s):
        return slice(0, 0)
    first = int(np.searchsorted(taps_s, targets_s[0] - period_s / 2, side="left"))
    last = int(
        np.searchsorted(taps_s, max(float(count.beats_s[-1]), float(targets_s[-1])) + period_s / 2, side="right")
    )
    return slice(first, max(first, last))


def mark_taps(
    targets_s: Seconds,
    taps_s: Seconds,
    count: Count,
    period_s: float,
    uncertainty_ms: float = 0.0,
    counted: slice | None = None,
    within_s: float | None = None,
) -> TapMarks:
    """Mark sorted taps against sorted targets; ``count`` gives the beat of the bar nearest to each tap.

    ``counted`` replaces ``counted_taps``, ``within_s`` replaces ``window_s``. ``ValueError`` for a negative
    uncertainty.
    """
    if not uncertainty_ms >= 0:
        raise ValueError(f"uncertainty {uncertainty_ms} ms: 0 or more expected")
    counted = counted_taps(targets_s, taps_s, count, period_s) if counted is None else counted
    taps = taps_s[counted]
    window = window_s(period_s) if within_s is None else within_s
    pairs = match(targets_s, taps, window)
    errors_ms = 1000 * (taps[pairs[:, 1]] - targets_s[pairs[:, 0]])
    figures = asynchrony(errors_ms)
    return TapMarks(
        targets=len(targets_s),
        hits=len(pairs),
        missed=len(targets_s) - len(pairs),
        extra=len(taps) - len(pairs),
        bias_ms=figures.bias_ms,
        spread_ms=figures.spread_ms,
        bias_ci95_ms=figures.bias_ci95_ms,
        uncertainty_ms=float(uncertainty_ms),
        window_ms=1000 * window,
        errors_ms=errors_ms,
        beat_tapped=beat_shares(count, taps),
        pairs=pairs + np.array([0, counted.start]),
        counted=(counted.start, counted.stop),
        drift=drift(targets_s[pairs[:, 0]], errors_ms / 1000),
    )


def tap_score(marks: TapMarks) -> float:
    """F-measure, 0 to 1: 2 hits / (targets + taps)."""
    whole = marks.targets + marks.hits + marks.extra
    return 2 * marks.hits / whole if whole else 0.0
