"""Whether the spread of the taps changed with practice: the one judgement of progress.

The figure is the logarithm of a trial's spread as a share of the beat. Trials of one day, rung and bench (device and
calibration) are one cell. Model of a cell's mean, in units of the variance within cells:

- a level of its own for each bench, so that a change of headphones is neither progress nor setback;
- effects of the rung (a random walk over rungs) and of the tempo, both random: what a climb explains is no progress;
- an effect of the day, which depends on that of the practice day before (first-order autoregression);
- the change: after t practice days a share 1 - exp(-t / T) of it is done, for several T and sizes.

``evidence`` is the likelihood of a change divided by that of none, each averaged over the unknown correlation and SD
of days and integrated over the level of each bench and the variance (right Haar priors). It is an e-value that may be
looked at after every day: under no change it exceeds 1 / alpha with a probability of at most alpha, ever (Ville 1939;
Robbins 1970, Ann. Math. Stat. 41, 1397-1409; Grunwald, de Heide & Koolen 2024, J. R. Stat. Soc. B 86,
1091-1128; from memory). That is a bound on average over the weights below. ``CLOSER_FROM`` and ``WIDER_FROM`` are set
by simulation, so that at most 5 % of learners who do not change are ever told so in eight weeks, also where days
depend on each other by .8 (``tests/benchmarks/trends.py``). Most of the 5 % are spent on the change hoped for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import numpy as np

from exercises.timing.distributions import t_quantile
from synth.base.arrays import Seconds

# Fewest days and trials of a judgement: fewer tell no change that a learner makes.
LEAST_DAYS, LEAST_TRIALS = 8, 40
# Least evidence from which the taps are said to lie closer together, or further apart.
CLOSER_FROM, WIDER_FROM = 15.0, 45.0
# Correlation of neighbouring days; variance of days over that within a cell. Their weights without and with a change.
RHOS = (0.0, 0.3, 0.6, 0.8, 0.9)
RHO_WEIGHTS = ((1.0, 1.0, 1.0, 3.0, 1.0), (1.0, 1.0, 1.0, 0.5, 0.2))
DAY_VARIANCES = (0.03, 0.1, 0.3, 0.8)
DAY_WEIGHTS = ((0.5, 1.0, 1.0, 0.1), (1.0, 1.0, 0.5, 0.05))
# T in practice days and sizes of a change, as the share by which the spread falls in ``SIZE_DAYS``; their weights.
PACES, PACE_WEIGHTS = (8.0, 25.0, 100.0), (0.1, 0.25, 0.65)
SIZES, SIZE_WEIGHTS = (0.15, 0.3, 0.45, 0.6, 0.8), (0.5, 1.0, 1.0, 0.5, 0.2)
SIZE_DAYS = 39.0
# Variance from one rung to the next, and of the slope over the logarithm of the tempo, over that within a cell: SDs
# of 15 % a rung and of 50 % for a tempo 2.7 times as fast, with trials that scatter by 28 %.
RUNG_VARIANCE, TEMPO_VARIANCE = 0.29, 3.2
# More cells are merged with those of neighbouring days, for speed.
MOST_CELLS = 100


class SpreadRow(NamedTuple):
    """A trial with a spread: practice day (any number that grows), rung, bench, tempo in BPM and spread in ms."""

    day: int
    rung: int
    bench: int
    tempo_bpm: float
    spread_ms: float


@dataclass(frozen=True, slots=True)
class Change:
    """The judgement: ``called`` is -1 where the taps lie closer together, 1 further apart, 0 neither surely.

    ``evidence``: e-value of the likelier direction. ``ratio``, ``low``, ``high``: spread now over that at first, at
    the same rung, tempo and bench, with its 95 % interval.
    """

    called: int
    evidence: float
    ratio: float
    low: float
    high: float

    @property
    def percent(self) -> int:
        """By how many percent the spread is smaller or larger."""
        return round(100 * abs(self.ratio - 1))


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """Cells (n,): number of trials, mean figure, practice day, centred log tempo, rung; ``lags`` in practice days
    (n, n); benches (n, b). ``within``: squares within cells of ``trials`` in all.
    """

    count: Seconds
    mean: Seconds
    day: Seconds
    tempo: Seconds
    rung: Seconds
    lags: Seconds
    benches: Seconds
    within: float
    trials: int


def spread_change(rows: Sequence[SpreadRow]) -> Change | None:
    """The judgement over trials in order; None for fewer than ``LEAST_DAYS`` days or ``LEAST_TRIALS`` trials.

    Benches used on one day alone are left out. ``ValueError`` for a tempo or spread that is not positive.
    """
    day, rung, bench, tempo_bpm, spread_ms = np.array(rows, dtype=np.float64).reshape(-1, 5).T
    if not (np.all(tempo_bpm > 0) and np.all(spread_ms > 0)):
        raise ValueError("tempos and spreads are positive")
    seen = np.unique(np.stack([bench, day]), axis=1)[0]
    often = np.isin(bench, [each for each in np.unique(bench) if np.sum(seen == each) > 1])
    if len(np.unique(day[often])) < LEAST_DAYS or np.sum(often) < LEAST_TRIALS:
        return None
    figure, log_tempo = np.log(spread_ms * tempo_bpm / 60_000), np.log(tempo_bpm)
    return _judged(_cells(*(row[often] for row in (day, rung, bench, log_tempo, figure))))


def _cells(day: Seconds, rung: Seconds, bench: Seconds, log_tempo: Seconds, figure: Seconds) -> _Cells:
    nth = np.unique(day, return_inverse=True)[1]
    kinds, kind = np.unique(np.stack([rung, bench]), axis=1, return_inverse=True)
    width = 1  # practice days merged into one
    while True:
        keys, at = np.unique(nth // width * kinds.shape[1] + kind.ravel(), return_inverse=True)
        if len(keys) <= MOST_CELLS or width > nth.max():
            break
        width += 1 + width // 8
    block, kind = np.divmod(keys, kinds.shape[1])
    count = np.bincount(at).astype(np.float64)
    mean, days, tempo = (np.bincount(at, row) / count for row in (figure, nth, log_tempo - log_tempo.mean()))
    return _Cells(
        count=count,
        mean=mean,
        day=days,
        tempo=tempo,
        rung=kinds[0, kind],
        lags=width * np.abs(block[:, None] - block).astype(np.float64),
        benches=(kinds[1, kind][:, None] == np.unique(bench)).astype(np.float64),
        within=float(np.sum((figure - mean[at]) ** 2)),
        trials=len(figure),
    )


def _judged(cells: _Cells) -> Change:
    rhos, variances = np.array(list(product(RHOS, DAY_VARIANCES))).T
    none, change = (
        np.log(np.outer(np.array(rho) / sum(rho), np.array(day) / sum(day))).ravel()
        for rho, day in zip(RHO_WEIGHTS, DAY_WEIGHTS, strict=True)
    )
    # Covariance of the cells for each pair of correlation and variance (g, n, n).
    days = np.repeat(np.array(RHOS)[:, None, None] ** cells.lags, len(DAY_VARIANCES), axis=0)
    climb = np.minimum(cells.rung[:, None], cells.rung) - cells.rung.min()
    steady = np.diag(1 / cells.count) + RUNG_VARIANCE * climb + TEMPO_VARIANCE * np.outer(cells.tempo, cells.tempo)
    covariance = steady + variances[:, None, None] * days
    # Everything that is needed of the inverse, from one solution for figures, benches and paces.
    paced = np.stack([-np.expm1(-cells.day / pace) / -np.expm1(-SIZE_DAYS / pace) for pace in PACES], axis=1)
    sides = np.column_stack([cells.mean, paced, cells.benches])
    whole = np.broadcast_to(sides, (len(rhos), *sides.shape))
    products = np.einsum("nk,gnl->gkl", sides, np.linalg.solve(covariance, whole))
    told = 1 + len(PACES)
    benches = products[:, told:, told:]
    absorbed = products[:, :told, told:] @ np.linalg.solve(benches, products[:, told:, :told])
    products = products[:, :told, :told] - absorbed
    roots = np.diagonal(np.linalg.cholesky(covariance), axis1=1, axis2=2)
    base = -np.log(roots).sum(axis=1) - 0.5 * np.linalg.slogdet(benches)[1]
    free = cells.trials - cells.benches.shape[1]
    squares = cells.within + products[:, 0, 0]
    cross, power = products[:, 0, 1:], np.diagonal(products, axis1=1, axis2=2)[:, 1:]  # (g, paces)

    def likelihood(sizes: Seconds) -> Seconds:
        """Logarithm for each pair, pace and size (g, paces, s) of the log ratio after ``SIZE_DAYS``."""
        left = squares[:, None, None] - 2 * cross[..., None] * sizes + power[..., None] * sizes**2
        logs: Seconds = base[:, None, None] - free / 2 * np.log(left)
        return logs

    paces, shares = (np.log(np.array(row) / sum(row)) for row in (PACE_WEIGHTS, SIZE_WEIGHTS))
    no_change = _log_mean(likelihood(np.zeros(1))[:, 0, 0] + none)
    falls = np.log1p(-np.array(SIZES))
    closer, wider = (
        _log_mean(likelihood(sizes) + change[:, None, None] + paces[:, None] + shares) - no_change
        for sizes in (falls, -falls)
    )
    called = -1 if closer >= np.log(CLOSER_FROM) else 1 if wider >= np.log(WIDER_FROM) else 0
    # The change in all: each pair and pace has its own estimate, weighted by how well it fits.
    slope, left = cross / power, squares[:, None] - cross**2 / power
    weight = base[:, None] + change[:, None] + paces - free / 2 * np.log(left)
    weight = np.exp(weight - weight.max())
    weight /= weight.sum()
    done = paced.max(axis=0)
    so_far, error2 = slope * done, left / free / power * done**2
    middle = float(np.sum(weight * so_far))
    half = t_quantile(0.95, free) * float(np.sqrt(np.sum(weight * (error2 + (so_far - middle) ** 2))))
    low, ratio, high = np.exp(np.clip([middle - half, middle, middle + half], -20.0, 20.0))
    evidence = float(np.exp(min(max(closer, wider), 300.0)))
    return Change(called, evidence, float(ratio), float(low), float(high))


def _log_mean(logs: Seconds) -> float:
    """Logarithm of the sum of exponentials."""
    top = float(logs.max())
    return top + float(np.log(np.exp(logs - top).sum()))
