"""Placement: a few trials of all kinds, three minutes at most, that find where somebody new begins.

Each trial is the one that tells most about the level for the seconds it takes: Fisher information at what is known so
far, as in adaptive tests (Birnbaum 1968; from memory). Drills change from trial to trial, so that one weak spot does
not decide. The run stops early when the level is known well enough.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from exercises.drills import drills
from exercises.learner.level import AIM, OTHER_SD, Level, difficulty, usual
from exercises.trial.trial import Kind

LONGEST_S = 180.0
# Somebody answers and goes on, on average.
ANSWERING_S = 4.0
# A rung is 0.6 logits: known to about a rung and a half.
SURE_SD = 0.9


@dataclass(frozen=True, slots=True)
class DrillRung:
    """A drill and a rung (from 1) of it."""

    drill: str
    rung: int


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """A placement run as it stands: ``used_s`` seconds gone, what has been ``asked`` and whether it was ``right``."""

    level: Level = field(default_factory=Level.about)
    used_s: float = 0.0
    asked: tuple[DrillRung, ...] = ()
    right: tuple[bool, ...] = ()

    def next(self) -> DrillRung | None:
        """The trial to ask next; None when the level is known well enough, or nothing more fits into the time."""
        if self.asked and self.sure:
            return None
        best, most = None, 0.0
        for one in drills().values():
            if one.kind is Kind.NONE or one.id in {place.drill for place in self.asked[-2:]}:
                continue
            for rung in range(1, len(one.rungs) + 1):
                chance, sounds_s = usual(one.id, rung)
                takes_s = sounds_s + ANSWERING_S
                if self.used_s + takes_s > LONGEST_S:
                    continue
                worth = self.level.informs(difficulty(one, rung), chance) / takes_s
                if worth > most:
                    best, most = DrillRung(one.id, rung), worth
        return best

    def after(self, place: DrillRung, right: bool, took_s: float) -> "Placement":
        """The run once that trial has been answered, ``took_s`` seconds after it began."""
        if took_s < 0:
            raise ValueError(f"took_s {took_s:g}: 0 or more seconds expected")
        hard = difficulty(drills()[place.drill], place.rung)
        return replace(
            self,
            level=self.level.after(right, hard, usual(place.drill, place.rung)[0]),
            used_s=self.used_s + took_s,
            asked=(*self.asked, place),
            right=(*self.right, right),
        )

    @property
    def start(self) -> DrillRung:
        """Where to begin; after a run that was cut short as much lower as it is less sure than a whole one."""
        careful = self.level.theta - max(0.0, self.level.sd - SURE_SD)
        return begin_with(Level.about(careful, float(np.hypot(self.level.sd, OTHER_SD))))

    @property
    def sure(self) -> bool:
        """Whether the level is known well enough."""
        return self.level.sd <= SURE_SD


def begin_with(fresh: Level) -> DrillRung:
    """The drill furthest up the ladder whose first rung should go well, and the rung in it.

    ``fresh`` is what is expected of a drill not yet tried.
    """
    marked = sorted((one for one in drills().values() if one.kind is not Kind.NONE), key=lambda one: one.place)
    well = [one for one in marked if fresh.expects(difficulty(one, 1), usual(one.id, 1)[0]) >= AIM]
    one = (well or marked[:1])[-1]
    return DrillRung(one.id, fresh.rung(one))
