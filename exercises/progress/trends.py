"""Trends of one drill over weeks of practice.

Conventions: milliseconds, early negative; shares 0 to 1; days and weeks are local. Practice with a side task is left
out. Whether the spread changed is judged in ``change`` alone: every sentence, picture and figure about progress
follows that judgement.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import NormalDist
from typing import Any, NamedTuple

import numpy as np

from exercises.drills import drills, rung_now
from exercises.forms.drill import Drill
from exercises.learner.drill_level import Z95, DrillLevel
from exercises.learner.level import RUNG_STEP, TOLD_FROM
from exercises.learner.stored_levels import LearnerLevels
from exercises.logbook import history
from exercises.logbook.history import Day, band_says, changes, days
from exercises.logbook.schema import BAND_EDGES_BPM
from exercises.logbook.store import Logbook
from exercises.progress.change import LEAST_DAYS, LEAST_TRIALS, Change, SpreadRow, spread_change
from exercises.progress.curve import Curve, practice_curve
from exercises.timing.distributions import t_quantile
from exercises.trial.kept.record import local_day
from exercises.trial.modes import Mode
from synth.base.words import Say, Template

# "Lately": the last four weeks up to the last day of practice.
LATELY = timedelta(days=28)
# Fewest days of a mean.
LEAST_DAYS_OF_MEAN = 3
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
CLOSER = Template(
    "trends.closer",
    "Your taps lie closer together than at first: at the same rung and tempo the spread is about {percent} %"
    " smaller.",
)
FURTHER = Template(
    "trends.further",
    "Your taps lie further apart than at first: at the same rung and tempo the spread is about {percent} % larger. A"
    " tired hand or a noisy room can do that.",
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
ON_RECORDS = Template("trends.on_records", "On your own records rung {rung} suits you, on drums rung {drums}.")
ON_RECORDS_ALONE = Template("trends.on_records_alone", "On your own records rung {rung} of {rungs} suits you.")
BIAS = Template("trends.bias", "Lately your taps came {ms} ms {way} on average (95 %: {low} to {high} ms).")
EARLY, LATE = Template("trends.early", "early"), Template("trends.late", "late")


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its 95 % interval, from ``n`` days or answers."""

    value: float
    low: float
    high: float
    n: int


class Try(NamedTuple):
    """A trial: its day, rung and bench, tempo in BPM, and spread in ms (None without one)."""

    day: date
    rung: int
    bench: int
    tempo_bpm: float
    spread_ms: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Trend:
    """One drill of one learner in one tempo band (None: all).

    ``days`` are the data points, ``tries`` their trials, ``change`` is the judgement on the spread (None: too
    early), ``curve`` the curve that shows a change (None without one), ``marks`` are the changes of device or
    calibration after the first. ``right``, ``spread_ms`` and ``bias_ms`` cover the last four weeks; ``bias_ms`` only
    where the bench used last is calibrated. ``rung`` suits the level; a guess unless ``known``.
    """

    drill: str
    band: int | None
    days: Sequence[Day]
    tries: Sequence[Try]
    change: Change | None
    curve: Curve | None
    marks: Sequence[history.Change]
    right: Estimate | None
    spread_ms: Estimate | None
    bias_ms: Estimate | None
    level: DrillLevel
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
    tried = tries(logbook, learner, drill_id, band)
    change = spread_change(
        [
            SpreadRow(each.day.toordinal(), each.rung, each.bench, each.tempo_bpm, each.spread_ms)
            for each in tried
            if each.spread_ms is not None
        ]
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
        tries=tried,
        change=change,
        curve=_curve(change, tapped),
        marks=benches[1:],
        right=share(sum(day.rights for day in lately), sum(day.asked for day in lately)),
        spread_ms=mean({day.day: (day.spread_ms, day.spreads) for day in same_bench if day.spread_ms is not None}),
        bias_ms=mean({day.day: (day.bias_ms, day.biases) for day in same_bench if day.bias_ms is not None})
        if last is not None and last.calibrated
        else None,
        level=level,
        rung=level.rung(drill),
        rungs=len(drill.rungs),
    )
    on_records = recorded_says(levels, drill)
    return replace(found, verdict=(*_verdict(found, bool(tapped)), *(() if on_records is None else (on_records,))))


def recorded_says(levels: LearnerLevels, drill: Drill[Any]) -> Say | None:
    """The rung that suits on the learner's own records, beside that on drums; None while either is unknown."""
    dated = levels.recorded.get(drill.id)
    if dated is None or dated.level.answers < TOLD_FROM:
        return None
    rung, drums = dated.level.another_day().rung(drill, recorded=True), levels.level(drill.id)
    if drums.answers < TOLD_FROM:
        return ON_RECORDS_ALONE(rung=rung, rungs=len(drill.rungs))
    return ON_RECORDS(rung=rung, drums=drums.rung(drill))


def tries(logbook: Logbook, learner: str, drill: str, band: int | None = None) -> list[Try]:
    """Trials of a drill, oldest first, without those with a side task or a recording.

    The least for a spread is half of the targets hit.
    A rung has the number of today, one that is no more the number that it had.
    """
    edges = (0.0, *BAND_EDGES_BPM, math.inf)
    low, high = (edges[0], edges[-1]) if band is None else edges[band : band + 2]
    rows = logbook.rows(
        "SELECT at, offset_min, rung_id, rung, bench, tempo_bpm,"
        " iif(2 * json_extract(result, '$.hits') >= json_extract(result, '$.targets'),"
        " json_extract(result, '$.spread_ms'), NULL) FROM trials"
        " WHERE learner = ? AND drill = ? AND recording IS NULL AND mode != ? AND result IS NOT NULL"
        " AND tempo_bpm >= ? AND tempo_bpm < ? ORDER BY at, id",
        (logbook.number(learner), drill, Mode.BUSY.value, low, high),
    )
    return [
        Try(local_day(at, offset_min), rung_now(drill, id) or rung, bench, tempo_bpm, spread_ms or None)
        for at, offset_min, id, rung, bench, tempo_bpm, spread_ms in rows
    ]


def _curve(change: Change | None, tapped: Sequence[Day]) -> Curve | None:
    """The practice curve through the spreads of the days, where it shows the change that is told."""
    if change is None or not change.called:
        return None
    curve = practice_curve(
        [day.before + day.trials / 2 for day in tapped],
        [day.spread_ms or 0.0 for day in tapped],
        [day.spreads for day in tapped],
        [day.bench for day in tapped],
    )
    return curve if curve is not None and curve.gain * change.called < 0 else None


def _verdict(trend: Trend, tapped: bool) -> list[Say]:
    says: list[Say] = []
    give = math.ceil(Z95 * trend.level.sd / RUNG_STEP)
    if not trend.known:
        says.append(TOO_FEW(n=TOLD_FROM))
    elif give <= MOST_GIVE:
        says.append(LEVEL(rung=trend.rung, rungs=trend.rungs, give=give))
    else:
        says.append(LEVEL_OPEN(rung=trend.rung, rungs=trend.rungs))
    change = trend.change
    if not tapped:
        says.append(NO_SPREAD())
    elif change is None:
        says.append(TOO_EARLY(days=LEAST_DAYS, trials=LEAST_TRIALS))
    elif not change.called:
        says.append(STEADY())
    else:
        says.append((CLOSER if change.called < 0 else FURTHER)(percent=change.percent))
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
    if len(figures) < LEAST_DAYS_OF_MEAN:
        return None
    half = t_quantile(0.95, len(figures) - 1) * float(figures.std(ddof=1)) / math.sqrt(len(figures))
    value = float(figures.mean())
    return Estimate(value, value - half, value + half, len(figures))
