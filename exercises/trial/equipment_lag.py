"""A steady lag that no hand has: that of the equipment, such as wireless headphones that were not measured.

Conventions: ms, late positive. A lag is found in single trials of the beat and of the one, and is the equipment's
where two trials at different tempos have the same one in ms. People who are late keep to a place in the beat (half of
it, a third), and who answers each drum has a wider spread (simple reactions to sound: 150 to 200 ms, SD 20 to 50 ms;
from memory, low confidence).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import hypot
from typing import Any

import numpy as np

from exercises.timing.circular import direction
from exercises.timing.dependence import half_width
from exercises.timing.matching import match
from exercises.timing.window import window_s
from exercises.trial.habit import asked_for
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial
from synth.base.words import Template

DRILLS = ("beat", "one")
# Range of a lag, and its widest spread. Wireless sound adds 100 to 300 ms (a toolbox's documentation).
LEAST_MS, MOST_MS, NARROW_MS = 150.0, 500.0, 30.0
# Fewest taps that were answered so, and the widest interval of the difference of two lags (half of it, 95 %).
FEWEST, SURE_MS = 8, 25.0
# Taps are stamped in whole ms.
STAMP_MS = 1.0
# Two tempos differ by this share.
APART = 0.03
# Places in the beat, as shares of it, that people take for it.
PLACES, PLACE_WIDER = (1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 1.0), 1.6
# Trials that may have the same lag are at most so far apart in s, and at most so many are kept.
TOGETHER_S, MOST_KEPT = 3 * 3600.0, 12

# The lag in the figures of a result.
FIGURE = "equipment_lag_ms"

LAGGED = Template(
    "equipment_lag.lagged",
    "Your taps came {ms} ms late, evenly and at each tempo. That is the equipment, not your hand, and counts neither"
    " way.",
)
MEASURE = Template("equipment_lag.measure", "Measure the delay under Sound and taps.")


@dataclass(frozen=True, slots=True)
class Lag:
    """A lag and half of its 95 % interval."""

    ms: float
    half_ms: float


@dataclass(frozen=True, slots=True)
class Case:
    """A trial whose taps have a steady lag: one of ``lags``, which differ by whole beats."""

    uid: str
    at_s: float
    period_ms: float
    lags: tuple[Lag, ...]


@dataclass(slots=True)
class LagWatch:
    """Finds the lag of the equipment in trials as they come, oldest first; another ``bench`` starts afresh."""

    _cases: list[Case] = field(default_factory=list)
    _bench: object = None

    def see(self, bench: object, uid: str, at_s: float, trial: Trial, answer: Answer) -> Mapping[str, float]:
        """Trials, this one or earlier ones, whose lag in ms is now known to be the equipment's, by ``uid``.

        ``bench`` stands for learner, device and calibration, ``at_s`` is the trial's time in s.
        """
        if bench != self._bench:
            self._cases, self._bench = [], bench
        found = lags(trial, answer)
        if not found:
            return {}
        case = Case(uid, at_s, 1000 * trial.period_s, found)
        self._cases = [each for each in self._cases if abs(each.at_s - at_s) <= TOGETHER_S][-MOST_KEPT:]
        alike = {each.uid: ms for each in self._cases if (ms := _same(each, case)) is not None}
        self._cases.append(case)
        return alike | {uid: float(np.mean(list(alike.values())))} if alike else {}


def excused(result: Result, lag_ms: float) -> Result:
    """The result of a trial with the lag of the equipment: neither right nor wrong."""
    ms = round(lag_ms)
    return replace(result, right=None, verdict=(LAGGED(ms=ms), MEASURE()), figures={**result.figures, FIGURE: ms})


def excused_kept(kept: Mapping[str, Any], lag_ms: float) -> dict[str, Any]:
    """The same for a result as the logbook keeps it."""
    ms = round(lag_ms)
    return {**kept, "right": None, "verdict": [LAGGED(ms=ms).to_json(), MEASURE().to_json()], FIGURE: ms}


def lags(trial: Trial, answer: Answer) -> tuple[Lag, ...]:
    """Lags by which nearly every target of a trial was answered evenly; empty where there is none."""
    targets_s, taps_s, period_s = trial.targets_s, answer.taps_s, trial.period_s
    if trial.drill not in DRILLS or answer.lost or len(targets_s) < FEWEST or taps_s.size < FEWEST:
        return ()
    step_s = float(np.median(np.diff(targets_s)))
    rows = np.searchsorted(targets_s, taps_s, side="right") - 1
    late_s = taps_s[rows >= 0] - targets_s[rows[rows >= 0]]
    if not late_s.size:
        return ()
    first_s = float(direction(2 * np.pi * late_s / step_s).mean_rad / (2 * np.pi) * step_s) % step_s
    found = []
    for lag_s in np.arange(first_s, MOST_MS / 1000, step_s):
        moved_s = targets_s + lag_s
        taken_s = taps_s[taps_s >= moved_s[0] - period_s / 2]
        pairs = match(moved_s, taken_s, window_s(period_s))
        if len(pairs) < FEWEST or not asked_for(len(targets_s), len(pairs), taken_s.size):
            continue
        errors_ms = 1000 * (taken_s[pairs[:, 1]] - targets_s[pairs[:, 0]])
        if errors_ms.mean() >= LEAST_MS and errors_ms.std(ddof=1) <= NARROW_MS:
            found.append(Lag(float(errors_ms.mean()), half_width(errors_ms)))
    return tuple(found)


def _same(one: Case, other: Case) -> float | None:
    """The lag that two trials share in ms at different tempos, and not as a place in the beat; else None."""
    if abs(one.period_ms / other.period_ms - 1) < APART:
        return None
    for first in one.lags:
        for second in other.lags:
            half_ms = hypot(first.half_ms, second.half_ms)
            if half_ms > SURE_MS or abs(first.ms - second.ms) > half_ms + STAMP_MS:
                continue
            if not _at(first, one.period_ms) & _at(second, other.period_ms):
                return (first.ms + second.ms) / 2
    return None


def _at(lag: Lag, period_ms: float) -> set[float]:
    """Places in the beat that a lag may be; with a wider interval, as two lags are compared with six places."""
    return {place for place in PLACES if abs(lag.ms - place * period_ms) <= PLACE_WIDER * lag.half_ms}
