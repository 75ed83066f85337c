"""The drills along the ladder, as they are offered for free choice: the rung that fits, and the last day of each."""

from dataclasses import dataclass
from datetime import date

from app.practice.learner.present_learner import PresentLearner
from exercises.drills import drills
from exercises.logbook.history import practised
from synth.base.errors import Trouble


@dataclass(frozen=True, slots=True)
class OnLadder:
    """A drill by id, the rung that fits the learner (0: the introduction), and when it was last practised."""

    drill: str
    rung: int
    last: date | None


def ladder_of(learner: PresentLearner) -> list[OnLadder]:
    """All drills in the order of the ladder; without days where the logbook cannot be read."""
    try:
        known = {} if learner.logbook is None else practised(learner.logbook, learner.key)
    except Trouble:  # reported on saving
        known = {}
    return [OnLadder(id, learner.fitting_rung(id), known[id].last if id in known else None) for id in drills()]
