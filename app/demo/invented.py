"""A logbook of invented weeks: simulated learners follow the plan on real trials with real marking.

For trying the charts and for pictures of the program. Every trial is labelled as simulated, and so are the learners.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from app.demo.simulated import at_random, counting_late, on_beat, shifted
from exercises.drills import drill
from exercises.learner.level import difficulty, expected
from exercises.learner.plan import Item, plan
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import TrialRecord, bars_of_targets, record
from exercises.trial.result import said
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.words import Say, Template

SPEAKERS = ("invented speakers", None)
HEADPHONES = ("invented headphones", {"lag_ms": 38.5, "error_ms": 0.9, "method": "microphone", "invented": True})
# Seconds for reading the verdict and starting the next trial.
PAUSE_S = 12.0

SAT = Template("invented.sat", "Week {week} of {weeks}, from {monday}: trials: {trials}, in all {total}.")
KEPT = Template("invented.kept", "{uid} {learner}: {verdict}")


@dataclass(frozen=True, slots=True)
class Invented:
    """An invented learner.

    ``theta`` and ``spread_ms`` move from the first to the second value, with a time constant of ``trials`` trials.
    ``days`` of the week have ``minutes`` of practice; from the share ``headphones_from`` of all days on with
    headphones, before with speakers.
    """

    name: str
    theta: tuple[float, float]
    spread_ms: tuple[float, float]
    trials: float
    days: tuple[int, ...]
    minutes: int
    headphones_from: float

    def now(self, ends: tuple[float, float], practised: int) -> float:
        """A figure after so many trials: exponential learning (Heathcote et al. 2000)."""
        return ends[1] + (ends[0] - ends[1]) * math.exp(-practised / self.trials)


PEOPLE = (
    Invented("Invented learner A", (1.5, 6.0), (76.0, 16.0), 160.0, (0, 1, 3, 4, 6), 10, 0.75),
    Invented("Invented learner B", (1.0, 1.0), (36.0, 36.0), 90.0, (1, 5), 5, 0.6),
    # One device and nearly daily practice, so that the best week can be compared with the first.
    Invented("Invented learner C", (0.5, 4.0), (48.0, 22.0), 110.0, (1, 2, 3, 4, 5, 6), 10, 0.0),
)


def demo_weeks(
    path: Path, weeks: int = 8, seed: int = 1, *, now: datetime, every_trial: bool = False
) -> Iterator[str]:
    """Add ``weeks`` weeks, Monday to Sunday, to the logbook at ``path``; yields a line for each.

    The last week is the last complete one at ``now``: a partial week would look like giving up. With ``every_trial``
    each trial is stored by itself, as in the window, and reported once on disk. ``ValueError`` for less than one
    week.
    """
    if weeks < 1:
        raise ValueError(f"{weeks} weeks: one or more expected")
    # Separate random streams: one learner more does not change the others.
    chance = {each.name: np.random.default_rng([seed, number]) for number, each in enumerate(PEOPLE)}
    begin = (now - timedelta(days=now.weekday(), weeks=weeks)).replace(hour=18, minute=0, second=0, microsecond=0)
    practised = dict.fromkeys((each.name for each in PEOPLE), 0)
    before = 0
    with Logbook.open(path) as logbook:
        for day in range(7 * weeks):
            for person in PEOPLE:
                rng = chance[person.name]
                # Some days are missed.
                if day % 7 not in person.days or rng.random() < 0.1:
                    continue
                at = begin + timedelta(days=day, minutes=int(rng.integers(120)))
                bench = SPEAKERS if day < 7 * weeks * person.headphones_from else HEADPHONES
                rows = _sitting(logbook, person, practised[person.name], at, bench, rng)
                if every_trial:
                    for row in rows:
                        logbook.add(row)
                        practised[person.name] += 1
                        yield str(KEPT(uid=row.uid, learner=person.name, verdict=_words(row)))
                    continue
                practised[person.name] += logbook.add_all(list(rows))
            if day % 7 == 6 and not every_trial:
                total = sum(practised.values())
                told = {"week": day // 7 + 1, "monday": (begin + timedelta(days=day - 6)).date().isoformat()}
                yield str(SAT(weeks=weeks, trials=total - before, total=total, **told))
                before = total


def _sitting(
    logbook: Logbook,
    person: Invented,
    practised: int,
    at: datetime,
    bench: tuple[str, Mapping[str, Any] | None],
    rng: np.random.Generator,
) -> Iterator[TrialRecord]:
    """The trials of one sitting, as planned for its start."""
    # Daily variation.
    mood = math.exp(0.08 * rng.standard_normal())
    for item in plan(logbook, person.name, at, person.minutes).items:
        for _ in range(item.trials):
            trial = drill(item.drill).make(item.rung, int(rng.integers(2**31)))
            answer = _answer(person, practised, item, trial, mood, rng)
            device, calibration = bench
            result = drill(item.drill).mark(trial, answer, uncertainty_ms=0.4, calibrated=calibration is not None)
            at += timedelta(seconds=trial.duration_s + PAUSE_S)
            if trial.kind is Kind.NONE:  # listening only: nothing to store
                continue
            yield record(
                trial,
                answer,
                result,
                when=at,
                learner=person.name,
                device=device,
                calibration=calibration,
                simulated=True,
            )
            practised += 1


def _answer(
    person: Invented, practised: int, item: Item, trial: Trial, mood: float, rng: np.random.Generator
) -> Answer:
    """The person's current answer: right as often as the level says, wrong in human ways."""
    one = drill(item.drill)
    theta = person.now(person.theta, practised)
    if rng.random() < expected(theta, difficulty(one, item.rung)):
        bias_ms = -25.0 - 15.0 * math.exp(-practised / person.trials)
        answer = shifted(bias_ms, mood * person.now(person.spread_ms, practised))(trial, rng)
        return _lost_in_the_last_bar(answer, trial, rng)
    if one.id == "one" and rng.random() < 0.7:
        return on_beat(3)(trial, rng)
    if rng.random() < 0.5:
        return counting_late(1)(trial, rng)
    return at_random(trial, rng)


def _lost_in_the_last_bar(answer: Answer, trial: Trial, rng: np.random.Generator) -> Answer:
    """Occasionally a fill in the last bar of a phrase causes a missed tap."""
    if len(answer.taps_s) < 4 or len(answer.taps_s) != len(trial.targets_s):
        return answer
    last = bars_of_targets(trial) == trial.truth().phrase_bars
    return Answer(answer.taps_s[~(last & (rng.random(len(last)) < 0.15))], answer.value)


def _words(row: TrialRecord) -> str:
    result = row.result or {}
    return " ".join(map(str, said(result.get("right"), map(Say.from_json, result.get("verdict", ())))))
