"""A learner's level in every drill, stored in the logbook and updated with the trials that are new.

The result equals that of ``exercises.learner.drill_level`` over all answers, at the cost of the new ones alone. A row
keeps the difficulties and parameters that it was made with and goes on with them, so that another computer tells the
same. The answers of all drills together make one more row, ``ALL``: the prior of a drill not yet tried.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from exercises.drills import drills, rung_now
from exercises.learner.drill_level import DrillLevel
from exercises.learner.level import DAY_WALK, GRID, LONGEST_REST_DAYS, OTHER_SD, Level, chance_of, difficulty
from exercises.learner.parameters import parameters
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import when_day
from exercises.trial.modes import Mode

# Drill id of the row for all drills together.
ALL = ""
# Ending of the drill's id in rows of answers on the learner's own recordings.
ON_RECORDINGS = " recorded"
# Answers read where nothing is stored, the latest ones; older answers have no weight left.
FROM_SCRATCH = 3_000


@dataclass(frozen=True, slots=True, eq=False)
class DatedLevel:
    """A level and the day of its last answer (days since 1970, UTC, with fraction)."""

    level: DrillLevel
    day: float


@dataclass(frozen=True, slots=True, eq=False)
class _General:
    """The level over all drills and the day of the last answer."""

    level: Level
    day: float


@dataclass(frozen=True, slots=True, eq=False)
class LearnerLevels:
    """Levels of the drills that were answered, by drill id; ``fresh`` is the level expected in any other drill.

    ``recorded`` are those on the learner's own recordings, kept apart: what shows on drums need not show on records.
    """

    tried: Mapping[str, DatedLevel]
    fresh: Level
    recorded: Mapping[str, DatedLevel] = field(default_factory=dict)

    def level(self, drill: str, day: float | None = None) -> DrillLevel:
        """Level in a drill at ``day`` (days since 1970, UTC), or as of the last answer in the form of another day.

        Before the first answer it is a prior about ``fresh``. ``KeyError`` for an unknown drill.
        """
        dated = self.tried.get(drill)
        if dated is None:
            return DrillLevel.fresh(drills()[drill], self.fresh)
        return _on_day(dated, day)

    def about(self, drill: str, *, recorded: bool = False) -> Level:
        """Level expected in a drill before its first answer; ``recorded``: on recordings, from that on drums."""
        return _about(self.tried.get(drill), self.fresh) if recorded else self.fresh

    def recorded_level(self, drill: str, day: float | None = None) -> DrillLevel:
        """Level in a drill on recordings, as ``level``; before the first answer a prior about that on drums."""
        dated = self.recorded.get(drill)
        if dated is None:
            return DrillLevel.fresh(drills()[drill], self.about(drill, recorded=True))
        return _on_day(dated, day)

    def after(self, drill: str, rung: int, right: bool, day: float, *, recorded: bool = False) -> LearnerLevels:
        """The levels after one more answer, that over all drills left as it was."""
        if recorded:
            fresh = _about(self.tried.get(drill), self.fresh)
            dated = with_answer(self.recorded.get(drill), fresh, drill, rung, right, day, recorded=True)
            return replace(self, recorded={**self.recorded, drill: dated})
        dated = with_answer(self.tried.get(drill), self.fresh, drill, rung, right, day)
        return replace(self, tried={**self.tried, drill: dated})


def learner_levels(logbook: Logbook, learner: str) -> LearnerLevels:
    """Levels of a learner; trials since the last call are added and the result is stored."""
    number = logbook.number(learner)
    if number is None:
        return LearnerLevels(MappingProxyType({}), Level.about())
    stored = logbook.rows("SELECT drill, last, answers, day, weights FROM levels WHERE learner = ?", (number,))
    levels, general = dict[str, DatedLevel](), None  # by drill id, with its ending for recordings
    read = {drill: _read(drill, answers, day, kept) for drill, _, answers, day, kept in stored}
    last = 0
    if None not in read.values():  # else they are computed again
        levels = {drill: each for drill, each in read.items() if isinstance(each, DatedLevel)}
        general = next((each for each in read.values() if isinstance(each, _General)), None)
        last = max((int(row[1]) for row in stored), default=0)
    # The latest trials by date, not by row: imported rows may be the oldest trials.
    way = "NOT INDEXED" if last else "INDEXED BY trials_by"
    fresh_rows = logbook.rows(
        "SELECT * FROM (SELECT id, drill, rung_id, at, json_extract(result, '$.right') AS right,"
        f" recording IS NOT NULL AS recorded FROM trials {way}"
        f" WHERE id > ? AND learner = ? AND mode != '{Mode.BUSY.value}' AND void IS NULL"
        " ORDER BY at DESC, id DESC LIMIT ?) WHERE right IS NOT NULL ORDER BY at, id",
        (last, number, FROM_SCRATCH),
    )
    changed = set[str]()
    for id, drill, rung_id, at, right, recorded in fresh_rows:
        last = max(last, id)
        if (rung := rung_now(drill, rung_id)) is not None:
            day, fresh = when_day(at), _fresh(general)
            if recorded:
                own, fresh = drill + ON_RECORDINGS, _about(levels.get(drill), fresh)
                levels[own] = with_answer(levels.get(own), fresh, drill, rung, bool(right), day, recorded=True)
                changed.add(own)
                continue
            levels[drill] = with_answer(levels.get(drill), fresh, drill, rung, bool(right), day)
            general = _general(general, drill, rung, bool(right), day)
            changed.add(drill)
    if changed:
        rows = {id: (levels[id].level.answers, levels[id].day, levels[id].level.packed()) for id in changed}
        if general is not None:
            rows[ALL] = (general.level.answers, general.day, general.level.weights)
        logbook.store_levels(number, last, rows)
    return LearnerLevels(
        MappingProxyType({drill: level for drill, level in levels.items() if not drill.endswith(ON_RECORDINGS)}),
        _fresh(general),
        MappingProxyType(
            {
                drill.removesuffix(ON_RECORDINGS): level
                for drill, level in levels.items()
                if drill.endswith(ON_RECORDINGS)
            }
        ),
    )


def _read(drill: str, answers: int, day: float, kept: bytes) -> DatedLevel | _General | None:
    """A row of the table as ``store_levels`` wrote it; None if it is not."""
    if len(kept) % 8 or answers < 0 or not 0 <= day < 1e6:
        return None
    row = np.frombuffer(kept, "<f8")
    if drill == ALL:
        fits = len(row) == len(GRID) and bool(np.all(row >= 0)) and 0.5 < np.sum(row) < 2.0
        return _General(Level(row, answers), day) if fits else None
    drill = drill.removesuffix(ON_RECORDINGS)
    level = DrillLevel.unpacked(row, len(drills()[drill].rungs), answers) if drill in drills() else None
    return None if level is None else DatedLevel(level, day)


def _fresh(general: _General | None) -> Level:
    """Level expected in a drill not yet tried."""
    return _about(general, Level.about())


def _about(known: DatedLevel | _General | None, otherwise: Level) -> Level:
    """Level expected in something else than what is known, such as in a drill on recordings from that on drums."""
    if known is None:
        return otherwise
    return Level.about(known.level.theta, float(np.hypot(known.level.sd, OTHER_SD)))


def _on_day(dated: DatedLevel, day: float | None) -> DrillLevel:
    return dated.level.another_day() if day is None else dated.level.rested(day - dated.day)


def with_answer(
    before: DatedLevel | None,
    fresh: Level,
    drill: str,
    rung: int,
    right: bool,
    day: float,
    *,
    recorded: bool = False,
) -> DatedLevel:
    """The drill's level after an answer; ``recorded``: on the learner's own records."""
    before = before or DatedLevel(DrillLevel.fresh(drills()[drill], fresh), day)
    level = before.level.rested(day - before.day).after(right, rung, chance_of(drill, rung, recorded=recorded))
    return DatedLevel(level, max(day, before.day))


def _general(before: _General | None, drill: str, rung: int, right: bool, day: float) -> _General:
    """The level over all drills after an answer."""
    before = before or _General(Level.about(), day)
    rest = min(max(0.0, day - before.day), LONGEST_REST_DAYS)
    level = before.level.walked(DAY_WALK * rest**0.5)
    hard, chance = difficulty(drills()[drill], rung), chance_of(drill, rung)
    return _General(level.after(right, hard, chance, parameters().rung_sd), max(day, before.day))
