"""Trends of one drill over weeks of practice.

Conventions: milliseconds, early negative; shares 0 to 1; days and weeks are local. Practice with a side task is left
out. A trend is reported only where it is significant, and never across a change of device or calibration (see
``curve``).

Weeks are compared by Welch's interval on the means of their days. The interval of the best week is widened for the
number of weeks it was chosen from (Bonferroni).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import NormalDist

import numpy as np

from exercises.drills import drills
from exercises.learner.level import RUNG_STEP, TOLD_FROM, Level
from exercises.learner.stored_levels import LearnerLevels
from exercises.logbook.history import Change, Day, band_says, changes, days, monday
from exercises.logbook.store import Logbook
from exercises.progress.curve import LEAST_DAYS, LEAST_TRIALS, Curve, practice_curve
from exercises.timing.distributions import t_quantile
from synth.base.arrays import Seconds
from synth.base.words import Say, Template

# "Lately": the last four weeks up to the last day of practice.
LATELY = timedelta(days=28)
# Fewest days of a week in a comparison.
LEAST_DAYS_OF_WEEK = 3
# Fewest answers of a reported share: its interval would span nearly everything.
LEAST_ANSWERS = 5

# Widest reported interval of the rung (95 %, half of it): more would hold most of the nine rungs.
MOST_GIVE = 3

TOO_EARLY = Template(
    "trends.too_early",
    "Too soon to see whether the spread changes: that takes {days} days and {trials} trials on one device.",
)
NO_SPREAD = Template(
    "trends.no_spread", "No spread is measured in this drill: the level tells how far you have come."
)
STEADY = Template("trends.steady", "No change of the spread stands out from the ups and downs of the days.")
NARROWER = Template(
    "trends.narrower",
    "Your taps lie closer together than at first: the spread went from about {first} ms to {last} ms.",
)
WIDER = Template(
    "trends.wider",
    "Your taps lie further apart than at first: the spread went from about {first} ms to {last} ms. Higher rungs, a"
    " tired hand or a noisy room can do that.",
)
BEST_BETTER = Template(
    "trends.best_better",
    "Your best week, from {best}, was {by} ms closer than the first (95 % sure: {low} to {high} ms).",
)
BEST_UNSURE = Template(
    "trends.best_unsure",
    "Your best week, from {best}, looks {by} ms closer than the first, but that may be chance (95 %: {low} to {high}"
    " ms).",
)
RIGHT = Template("trends.right", "Lately {percent} % of {asked} answers were right (95 %: {low} to {high} %).")
TOO_FEW = Template("trends.too_few", "Too few answers yet to know which rung suits you: that takes {n}.")
LEVEL = Template("trends.level", "At present rung {rung} of {rungs} suits you, give or take {give}.")
LEVEL_OPEN = Template(
    "trends.level_open", "At present rung {rung} of {rungs} suits you best; a few more answers will tell more surely."
)
CHANGED = Template(
    "trends.changed",
    "The device or its calibration changed {n} times; what changed with it is not counted as progress.",
)
CHANGED_ONCE = Template(
    "trends.changed_once",
    "The device or its calibration changed once; what changed with it is not counted as progress.",
)
BIAS = Template("trends.bias", "Lately your taps came {ms} ms {way} on average (95 %: {low} to {high} ms).")
EARLY, LATE = Template("trends.early", "early"), Template("trends.late", "late")


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its 95 % interval, from ``n`` days or answers."""

    value: float
    low: float
    high: float
    n: int


@dataclass(frozen=True, slots=True)
class Weeks:
    """Spread of the best week minus that of the first, on one bench: negative is an improvement."""

    first: date
    best: date
    chosen_from: int
    change_ms: Estimate


@dataclass(frozen=True, slots=True, eq=False)
class Trend:
    """One drill of one learner in one tempo band (None: all).

    ``days`` are the data points, ``curve`` the fitted curve (None: too early), ``marks`` the changes of device or
    calibration after the first. ``right``, ``spread_ms`` and ``bias_ms`` cover the last four weeks; ``bias_ms`` only
    where the bench used last is calibrated. ``rung`` suits the level; a guess unless ``known``.
    """

    drill: str
    band: int | None
    days: Sequence[Day]
    curve: Curve | None
    marks: Sequence[Change]
    weeks: Weeks | None
    right: Estimate | None
    spread_ms: Estimate | None
    bias_ms: Estimate | None
    level: Level
    rung: int
    rungs: int
    verdict: tuple[Say, ...] = ()

    @property
    def known(self) -> bool:
        """Whether there are enough answers to report a rung."""
        return self.level.answers >= TOLD_FROM

    @property
    def band_says(self) -> Say | None:
        """Name of the tempo band."""
        return None if self.band is None else band_says(self.band)


def trend(logbook: Logbook, learner: str, drill_id: str, levels: LearnerLevels, band: int | None = None) -> Trend:
    """Trend of a learner's practice in a drill. Raises ``KeyError`` for an unknown drill."""
    drill = drills()[drill_id]
    rows = days(logbook, learner, drill_id, band)
    tapped = [day for day in rows if day.spread_ms is not None]
    curve = practice_curve(
        [day.before + day.trials / 2 for day in tapped],
        [day.spread_ms or 0.0 for day in tapped],
        [day.spreads for day in tapped],
        [day.bench for day in tapped],
    )
    benches = changes(logbook, rows)
    last = benches[-1] if benches else None
    lately = [day for day in rows if day.day > rows[-1].day - LATELY]
    same_bench = [day for day in lately if last is not None and day.bench == last.bench]
    level = levels.level(drill_id)
    found = Trend(
        drill=drill_id,
        band=band,
        days=rows,
        curve=curve,
        marks=benches[1:],
        weeks=best_week(tapped),
        right=share(sum(day.rights for day in lately), sum(day.asked for day in lately)),
        spread_ms=mean({day.day: (day.spread_ms, day.spreads) for day in same_bench if day.spread_ms is not None}),
        bias_ms=mean({day.day: (day.bias_ms, day.biases) for day in same_bench if day.bias_ms is not None})
        if last is not None and last.calibrated
        else None,
        level=level,
        rung=level.rung(drill),
        rungs=len(drill.rungs),
    )
    return replace(found, verdict=tuple(_verdict(found, bool(tapped))))


def _verdict(trend: Trend, tapped: bool) -> list[Say]:
    says: list[Say] = []
    give = math.ceil(NormalDist().inv_cdf(0.975) * trend.level.sd / RUNG_STEP)
    if not trend.known:
        says.append(TOO_FEW(n=TOLD_FROM))
    elif give <= MOST_GIVE:
        says.append(LEVEL(rung=trend.rung, rungs=trend.rungs, give=give))
    else:
        says.append(LEVEL_OPEN(rung=trend.rung, rungs=trend.rungs))
    curve = trend.curve
    if not tapped:
        says.append(NO_SPREAD())
    elif curve is None:
        says.append(TOO_EARLY(days=LEAST_DAYS, trials=LEAST_TRIALS))
    elif curve.trend == 0:
        says.append(STEADY())
    else:
        first, last = curve.drop()
        says.append((NARROWER if curve.trend < 0 else WIDER)(first=round(first), last=round(last)))
    if trend.weeks is not None and trend.weeks.change_ms.value < 0:
        by = trend.weeks.change_ms
        told = {"best": trend.weeks.best.isoformat(), "by": round(-by.value), "low": round(-by.high)}
        says.append((BEST_BETTER if by.high < 0 else BEST_UNSURE)(**told, high=round(-by.low)))
    if trend.right is not None and trend.right.n >= LEAST_ANSWERS:
        of = trend.right
        percent, low, high = (round(100 * each) for each in (of.value, of.low, of.high))
        says.append(RIGHT(percent=percent, asked=of.n, low=low, high=high))
    if trend.bias_ms is not None:
        off = trend.bias_ms
        low, high = sorted((round(abs(off.low)), round(abs(off.high)))) if off.low * off.high > 0 else (0, 0)
        if high:
            way = EARLY() if off.value < 0 else LATE()
            says.append(BIAS(ms=round(abs(off.value)), way=way, low=low, high=high))
    if trend.marks:
        says.append(CHANGED_ONCE() if len(trend.marks) == 1 else CHANGED(n=len(trend.marks)))
    return says


def share(rights: int, asked: int) -> Estimate | None:
    """A share of answers with its interval by Wilson 1927 (J. Am. Stat. Assoc. 22, 209-212; from memory)."""
    if not asked:
        return None
    z = NormalDist().inv_cdf(0.975)
    middle = (rights + z * z / 2) / (asked + z * z)
    half = z / (asked + z * z) * math.sqrt(rights * (asked - rights) / asked + z * z / 4)
    return Estimate(rights / asked, max(0.0, middle - half), min(1.0, middle + half), asked)


def mean(by_day: Mapping[date, tuple[float, int]]) -> Estimate | None:
    """Mean of days (figure, trials) with its interval by Student's t, each day counting once; None for too few."""
    figures = np.array([figure for figure, _ in by_day.values()])
    if len(figures) < LEAST_DAYS_OF_WEEK:
        return None
    half = t_quantile(0.95, len(figures) - 1) * float(figures.std(ddof=1)) / math.sqrt(len(figures))
    value = float(figures.mean())
    return Estimate(value, value - half, value + half, len(figures))


def best_week(tapped: Sequence[Day]) -> Weeks | None:
    """First and best week on the bench used last; None before there are two weeks of three days each."""
    if not tapped:
        return None
    by_week: dict[date, list[float]] = {}
    for day in tapped:
        if day.bench == tapped[-1].bench and day.spread_ms is not None:
            by_week.setdefault(monday(day.day), []).append(day.spread_ms)
    full = {week: np.array(rows) for week, rows in by_week.items() if len(rows) >= LEAST_DAYS_OF_WEEK}
    if len(full) < 2:
        return None
    first = min(full)
    best = min((week for week in full if week != first), key=lambda week: sum(by_week[week]) / len(by_week[week]))
    return Weeks(first, best, len(full) - 1, welch(full[best], full[first], len(full) - 1))


def welch(one: Seconds, other: Seconds, chosen_from: int = 1) -> Estimate:
    """Difference of two means with Welch's interval, 95 % for all of ``chosen_from`` comparisons together."""
    parts = [float(row.var(ddof=1)) / len(row) for row in (one, other)]
    value = float(one.mean() - other.mean())
    squares = sum(part**2 / (len(row) - 1) for part, row in zip(parts, (one, other), strict=True))
    if squares == 0:
        return Estimate(value, value, value, len(one) + len(other))
    # Degrees of freedom rounded down: slightly conservative.
    free = max(1, math.floor(sum(parts) ** 2 / squares))
    half = t_quantile(1 - 0.05 / chosen_from, free) * math.sqrt(sum(parts))
    return Estimate(value, value - half, value + half, len(one) + len(other))
