"""A learner's level over all drills; that in one drill, with the difficulty of every rung, is in ``drill_level``.

The model is Elo's with guessing (Pelanek 2016, Computers & Education 98, 169-179; from memory): level theta is right
on a rung of difficulty d with probability P = c + (1 - c) / (1 + exp(d - theta)), where c is the guessing
probability. Levels and difficulties of all drills share one scale, in logits.

The posterior is computed on a grid: the probability of every level is multiplied by that of each answer. (Elo's
update, theta + K (right - P), is its first-order step.) Between answers the grid is blurred, as people learn and
forget: a random walk (Glickman 1999, Applied Statistics 48, 377-394; from memory).
"""

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

import assets
from exercises.drills import drills, rung_id, rung_now
from exercises.forms.drill import Drill
from exercises.learner.parameters import parameters
from exercises.trial.kept.record import TrialRecord, when_day
from exercises.trial.modes import Mode
from synth.base.arrays import Seconds

# Target share of right answers on the next rung.
AIM = 0.8

# Difficulties in logits, our estimates until answers tell better (``drill_level``): 80 % right on a rung is 69 % one
# rung higher; ten places further up the ladder are half a rung.
RUNG_STEP, PLACE_STEP = parameters().rung_step, parameters().place_step
# Least share without guessing on a rung that is chosen for its share with it.
KNOWN_LEAST = 0.5

CELL = 0.1
GRID: Seconds = np.arange(-60, 161, dtype=np.float64) * CELL
GRID.setflags(write=False)
# Prior of a new learner: between never having counted and mixing by ear. ``OTHER_SD``: spread of a drill not yet
# tried around the level in the others.
NEW_MEAN, NEW_SD = 1.0, 2.5
OTHER_SD = 1.2
TRIAL_WALK, DAY_WALK = parameters().trial_walk, parameters().day_walk
LONGEST_REST_DAYS = 60.0
# Fewest answers from which a level is shown: before that its interval spans nearly all rungs.
TOLD_FROM = 3


def difficulty(drill: Drill[Any], rung: int) -> float:
    """Difficulty of a rung (from 1) in logits."""
    return PLACE_STEP * drill.place + RUNG_STEP * (rung - 1)


def expected(theta: float | Seconds, difficulty: float, chance: float = 0.0, unsure: float = 0.0) -> Any:
    """Probability of a right answer, 0 to 1; ``ValueError`` unless 0 <= ``chance`` < 1.

    ``unsure`` is the SD of the difficulty (MacKay 1992, Neural Computation 4, 720-736, for the mean of a logistic).
    """
    if not 0 <= chance < 1:
        raise ValueError(f"chance {chance}: 0 to below 1 expected, is this a percentage?")
    slope = 1 / math.sqrt(1 + math.pi * unsure**2 / 8)
    return chance + (1 - chance) / (1 + np.exp(slope * (difficulty - np.asarray(theta))))


def information(theta: float | Seconds, difficulty: float, chance: float = 0.0) -> Any:
    """Fisher information of one answer about theta: P'^2 / (P (1 - P)).

    Largest where the rung suits the learner, reduced by guessing (Birnbaum 1968, in Lord & Novick, Statistical
    Theories of Mental Test Scores, chapter 20; from memory).
    """
    known = expected(theta, difficulty)
    share = expected(theta, difficulty, chance)
    return ((1 - chance) * known * (1 - known)) ** 2 / (share * (1 - share))


@dataclass(frozen=True, slots=True)
class Response:
    """One response: difficulty and guessing probability of its rung, whether it was right, and when (days)."""

    difficulty: float
    chance: float
    right: bool
    day: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Level:
    """Posterior of a learner's level: ``weights`` (grid,) are the probabilities of ``GRID``."""

    weights: Seconds
    answers: int = 0

    @classmethod
    @lru_cache(maxsize=64)  # all who are new have one level, the same object
    def about(cls, mean: float = NEW_MEAN, sd: float = NEW_SD) -> "Level":
        """Normal prior; ``ValueError`` for an ``sd`` that is not positive."""
        if not sd > 0:
            raise ValueError(f"sd {sd}: a positive number of logits expected")
        weights = np.exp(-0.5 * ((GRID - mean) / sd) ** 2)
        return cls(weights / weights.sum())

    @property
    def theta(self) -> float:
        """Posterior mean in logits."""
        return float(self.weights @ GRID)

    @property
    def sd(self) -> float:
        """Posterior SD in logits."""
        return float(np.sqrt(max(0.0, float(self.weights @ np.square(GRID)) - self.theta**2)))

    def after(self, right: bool, difficulty: float, chance: float = 0.0, unsure: float = 0.0) -> "Level":
        """Posterior after one more answer; ``unsure`` is the SD of the difficulty."""
        share = expected(GRID, difficulty, chance, unsure)
        weights = self.walked(TRIAL_WALK).weights * (share if right else 1 - share)
        return Level(weights / weights.sum(), self.answers + 1)

    def walked(self, sd: float) -> "Level":
        """Blur by ``sd`` logits: unobserved learning and forgetting."""
        if sd <= 0:
            return self
        share = 0.5 * (sd / CELL) ** 2
        if share < 0.4:
            # Moving this share one cell to either side adds exactly sd^2 to the variance.
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
        """Posterior expectation of the probability of a right answer."""
        return float(self.weights @ expected(GRID, difficulty, chance))

    def informs(self, difficulty: float, chance: float = 0.0) -> float:
        """Posterior expectation of the Fisher information of an answer."""
        return float(self.weights @ _informed(difficulty, chance))

    def rung(self, drill: Drill[Any], aim: float = AIM) -> int:
        """Rung of a drill (from 1) on which the probability of a right answer is nearest to ``aim``.

        Where less than ``KNOWN_LEAST`` would go well without guessing, guessing counts for nothing: a rung that is
        easily guessed is not reached that way.
        """
        hard = [difficulty(drill, rung) for rung in range(1, len(drill.rungs) + 1)]
        known = [self.expects(each) for each in hard]
        lowest = int(np.argmin([abs(each - aim) for each in known]))

        def off(at: int) -> float:
            return abs(self.expects(hard[at], chance_of(drill.id, at + 1)) - aim)

        fit = [at for at in range(lowest, len(hard)) if at == lowest or known[at] >= KNOWN_LEAST]
        return 1 + min(fit, key=lambda at: (off(at), at))


@lru_cache(maxsize=1024)
def _informed(difficulty: float, chance: float) -> Seconds:
    """``information`` of an answer over ``GRID``."""
    found: Seconds = information(GRID, difficulty, chance)
    return found


def level(responses: Iterable[Response], prior: Level | None = None) -> Level:
    """Posterior after answers, oldest first, with a random walk over the days between."""
    now = prior or Level.about()
    day: float | None = None
    for each in responses:
        rest = 0.0 if day is None else min(max(0.0, each.day - day), LONGEST_REST_DAYS)
        now = now.walked(DAY_WALK * rest**0.5).after(each.right, each.difficulty, each.chance)
        day = each.day
    return now


@lru_cache(maxsize=1024)
def usual(drill_id: str, rung: int) -> tuple[float, float]:
    """Guessing probability of a rung, and seconds of sound of an example."""
    return chance_of(drill_id, rung), drills()[drill_id].make(rung, 1).count.end_s


@lru_cache
def _guess_rates(name: str) -> dict[str, dict[str, float]]:
    """Drill -> id of the rung -> what is right without counting; made by ``assets.rungs.make_guess_rates``.

    For records, where another thing is asked, by ``assets.rungs.recorded``.
    """
    found: dict[str, dict[str, float]] = json.loads(assets.path("rungs", name).read_text("utf-8"))
    return found


@lru_cache(maxsize=1024)
def chance_of(drill_id: str, rung: int, *, recorded: bool = False) -> float:
    """Guessing probability of a rung (``recorded``: on records), from a table or from the answers of an example."""
    one = drills()[drill_id]
    names = ("guess_rates_on_records.json", "guess_rates.json")[0 if recorded else 1 :]
    tables = [_guess_rates(name).get(drill_id, {}) for name in names]
    known = next((table[one.rungs[rung - 1].id] for table in tables if one.rungs[rung - 1].id in table), None)
    return min(0.95, one.chance(one.make(rung, 1))) if known is None else known


def responses(records: Iterable[TrialRecord], *, mode: Mode | None = None) -> dict[str, list[Response]]:
    """Drill id -> answers, oldest first, from records in any order.

    Without void trials, those on recordings, those without right or wrong, and unknown drills or rungs; without busy
    trials unless ``mode`` selects one mode.
    """
    found: dict[str, list[Response]] = {}
    for record in sorted(records, key=lambda each: (each.when, each.id or 0)):
        right = None if record.result is None else record.result.get("right")
        one = drills().get(record.drill)
        fits = record.mode is mode if mode is not None else record.mode is not Mode.BUSY
        id = record.rung_id or rung_id(record.drill, record.rung, record.version)
        rung = rung_now(record.drill, id)
        if right is None or one is None or not fits or rung is None or record.recording is not None:
            continue
        day = when_day(record.when)
        found.setdefault(record.drill, []).append(
            Response(difficulty(one, rung), chance_of(record.drill, rung), bool(right), day)
        )
    return found
