"""A learner's level in every drill, stored in the logbook and updated with the trials that are new.

The result equals that of ``exercises.learner.level`` over all answers, at the cost of the new ones alone. The answers
of all drills together make one more row, ``ALL``: the prior of a drill not yet tried.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from types import MappingProxyType

import numpy as np

from exercises.drills import drills
from exercises.learner.level import DAY_WALK, GRID, LONGEST_REST_DAYS, OTHER_SD, Level, chance_of, difficulty
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from exercises.trial.record import WHEN

# Drill id of the row for all drills together.
ALL = ""
# Answers read where nothing is stored, the latest ones; older answers have no weight left.
FROM_SCRATCH = 3_000


@dataclass(frozen=True, slots=True, eq=False)
class DatedLevel:
    """A level and the day of its last answer (days since 1970, UTC, with fraction)."""

    level: Level
    day: float


@dataclass(frozen=True, slots=True, eq=False)
class LearnerLevels:
    """Levels of the drills that were answered, by drill id; ``fresh`` is the prior of any other drill."""

    tried: Mapping[str, DatedLevel]
    fresh: Level

    def level(self, drill: str) -> Level:
        """Level in a drill as of its last answer, or ``fresh`` before the first."""
        dated = self.tried.get(drill)
        return self.fresh if dated is None else dated.level


def learner_levels(logbook: Logbook, learner: str) -> LearnerLevels:
    """Levels of a learner; trials since the last call are added and the result is stored."""
    (found,) = logbook.rows("SELECT id FROM learners WHERE name = ?", (learner,)) or [(None,)]
    if found is None or found[0] is None:
        return LearnerLevels(MappingProxyType({}), Level.about())
    number = int(found[0])
    stored = logbook.rows("SELECT drill, last, answers, day, weights FROM levels WHERE learner = ?", (number,))
    levels, last = dict[str, DatedLevel](), 0
    if all(_usable(*row) for row in stored):  # else they are computed again
        levels = {drill: DatedLevel(Level(np.frombuffer(kept, "<f8"), n), day) for drill, _, n, day, kept in stored}
        last = max((int(row[1]) for row in stored), default=0)
    # The latest trials by date, not by row: imported rows may be the oldest trials.
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
            _answer(levels, drill, rung, bool(right), day)
            changed |= {drill, ALL}
    if changed:
        logbook.store_levels(
            number,
            last,
            {id: (levels[id].level.answers, levels[id].day, levels[id].level.weights) for id in changed},
        )
    return LearnerLevels(MappingProxyType({id: each for id, each in levels.items() if id != ALL}), _fresh(levels))


def _usable(drill: str, last: int, answers: int, day: float, weights: bytes) -> bool:
    """Whether a row of the table is what ``store_levels`` wrote."""
    if len(weights) != GRID.nbytes or answers < 0 or not 0 <= day < 1e6:
        return False
    shares = np.frombuffer(weights, "<f8")
    return bool(np.all(shares >= 0) and 0.5 < np.sum(shares) < 2.0)


def _fresh(levels: Mapping[str, DatedLevel]) -> Level:
    """Prior of a drill not yet tried."""
    if ALL not in levels:
        return Level.about()
    known = levels[ALL].level
    return Level.about(known.theta, float(np.hypot(known.sd, OTHER_SD)))


def _answer(levels: dict[str, DatedLevel], drill: str, rung: int, right: bool, day: float) -> None:
    """Update the drill's row and the row of all drills with one answer."""
    hard, chance = difficulty(drills()[drill], rung), chance_of(drill, rung)
    before = {
        drill: levels.get(drill) or DatedLevel(_fresh(levels), day),
        ALL: levels.get(ALL) or DatedLevel(Level.about(), day),
    }
    for id, each in before.items():
        rest = min(max(0.0, day - each.day), LONGEST_REST_DAYS)
        level = each.level.walked(DAY_WALK * rest**0.5).after(right, hard, chance)
        levels[id] = DatedLevel(level, max(day, each.day))
