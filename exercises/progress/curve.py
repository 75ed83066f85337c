"""A practice curve: how a figure moves with practice, and how surely. Whether it moves is told in ``change``.

Individual practice follows an exponential rather than a power law: y = a + b exp(-c n) after n trials (Heathcote,
Brown & Mewhort 2000, Psychonomic Bulletin & Review 7, 185-207). It is linear given the rate c, so the fit searches
over rates and solves the rest by weighted least squares: it always converges. Figures are spreads, never below 0;
where the free fit would be negative, the best non-negative curve is used.

The unit is the day, not the trial: trials of one day share conditions and are not independent. Every bench (device
and calibration) has its own ``a``, so that a change of headphones is neither progress nor setback.

The band is of 95 % simultaneous confidence for the whole curve: all curves (any rate) whose weighted squares are
within p s^2 F(p, n - p) of the minimum, by Beale 1960 (J. R. Stat. Soc. B 22, 41-88; from memory) and Scheffe's
method. The minimum is that of free curves; the band is clipped at 0.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from exercises.progress.change import LEAST_DAYS, LEAST_TRIALS
from exercises.timing.distributions import f_quantile
from synth.base.arrays import Seconds

CONFIDENCE = 0.95
# Number of rates, and the factor for the band.
RATES, FINE = 60, 3
# More days are merged with their neighbours, for speed.
MOST_DAYS = 120


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A fitted curve at ``at`` (m,) trials of practice: ``figure`` and its band ``low`` to ``high``.

    ``floor`` is a (of the bench used last), ``gain`` b, ``rate`` c per trial.
    """

    floor: float
    gain: float
    rate: float
    at: Seconds
    figure: Seconds
    low: Seconds
    high: Seconds


def practice_curve(
    practised: npt.ArrayLike,
    figures: npt.ArrayLike,
    weights: npt.ArrayLike,
    benches: npt.ArrayLike | None = None,
    *,
    points: int = 60,
) -> Curve | None:
    """Fit a curve to daily ``figures`` (n,), each the mean of ``weights`` trials, after ``practised`` trials.

    None with fewer than ``LEAST_DAYS`` days or ``LEAST_TRIALS`` trials on benches of two days or more.
    ``ValueError`` where the rows differ in length, a weight is not positive or a figure is negative.
    """
    x, y, w = (np.asarray(row, dtype=np.float64) for row in (practised, figures, weights))
    bench = np.zeros(len(x), dtype=np.int64) if benches is None else np.asarray(benches, dtype=np.int64)
    if not (x.shape == y.shape == w.shape == bench.shape and x.ndim == 1):
        raise ValueError(f"rows of one length expected, not {x.shape}, {y.shape}, {w.shape}, {bench.shape}")
    if np.any(w <= 0) or np.any(y < 0) or not np.all(np.isfinite(x + y)):
        raise ValueError("weights are positive, figures 0 or more, practice and figures finite")
    often = np.isin(bench, [each for each in np.unique(bench) if np.sum(bench == each) >= 2])
    x, y, w, bench = x[often], y[often], w[often], bench[often]
    x, y, w, bench = _fewer(x, y, w, bench)
    ids, group = np.unique(bench, return_inverse=True)
    if len(x) < max(LEAST_DAYS, len(ids) + 5) or w.sum() < LEAST_TRIALS or np.ptp(x) <= 0:
        return None
    first = float(x.min())
    x = x - first  # keeps exp(-c n) in range after much practice
    rates = _rates(x)
    y0 = _centred(y, w, group)
    best = int(np.argmin(_left(rates, x, y0, w, group)))
    rate, least = _refined(rates, best, x, y0, w, group)
    gain, floors = _linear(rate, x, y, w, group, len(ids))
    last = int(group[int(np.argmax(x))])
    at = np.linspace(0.0, x.max(), points)
    low, high = _band(rate, x, y, w, group, last, len(ids), least, at)
    if floors.min() + min(0.0, gain) < 0:
        rate, gain, floors = _above_zero(rates, x, y, w, group)
    figure = np.maximum(0.0, floors[last] + gain * np.exp(-rate * at))
    low, high = np.clip(low, 0.0, figure), np.maximum(high, figure)
    gain *= math.exp(min(700.0, rate * first))  # avoids overflow
    return Curve(float(floors[last]), gain, rate, at + first, figure, low, high)


def _fewer(
    x: Seconds, y: Seconds, w: Seconds, bench: npt.NDArray[np.int64]
) -> tuple[Seconds, Seconds, Seconds, npt.NDArray[np.int64]]:
    """Merge runs of neighbouring days on one bench into weighted means where there are too many."""
    if len(x) <= MOST_DAYS:
        return x, y, w, bench
    order = np.lexsort((x, bench))
    x, y, w, bench = x[order], y[order], w[order], bench[order]
    run = np.arange(len(x)) // -(-len(x) // MOST_DAYS)
    _, start, run = np.unique(np.stack([bench, run]), axis=1, return_index=True, return_inverse=True)
    run = run.ravel()
    total = np.bincount(run, w).astype(np.float64)
    return np.bincount(run, w * x) / total, np.bincount(run, w * y) / total, total, bench[start]


def _left(rates: Seconds, x: Seconds, y0: Seconds, w: Seconds, group: npt.NDArray[np.intp]) -> Seconds:
    """Residual weighted squares at each of the rates (r,)."""
    basis = _centred(np.exp(-rates[:, None] * x), w, group)
    left: Seconds = w @ y0**2 - (basis @ (w * y0)) ** 2 / ((basis**2) @ w)
    return left


def _rates(x: Seconds, n: int = RATES) -> Seconds:
    """Candidate rates: time constants from a thirtieth of the practice (a step) to three times it (a line)."""
    span = float(np.ptp(x))
    return np.geomspace(1 / (3 * span), 30 / span, n)


def _centred(rows: Seconds, w: Seconds, group: npt.NDArray[np.intp]) -> Seconds:
    """Rows (..., n) minus the weighted mean of their bench."""
    total = np.bincount(group, w)
    share = np.zeros((len(w), len(total)))
    share[np.arange(len(w)), group] = w / total[group]
    centred: Seconds = rows - (rows @ share)[..., group]
    return centred


def _refined(
    rates: Seconds, best: int, x: Seconds, y0: Seconds, w: Seconds, group: npt.NDArray[np.intp]
) -> tuple[float, float]:
    """Rate and residual squares of the best fit between the neighbours of ``best``, by golden section."""

    def left(log_rate: float) -> float:
        return float(_left(np.array([math.exp(log_rate)]), x, y0, w, group)[0])

    low, high = math.log(rates[max(0, best - 1)]), math.log(rates[min(len(rates) - 1, best + 1)])
    golden = (math.sqrt(5) - 1) / 2
    for _ in range(24):
        one, two = high - golden * (high - low), low + golden * (high - low)
        low, high = (low, two) if left(one) < left(two) else (one, high)
    return math.exp((low + high) / 2), left((low + high) / 2)


def _linear(
    rate: float, x: Seconds, y: Seconds, w: Seconds, group: npt.NDArray[np.intp], benches: int
) -> tuple[float, Seconds]:
    """Gain, and floor of each bench, at a rate."""
    wave = np.exp(-rate * x)
    basis = _centred(wave, w, group)
    gain = float(basis @ (w * y) / (w @ basis**2))
    total = np.bincount(group, w, benches)
    return gain, np.bincount(group, w * (y - gain * wave), benches) / total


def _above_zero(
    rates: Seconds, x: Seconds, y: Seconds, w: Seconds, group: npt.NDArray[np.intp]
) -> tuple[float, float, Seconds]:
    """Rate, gain and floors of the best curve that is nowhere negative for n >= 0.

    A falling curve is g exp(-c n) above its floor, a rising one g (1 - exp(-c n)) above its start: non-negative
    where g and the floor (start) are. Given g, each floor is the mean residual or 0; the squares are then convex in
    g, and their slope is bisected.
    """
    benches = np.zeros((len(x), int(group.max()) + 1))
    benches[np.arange(len(x)), group] = w
    total, mean = benches.sum(axis=0), y @ benches / benches.sum(axis=0)

    def fit(rates: Seconds, falls: bool) -> tuple[Seconds, Seconds, Seconds]:
        """At each rate: residual squares (r,), g (r,), floors or starts (r, benches)."""
        wave = np.exp(-rates[:, None] * x)
        wave = wave if falls else 1 - wave
        share = wave @ benches / total
        cross, power = wave @ (w * y), wave**2 @ w

        def under(g: Seconds) -> Seconds:
            base: Seconds = np.maximum(0.0, mean - g[:, None] * share)
            return base

        low, high = np.zeros(len(rates)), cross / power  # root for floors of 0
        for _ in range(50):
            g = (low + high) / 2
            more = cross - (under(g) * share) @ total > g * power
            low, high = np.where(more, g, low), np.where(more, high, g)
        g = (low + high) / 2
        base = under(g)
        return (y - g[:, None] * wave - base[:, group]) ** 2 @ w, g, base

    found: list[tuple[float, float, float, Seconds]] = []
    for falls in (True, False):
        tried = rates
        for _ in range(3):  # refine between the neighbours of the best
            left, g, base = fit(tried, falls)
            at = int(np.argmin(left))
            rate, gain, floors = float(tried[at]), float(g[at]), base[at]
            tried = np.geomspace(tried[max(0, at - 1)], tried[min(len(tried) - 1, at + 1)], RATES)
        found.append(
            (float(left[at]), rate, gain, floors) if falls else (float(left[at]), rate, -gain, floors + gain)
        )
    _, rate, gain, floors = min(found, key=lambda each: each[0])
    return rate, gain, floors


def _band(
    best: float,
    x: Seconds,
    y: Seconds,
    w: Seconds,
    group: npt.NDArray[np.intp],
    last: int,
    benches: int,
    least: float,
    at: Seconds,
) -> tuple[Seconds, Seconds]:
    """Lower and upper envelope of the curves that fit nearly as well as the best, on the bench used last."""
    free = benches + 2
    spare = len(x) - free
    limit = least * (1 + free / spare * f_quantile(CONFIDENCE, free, spare))
    y0 = _centred(y, w, group)
    # Bracket the rates that fit well enough, then sample them densely.
    wide = np.sort(np.append(_rates(x, FINE * RATES), best))
    fits = np.flatnonzero(_left(wide, x, y0, w, group) <= limit * (1 + 1e-9))
    ends = wide[max(0, fits[0] - 1)], wide[min(len(wide) - 1, fits[-1] + 1)]
    rates = np.append(np.geomspace(*ends, RATES), best)
    left = _left(rates, x, y0, w, group)
    rates, left = rates[left <= limit * (1 + 1e-9)], left[left <= limit * (1 + 1e-9)]
    wave = np.exp(-rates[:, None] * x)  # (rates, n)
    basis = _centred(wave, w, group)
    power = (basis**2) @ w
    gain = basis @ (w * y) / power
    there = np.where(group == last, w, 0.0)
    total = float(there.sum())
    floor = (there @ y - gain * (wave @ there)) / total
    reach = np.exp(-rates[:, None] * at)  # (rates, m)
    middle = floor[:, None] + gain[:, None] * reach
    off = (reach - (wave @ there / total)[:, None]) ** 2 / power[:, None]
    half = np.sqrt(np.maximum(0.0, limit - left)[:, None] * (1 / total + off))
    return (middle - half).min(axis=0), (middle + half).max(axis=0)
