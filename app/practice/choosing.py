"""The drills along the ladder, as they are offered for free choice: the rung that fits, and the last day of each."""

from collections.abc import Container
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from exercises.drills import drill, drills
from exercises.forms.drill import INTRODUCTION
from exercises.learner.stored_levels import LearnerLevels
from exercises.logbook.history import practised
from exercises.trial.record import DAY_S
from synth.base.errors import Trouble
from synth.device.clock import utc_now

if TYPE_CHECKING:
    from app.practice.practice import Practice


@dataclass(frozen=True, slots=True)
class OnLadder:
    """A drill by id, the rung that fits the learner (0: the introduction), and when it was last practised."""

    drill: str
    rung: int
    last: date | None


def fitting_rung(
    drill_id: str, levels: LearnerLevels, introduced: Container[str] = (), *, recorded: bool = False
) -> int:
    """The rung with 80 % expected right answers; ``recorded``: on the learner's own records.

    A drill that was never answered begins with its introduction, if it has one and was not ``introduced``.
    """
    one = drill(drill_id)
    if one.introduction is not None and drill_id not in levels.tried and drill_id not in introduced:
        return INTRODUCTION
    level = levels.recorded_level if recorded else levels.level
    return level(drill_id, utc_now().timestamp() / DAY_S).rung(one, recorded=recorded)


def ladder_of(practice: "Practice") -> list[OnLadder]:
    """All drills in the order of the ladder; without days where the logbook cannot be read."""
    try:
        known = {} if practice.logbook is None else practised(practice.logbook, practice.key)
    except Trouble:  # reported on saving
        known = {}
    return [OnLadder(id, practice.fitting_rung(id), known[id].last if id in known else None) for id in drills()]
