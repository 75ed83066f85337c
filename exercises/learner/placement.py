"""Placement: at most three minutes of trials that find where a new learner begins.

Each trial maximises the Fisher information about the level per second, as in adaptive tests (Birnbaum 1968; from
memory). The drill changes from trial to trial, so that no single weakness decides. The run stops early when the
level is known well enough.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from exercises.drills import drills, marked_drills
from exercises.learner.level import AIM, OTHER_SD, Level, difficulty, usual
from exercises.learner.parameters import parameters

LONGEST_S = 180.0
# Average seconds for the answer and the next start.
ANSWERING_S = 4.0
# Posterior SD at which the run stops: less than two rungs (a rung is 0.6 logits). With the shares right that blind
# strategies reach (``assets/rungs``) three minutes seldom tell more.
SURE_SD = 1.0


@dataclass(frozen=True, slots=True)
class DrillRung:
    """A drill and a rung (from 1) of it."""

    drill: str
    rung: int


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """State of a placement run: seconds ``used_s``, trials ``asked``, and whether each was ``right``."""

    level: Level = field(default_factory=Level.about)
    used_s: float = 0.0
    asked: tuple[DrillRung, ...] = ()
    right: tuple[bool, ...] = ()

    def next(self) -> DrillRung | None:
        """The next trial; None when the level is known well enough or no trial fits into the time left."""
        if self.asked and self.sure:
            return None
        best, most = None, 0.0
        for one in marked_drills():
            if one.id in {place.drill for place in self.asked[-2:]}:
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
        """The state after an answer, ``took_s`` seconds after the trial began. ``ValueError`` for a negative time."""
        if took_s < 0:
            raise ValueError(f"took_s {took_s:g}: 0 or more seconds expected")
        hard = difficulty(drills()[place.drill], place.rung)
        return replace(
            self,
            level=self.level.after(right, hard, usual(place.drill, place.rung)[0], parameters().rung_sd),
            used_s=self.used_s + took_s,
            asked=(*self.asked, place),
            right=(*self.right, right),
        )

    @property
    def start(self) -> DrillRung:
        """Where to begin; lower by the excess SD after a run that was cut short."""
        careful = self.level.theta - max(0.0, self.level.sd - SURE_SD)
        return begin_with(Level.about(careful, float(np.hypot(self.level.sd, OTHER_SD))))

    @property
    def sure(self) -> bool:
        """Whether the level is known well enough."""
        return self.level.sd <= SURE_SD


def begin_with(fresh: Level) -> DrillRung:
    """The last drill of the ladder whose first rung should go well, and the suitable rung of it.

    ``fresh``: prior of a drill not yet tried.
    """
    marked = marked_drills()
    well = [one for one in marked if fresh.expects(difficulty(one, 1)) >= AIM]
    one = (well or marked[:1])[-1]
    return DrillRung(one.id, fresh.rung(one))
