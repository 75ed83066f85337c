"""A logbook of invented weeks: simulated learners practise what the plan says, on real trials, really marked.

For trying the pictures and for pictures of the program. Every trial is marked as simulated, and the learners are
called what they are.
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
from exercises.trial.record import TrialRecord, bars_of_targets, record
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.words import Say, Template

SPEAKERS = ("invented speakers", None)
HEADPHONES = ("invented headphones", {"lag_ms": 38.5, "error_ms": 0.9, "method": "microphone", "invented": True})
# Reading the verdict and starting the next trial.
PAUSE_S = 12.0

SAT = Template("invented.sat", "Week {week} of {weeks}, from {monday}: {trials} trials, {total} in all.")
KEPT = Template("invented.kept", "{uid} {learner}: {verdict}")


@dataclass(frozen=True, slots=True)
class Invented:
    """Somebody who was made up.

    ``theta`` and ``spread_ms`` go from the first to the second value, most of the way in ``trials`` trials.
    ``days`` are those of the week on which there is practice, ``minutes`` long; from the share ``headphones_from`` of
    all days on with headphones, before that by speakers.
    """

    name: str
    theta: tuple[float, float]
    spread_ms: tuple[float, float]
    trials: float
    days: tuple[int, ...]
    minutes: int
    headphones_from: float

    def now(self, ends: tuple[float, float], practised: int) -> float:
        """A figure after so many trials: one learner's curve is exponential (Heathcote et al. 2000)."""
        return ends[1] + (ends[0] - ends[1]) * math.exp(-practised / self.trials)


PEOPLE = (
    Invented("Invented learner A", (1.5, 6.0), (76.0, 16.0), 160.0, (0, 1, 3, 4, 6), 10, 0.75),
    Invented("Invented learner B", (1.0, 1.0), (36.0, 36.0), 90.0, (1, 5), 5, 0.6),
    # On one device, and nearly every day: the best week can be told from the first.
    Invented("Invented learner C", (0.5, 4.0), (48.0, 22.0), 110.0, (1, 2, 3, 4, 5, 6), 10, 0.0),
)


def demo_weeks(
    path: Path, weeks: int = 8, seed: int = 1, *, now: datetime, every_trial: bool = False
) -> Iterator[str]:
    """Add ``weeks`` weeks, Monday to Sunday, to the logbook at ``path``; yields a line for each.

    The last of them is the last that is over at ``now``: what is left of a week that has just begun would look like a
    learner who gives up. With ``every_trial`` each trial is kept by itself, as the window does, and told when it is
    on the disk. ``ValueError`` for less than one week.
    """
    if weeks < 1:
        raise ValueError(f"{weeks} weeks: one or more expected")
    # Each has chance of their own, so that one more changes nothing for the others.
    chance = {each.name: np.random.default_rng([seed, number]) for number, each in enumerate(PEOPLE)}
    begin = (now - timedelta(days=now.weekday(), weeks=weeks)).replace(hour=18, minute=0, second=0, microsecond=0)
    practised = dict.fromkeys((each.name for each in PEOPLE), 0)
    before = 0
    with Logbook.open(path) as logbook:
        for day in range(7 * weeks):
            for person in PEOPLE:
                rng = chance[person.name]
                # A day is missed now and then, as people do.
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
    """The trials of one sitting, as planned for that moment."""
    # Nobody is the same every day.
    mood = math.exp(0.08 * rng.standard_normal())
    for item in plan(logbook, person.name, at, person.minutes).items:
        for _ in range(item.trials):
            trial = drill(item.drill).make(item.rung, int(rng.integers(2**31)))
            answer = _answer(person, practised, item, trial, mood, rng)
            device, calibration = bench
            result = drill(item.drill).mark(trial, answer, uncertainty_ms=0.4, calibrated=calibration is not None)
            at += timedelta(seconds=trial.duration_s + PAUSE_S)
            if trial.kind is Kind.NONE:  # listened to, and nothing to keep
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
    """What this person does by now: right as often as their level says; wrong in the way that people are."""
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
    """Now and then a fill in the last bar of a phrase makes them miss a tap."""
    if len(answer.taps_s) < 4 or len(answer.taps_s) != len(trial.targets_s):
        return answer
    last = bars_of_targets(trial) == trial.truth().phrase_bars
    return Answer(answer.taps_s[~(last & (rng.random(len(last)) < 0.15))], answer.value)


def _words(row: TrialRecord) -> str:
    return " ".join(str(Say.from_json(say)) for say in (row.result or {}).get("verdict", ()))
