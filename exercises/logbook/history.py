"""Practice by day and by week, from the logbook's table of days. Days are local.

A learner is asked for by id, label or name (``exercises.logbook.learners``).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

from exercises.logbook.schema import BAND_EDGES_BPM
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from synth.base.words import Say, Template
from synth.device.faults import FaultKind

BELOW, BETWEEN, FROM = (
    Template("history.below", "below {high} BPM"),
    Template("history.between", "{low} to {high} BPM"),
    Template("history.from", "{low} BPM and more"),
)


def band_says(band: int) -> Say:
    """Name of a tempo band (0 is the slowest)."""
    if band == 0:
        return BELOW(high=BAND_EDGES_BPM[0])
    if band == len(BAND_EDGES_BPM):
        return FROM(low=BAND_EDGES_BPM[-1])
    return BETWEEN(low=BAND_EDGES_BPM[band - 1], high=BAND_EDGES_BPM[band] - 1)


@dataclass(frozen=True, slots=True)
class Day:
    """One drill on one day on one bench. ``before`` counts the drill's earlier trials on all benches.

    ``spread_ms`` and ``bias_ms`` are means over the ``spreads`` and ``biases`` trials that have one, or None.
    """

    day: date
    bench: int
    before: int
    trials: int
    asked: int
    rights: int
    spreads: int
    spread_ms: float | None
    biases: int
    bias_ms: float | None


@dataclass(frozen=True, slots=True)
class Week:
    """Practice of all drills in the week from ``monday`` on: seconds in total, and of sound."""

    monday: date
    trials: int
    voids: int
    spent_s: float
    sound_s: float


@dataclass(frozen=True, slots=True)
class PracticeDay:
    """A day with practice: its trials, and seconds in all."""

    day: date
    trials: int
    spent_s: float


@dataclass(frozen=True, slots=True)
class Change:
    """A change of device or calibration on ``day``. ``calibrated``: the bias is meaningful."""

    day: date
    bench: int
    device: str
    calibrated: bool


@dataclass(frozen=True, slots=True)
class Practised:
    """Trials of a drill by a learner, with first and last day."""

    drill: str
    trials: int
    first: date
    last: date


def practised(logbook: Logbook, learner: str) -> dict[str, Practised]:
    """All drills that a learner has practised, by id."""
    rows = logbook.rows(
        "SELECT drill, sum(trials), min(day), max(day) FROM days"
        " WHERE learner = ? GROUP BY drill HAVING sum(trials) > 0",
        (logbook.number(learner),),
    )
    return {
        drill: Practised(drill, trials, date.fromisoformat(first), date.fromisoformat(last))
        for drill, trials, first, last in rows
    }


def practice_days(logbook: Logbook, learner: str, since: date) -> list[PracticeDay]:
    """The days from ``since`` on with a trial that counts, in order."""
    rows = logbook.rows(
        "SELECT day, sum(trials), sum(spent_s) FROM days WHERE learner = ? AND day >= ?"
        " GROUP BY day HAVING sum(trials) > 0 ORDER BY day",
        (logbook.number(learner), since.isoformat()),
    )
    return [PracticeDay(date.fromisoformat(day), trials, spent_s) for day, trials, spent_s in rows]


def spreads(logbook: Logbook, learner: str) -> int:
    """How many trials of a learner have a spread."""
    ((n,),) = logbook.rows("SELECT sum(spreads) FROM days WHERE learner = ?", (logbook.number(learner),))
    return int(n or 0)


def voids(logbook: Logbook, learner: str) -> tuple[int, int]:
    """How many trials of a learner are void, and how many of them as the learner said so."""
    ((n,),) = logbook.rows("SELECT sum(voids) FROM days WHERE learner = ?", (logbook.number(learner),))
    if not n:
        return 0, 0
    ((said,),) = logbook.rows(
        "SELECT count(*) FROM trials WHERE learner = ? AND void = ?",
        (logbook.number(learner), FaultKind.WITHDRAWN.value),
    )
    return int(n), int(said)


def lately_s(logbook: Logbook, learner: str, since: date) -> dict[str, float]:
    """Seconds of practice in each drill from a day on."""
    rows = logbook.rows(
        "SELECT drill, sum(spent_s) FROM days WHERE learner = ? AND day >= ? GROUP BY drill",
        (logbook.number(learner), since.isoformat()),
    )
    return {drill: float(seconds) for drill, seconds in rows}


def beside_s(logbook: Logbook, learner: str, fewest: int = 5, latest: int = 100) -> float | None:
    """Median seconds a learner takes for a trial beside its sound; None before ``fewest`` trials.

    Over the ``latest`` trials. For a sitting's first trial the logbook assumes the maximum.
    """
    rows = logbook.rows(
        "SELECT spent_s - sound_s FROM trials WHERE learner = ? ORDER BY at DESC LIMIT ?",
        (logbook.number(learner), latest),
    )
    return median(float(seconds) for (seconds,) in rows) if len(rows) >= fewest else None


def practised_share(logbook: Logbook, learner: str, today: date, lately: int = 14) -> float:
    """Share of the ``lately`` days before ``today`` with practice; 1 in the first week."""
    of = "FROM days WHERE learner = ?"
    ((first,),) = logbook.rows(f"SELECT min(day) {of}", (logbook.number(learner),))
    ((n,),) = logbook.rows(
        f"SELECT count(DISTINCT day) {of} AND day >= ? AND day < ?",
        (logbook.number(learner), (today - timedelta(days=lately)).isoformat(), today.isoformat()),
    )
    if first is None or (since := (today - date.fromisoformat(first)).days) < 7:
        return 1.0
    return max(0.25, int(n) / min(lately, since))


def bands(logbook: Logbook, learner: str, drill: str) -> dict[int, int]:
    """Tempo band -> trials of a drill in it, those on recordings apart."""
    return dict(
        logbook.rows(
            "SELECT band, sum(trials) FROM days WHERE learner = ? AND drill = ? AND recorded = 0"
            " GROUP BY band HAVING sum(trials) > 0",
            (logbook.number(learner), drill),
        )
    )


def days(logbook: Logbook, learner: str, drill: str, band: int | None = None) -> list[Day]:
    """Days of a drill, in order, of one tempo band or all; practice with a side task or on recordings is left out."""
    sums = ("trials", "asked", "rights", "spreads", "spread_ms", "biases", "bias_ms")
    of_band = ", ".join(f"sum(iif(ifnull(?1, band) = band, {name}, 0))" for name in sums)
    rows = logbook.rows(
        f"SELECT day, bench, sum(trials), {of_band} FROM days"
        " WHERE learner = ?2 AND drill = ?3 AND mode != ?4 AND recorded = 0"
        " GROUP BY day, bench ORDER BY day, bench",
        (band, logbook.number(learner), drill, Mode.BUSY.value),
    )
    found, total = [], 0
    for day, bench, trials, *of_day in rows:
        if of_day[0]:
            found.append(_day(day, bench, total, of_day))
        total += trials
    return found


def _day(day: str, bench: int, before: int, sums: Sequence[float]) -> Day:
    trials, asked, rights, spreads, spread_ms, biases, bias_ms = sums
    return Day(
        day=date.fromisoformat(day),
        bench=bench,
        before=before,
        trials=int(trials),
        asked=int(asked),
        rights=int(rights),
        spreads=int(spreads),
        spread_ms=spread_ms / spreads if spreads else None,
        biases=int(biases),
        bias_ms=bias_ms / biases if biases else None,
    )


def weeks(logbook: Logbook, learner: str, since: date | None = None, *, now: date | None = None) -> list[Week]:
    """Practice by week (from the week of ``since`` on), including empty weeks in between.

    With ``now``, weeks that are still to come are left out where there are others: a clock was wrong.
    """
    first_day = "" if since is None else monday(since).isoformat()
    # Grouping by day uses an index. "weekday 0" is the Sunday on or after.
    of = ", ".join(f"sum({name}) AS {name}" for name in ("trials", "voids", "spent_s", "sound_s"))
    rows = logbook.rows(
        f"SELECT date(day, 'weekday 0', '-6 days') AS week, {of} FROM (SELECT day, {of} FROM days"
        " WHERE learner = ? AND day >= ? GROUP BY day) GROUP BY week",
        (logbook.number(learner), first_day),
    )
    sums = {date.fromisoformat(week): more for week, *more in rows}
    if not sums:
        return []
    last = max((week for week in sums if now is None or week <= now), default=max(sums))
    at, found = min(sums), []
    while at <= last:
        trials, voids, spent_s, sound_s = sums.get(at, [0.0] * 4)
        found.append(Week(at, int(trials), int(voids), spent_s, sound_s))
        at += timedelta(days=7)
    return found


def changes(logbook: Logbook, drawn: Sequence[Day]) -> list[Change]:
    """Changes of bench in a list of days, the first bench included."""
    return _changes(logbook, [(each.day, each.bench) for each in drawn])


def _changes(logbook: Logbook, used: Sequence[tuple[date, int]]) -> list[Change]:
    found: list[Change] = []
    for day, bench in used:
        if not found or found[-1].bench != bench:
            device, calibration = logbook.bench(bench)
            found.append(Change(day, bench, device, json.loads(calibration) is not None))
    return found


def bench_changes(logbook: Logbook, learner: str) -> list[Change]:
    """Changes of bench in all practice of a learner, the first bench included."""
    rows = logbook.rows(
        "SELECT DISTINCT day, bench FROM days WHERE learner = ? ORDER BY day, bench",
        (logbook.number(learner),),
    )
    return _changes(logbook, [(date.fromisoformat(day), bench) for day, bench in rows])


def monday(day: date) -> date:
    """Monday of a day's week."""
    return day - timedelta(days=day.weekday())
