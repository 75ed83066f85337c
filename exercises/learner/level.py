"""How far a learner has come in a drill, estimated from all their answers, and the rung that comes next.

The model is Elo's with a chance of guessing (Pelanek 2016, Computers & Education 98, 169-179; from memory): somebody
of level theta is right on a rung of difficulty d with P = c + (1 - c) / (1 + exp(d - theta)), c being the share of
trials that come out right by guessing. Levels and difficulties stand on one scale, in logits, for all drills.

Elo's update, theta + K (right - P), is the first step of what is done here in full: the probability of every level
on a grid is multiplied by that of each answer, so that the level comes with its uncertainty, and K is large as long
as little is known. Between answers the grid is blurred a little, since people learn and forget (a random walk, as
in Glickman 1999, Applied Statistics 48, 377-394; from memory).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

import numpy as np

from exercises.drills import drills
from exercises.forms.drill import Drill
from exercises.trial.modes import Mode
from exercises.trial.record import WHEN, TrialRecord
from synth.base.arrays import Seconds

# The next rung is the one on which this share of trials is expected to come out right.
AIM = 0.8

# Difficulties in logits, our own estimate until practice tells better: who is right in 80 % of the trials on a rung
# is right in 69 % one rung higher; a drill that stands ten places further up the ladder begins half a rung higher.
RUNG_STEP = 0.6
PLACE_STEP = 0.03

CELL = 0.1
GRID: Seconds = np.arange(-60, 161, dtype=np.float64) * CELL
GRID.setflags(write=False)
# Somebody new: between never having counted and mixing by ear. A drill not yet tried: near what the others tell.
NEW_MEAN, NEW_SD = 1.0, 2.5
OTHER_SD = 1.2
# Random walk, SD in logits: a trial and a day.
TRIAL_WALK, DAY_WALK = 0.08, 0.1
LONGEST_REST_DAYS = 60.0
# From so many answers on a drill has a level worth telling: before that its interval spans nearly all rungs.
TOLD_FROM = 3


def difficulty(drill: Drill[Any], rung: int) -> float:
    """Where a rung (from 1) stands on the one scale, in logits."""
    return PLACE_STEP * drill.place + RUNG_STEP * (rung - 1)


def expected(theta: float | Seconds, difficulty: float, chance: float = 0.0) -> Any:
    """Share of trials that come out right, 0 to 1; ``ValueError`` where ``chance`` is not below 1."""
    if not 0 <= chance < 1:
        raise ValueError(f"chance {chance}: 0 to below 1 expected, is this a percentage?")
    return chance + (1 - chance) / (1 + np.exp(difficulty - np.asarray(theta)))


def information(theta: float | Seconds, difficulty: float, chance: float = 0.0) -> Any:
    """Fisher information of one answer about theta: P'^2 / (P (1 - P)).

    Largest where the rung suits the learner; guessing takes from it (Birnbaum 1968, in Lord & Novick, Statistical
    Theories of Mental Test Scores, chapter 20; from memory).
    """
    known = expected(theta, difficulty)
    share = expected(theta, difficulty, chance)
    return ((1 - chance) * known * (1 - known)) ** 2 / (share * (1 - share))


@dataclass(frozen=True, slots=True)
class Attempt:
    """One answer: where its rung stands, the chance of guessing it, whether it was right, and when (in days)."""

    difficulty: float
    chance: float
    right: bool
    day: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """What is known of a learner's level: ``weights`` (grid,) is the probability of each value of ``GRID``."""

    weights: Seconds
    answers: int = 0

    @classmethod
    def about(cls, mean: float = NEW_MEAN, sd: float = NEW_SD) -> "Level":
        """A level before any answer: normal about ``mean``; ``ValueError`` for an ``sd`` that is not positive."""
        if not sd > 0:
            raise ValueError(f"sd {sd}: a positive number of logits expected")
        weights = np.exp(-0.5 * ((GRID - mean) / sd) ** 2)
        return cls(weights / weights.sum())

    @property
    def theta(self) -> float:
        """The level, in logits: the mean of what is probable."""
        return float(self.weights @ GRID)

    @property
    def sd(self) -> float:
        """Its standard error, in logits."""
        return float(np.sqrt(max(0.0, float(self.weights @ np.square(GRID)) - self.theta**2)))

    def after(self, right: bool, difficulty: float, chance: float = 0.0) -> "Level":
        """The level once this answer is known."""
        share = expected(GRID, difficulty, chance)
        weights = self.walked(TRIAL_WALK).weights * (share if right else 1 - share)
        return Level(weights / weights.sum(), self.answers + 1)

    def walked(self, sd: float) -> "Level":
        """The level after learning and forgetting that nobody saw: blurred by ``sd`` logits."""
        if sd <= 0:
            return self
        share = 0.5 * (sd / CELL) ** 2
        if share < 0.4:
            # This share moves one cell to either side, which adds exactly sd^2 to the variance.
            weights = (1 - 2 * share) * self.weights
            weights[1:] += share * self.weights[:-1]
            weights[:-1] += share * self.weights[1:]
        else:
            cells = int(4 * sd / CELL)
            reach = np.arange(-cells, cells + 1) * CELL
            weights = np.convolve(self.weights, np.exp(-0.5 * (reach / sd) ** 2))
            weights = weights[cells : cells + len(GRID)]
        return Level(weights / weights.sum(), self.answers)

    def expects(self, difficulty: float, chance: float = 0.0) -> float:
        """Share of trials expected to come out right, all that is not known of the level taken into account."""
        return float(self.weights @ expected(GRID, difficulty, chance))

    def informs(self, difficulty: float, chance: float = 0.0) -> float:
        """Fisher information of an answer on such a rung, on average over what is probable."""
        return float(self.weights @ information(GRID, difficulty, chance))

    def rung(self, drill: Drill[Any], aim: float = AIM) -> int:
        """The rung of a drill (from 1) on which about ``aim`` of the trials should come out right."""
        off = [
            abs(self.expects(difficulty(drill, rung), chance_of(drill.id, rung)) - aim)
            for rung in range(1, len(drill.rungs) + 1)
        ]
        return 1 + int(np.argmin(off))


def level(attempts: Iterable[Attempt], prior: Level | None = None) -> Level:
    """The level that answers tell, oldest first, each day of rest blurring it."""
    now = prior or Level.about()
    day: float | None = None
    for each in attempts:
        rest = 0.0 if day is None else min(max(0.0, each.day - day), LONGEST_REST_DAYS)
        now = now.walked(DAY_WALK * rest**0.5).after(each.right, each.difficulty, each.chance)
        day = each.day
    return now


@lru_cache(maxsize=1024)
def usual(drill_id: str, rung: int) -> tuple[float, float]:
    """What a rung's trials are like, by one of them: share that come out right by guessing, seconds of sound."""
    one = drills()[drill_id]
    trial = one.make(rung, 1)
    return min(0.95, one.chance(trial)), trial.count.end_s


def chance_of(drill_id: str, rung: int) -> float:
    """Share of trials of a rung that come out right by guessing."""
    return usual(drill_id, rung)[0]


def attempts(records: Iterable[TrialRecord], *, mode: Mode | None = None) -> dict[str, list[Attempt]]:
    """Drill id -> its answers, oldest first, from a logbook's records in any order.

    Void trials, those without right or wrong, and drills or rungs that are no more are left out; busy trials too,
    unless ``mode`` asks for one mode alone.
    """
    found: dict[str, list[Attempt]] = {}
    for record in sorted(records, key=lambda each: (each.when, each.id or 0)):
        right = None if record.result is None else record.result.get("right")
        one = drills().get(record.drill)
        fits = record.mode is mode if mode is not None else record.mode is not Mode.BUSY
        if right is None or one is None or not fits or not 1 <= record.rung <= len(one.rungs):
            continue
        day = datetime.strptime(record.when, WHEN).replace(tzinfo=UTC).timestamp() / 86_400
        found.setdefault(record.drill, []).append(
            Attempt(difficulty(one, record.rung), chance_of(record.drill, record.rung), bool(right), day)
        )
    return found
