"""Where a learner stands in every drill, kept up to date trial by trial.

``exercises.learner.level`` tells a level from a row of answers; after years that row is long. Here the levels are
stored, each with the last trial that went into it, and only what has come since is added: the result is that of the
whole row. A drill that is met for the first time starts from what all the answers before it tell together, a row of
its own in the table (the drill named "").
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any

import numpy as np

from exercises.drills import drills
from exercises.forms.drill import Drill
from exercises.learner.level import AIM, DAY_WALK, GRID, LONGEST_REST_DAYS, OTHER_SD, Level, chance_of, difficulty
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from exercises.trial.record import WHEN

ALL = ""
# Where nothing is stored, this many of the latest answers are read: those before them no longer weigh.
FROM_SCRATCH = 3_000


@dataclass(frozen=True, slots=True, eq=False)
class Stood:
    """A level and the day (since 1970, UTC, with its fraction) of the last answer in it."""

    level: Level
    day: float


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """The drills that were answered, by id, and what they tell together (``fresh``) of a drill not yet tried."""

    tried: Mapping[str, Stood]
    fresh: Level

    def level(self, drill: str) -> Level:
        """The level in a drill as of its last answer, or what is expected of it before the first."""
        stood = self.tried.get(drill)
        return self.fresh if stood is None else stood.level


def standing(logbook: Logbook, learner: str) -> Standing:
    """Where a learner stands; what is new since the last call is added and stored."""
    (found,) = logbook.rows("SELECT id FROM learners WHERE name = ?", (learner,)) or [(None,)]
    if found is None or found[0] is None:
        return Standing(MappingProxyType({}), Level.about())
    number = int(found[0])
    stored = logbook.rows("SELECT drill, last, answers, day, weights FROM levels WHERE learner = ?", (number,))
    stood = {
        drill: Stood(Level(np.frombuffer(weights, "<f8"), answers), day) for drill, _, answers, day, weights in stored
    }
    last = max((int(row[1]) for row in stored), default=0)
    if any(stood[drill].level.weights.shape != GRID.shape for drill in stood):
        stood, last = {}, 0
    # The latest are those of the latest days, not of the highest rows: what was imported last may be the oldest.
    way = "NOT INDEXED" if last else "INDEXED BY trials_by"
    fresh_rows = logbook.rows(
        f"SELECT * FROM (SELECT id, drill, rung, at, json_extract(result, '$.right') AS right FROM trials {way}"
        f" WHERE id > ? AND learner = ? AND mode != '{Mode.BUSY.value}' AND void IS NULL"
        " ORDER BY at DESC, id DESC LIMIT ?) WHERE right IS NOT NULL ORDER BY at, id",
        (last, number, FROM_SCRATCH),
    )
    changed = set()
    for id, drill, rung, at, right in fresh_rows:
        last = max(last, id)
        if drill in drills() and 1 <= rung <= len(drills()[drill].rungs):
            day = datetime.strptime(at, WHEN).replace(tzinfo=UTC).timestamp() / 86_400
            _answer(stood, drill, rung, bool(right), day)
            changed |= {drill, ALL}
    if changed:
        logbook.store_levels(
            number,
            last,
            {id: (stood[id].level.answers, stood[id].day, stood[id].level.weights) for id in changed},
        )
    return Standing(MappingProxyType({id: each for id, each in stood.items() if id != ALL}), _fresh(stood))


def _fresh(stood: Mapping[str, Stood]) -> Level:
    if ALL not in stood:
        return Level.about()
    told = stood[ALL].level
    return Level.about(told.theta, float(np.hypot(told.sd, OTHER_SD)))


def _answer(stood: dict[str, Stood], drill: str, rung: int, right: bool, day: float) -> None:
    """Add one answer to its drill's level and to that of all drills."""
    hard, chance = difficulty(drills()[drill], rung), chance_of(drill, rung)
    before = {drill: stood.get(drill) or Stood(_fresh(stood), day), ALL: stood.get(ALL) or Stood(Level.about(), day)}
    for id, each in before.items():
        rest = min(max(0.0, day - each.day), LONGEST_REST_DAYS)
        level = each.level.walked(DAY_WALK * rest**0.5).after(right, hard, chance)
        stood[id] = Stood(level, max(day, each.day))


def rung_for(level: Level, drill: Drill[Any], aim: float = AIM) -> int:
    """The rung on which about ``aim`` of the trials should come out right: that of ``Level.rung``, or one beside it.

    To ask a rung for its chance takes the making of a trial, so only the rungs that come into question are asked.
    """
    hard = [difficulty(drill, rung) for rung in range(1, len(drill.rungs) + 1)]

    def nearest(chance: float) -> int:
        return 1 + int(np.argmin([abs(level.expects(each, chance) - aim) for each in hard]))

    # Where guessing changes from rung to rung this may go round in a circle: the best of what was asked counts.
    rung, off = nearest(0.0), dict[int, float]()
    while rung not in off:
        chance = chance_of(drill.id, rung)
        off[rung] = abs(level.expects(hard[rung - 1], chance) - aim)
        rung = nearest(chance)
    return min(off, key=lambda each: (off[each], each))
