"""Whether levels know what they do not know: coverage of the interval for the true probability of success.

250 learners of each world practise the drill "one": six answers a day on 40 days, five days a week, each on the rung
that the program chooses from the answers before. Their level begins near that of the fourth rung (SD .8 logits) and
rises by up to 1.5 logits. Before each answer the 95 % interval for the probability of success on this very rung, on
this day, is compared with the true one, learner by learner. The worlds:

- ``assumed``: the difficulties and the slope that the program assumes.
- ``lapses``: of any answers 5 % are wrong, whatever the level.
- ``slopes``: the logit of each rung is multiplied by a factor of its own for each learner (SD of its logarithm .35).
- ``inverted``: with a probability of 15 % a rung changes its difficulty with the next one, for each learner; and the
  level of each day is off by a normal deviate of SD .6 logits.
- ``shuffled``, beyond what was asked: as ``inverted``, but 30 % of the rungs change places at random.
"""

import math
import time
from dataclasses import dataclass

import numpy as np

from exercises.drills import drill
from exercises.learner.drill_level import Z95, another_form, answered, in_usual_form, on_rungs, prior, seen, walked
from exercises.learner.level import AIM, NEW_MEAN, NEW_SD, chance_of, difficulty
from exercises.learner.parameters import parameters

LEARNERS, DAYS, A_DAY, REST_D = 250, 40, 6, 1.4
SEED = 16
COVERED, WORST, SUCCESS, WITHIN = 0.90, 0.75, 0.80, 0.03


@dataclass(frozen=True)
class World:
    """See the module; ``before``: coverage, worst tenth and success of version 0.2.0 in the same world."""

    name: str
    before: tuple[float, float, float]
    lapses: float = 0.0
    slopes: float = 0.0
    inverted: float = 0.0
    shuffled: float = 0.0
    day_sd: float = 0.0

    def difficulties(self, assumed: np.ndarray, random: np.random.Generator) -> np.ndarray:
        """True difficulties (learners, rungs)."""
        hard = np.tile(assumed, (LEARNERS, 1))
        for row in hard:
            at = 0
            while self.inverted and at < len(row) - 1:
                swaps = random.random() < self.inverted
                if swaps:
                    row[[at, at + 1]] = row[[at + 1, at]]
                at += 1 + swaps
            moved = np.flatnonzero(random.random(len(row)) < self.shuffled)
            row[moved] = row[random.permutation(moved)]
        return hard


WORLDS = (
    World("assumed", (0.979, 0.876, 0.824)),
    World("lapses", (0.992, 0.936, 0.824), lapses=0.05),
    World("slopes", (0.898, 0.650, 0.824), slopes=0.35),
    World("inverted", (0.815, 0.663, 0.823), inverted=0.15, day_sd=0.6),
    World("shuffled", (0.697, 0.136, 0.765), shuffled=0.3, day_sd=0.6),
)


class Levels:
    """Levels of all learners at once, as ``DrillLevel`` tells each of them."""

    def __init__(self, hard: np.ndarray, chances: np.ndarray) -> None:
        self.hard, self.chances, self.used = hard, chances, parameters()
        mean, covariance = prior(NEW_MEAN, NEW_SD, len(hard), self.used)
        self.mean, self.covariance = np.tile(mean, (LEARNERS, 1)), np.tile(covariance, (LEARNERS, 1, 1))

    def rest(self) -> None:
        """A night."""
        covariance = walked(self.covariance, self.used.day_walk**2 * REST_D)
        self.mean, self.covariance = another_form(self.mean, covariance, self.used.day_sd)

    def choose(self) -> np.ndarray:
        """The rung (from 0) of each learner."""
        share = self.chances + (1 - self.chances) * in_usual_form(self.mean, self.covariance, self.hard)
        return np.argmin(np.abs(share - AIM), axis=1)

    def interval(self, rung: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Ends of the 95 % interval of each learner's probability."""
        row = np.arange(LEARNERS), rung
        at, variance = (each[row] for each in on_rungs(self.mean, self.covariance, self.hard))
        ends = (1 / (1 + np.exp(-(at + sign * Z95 * np.sqrt(variance)))) for sign in (-1, 1))
        low, high = (self.chances[rung] + (1 - self.chances[rung]) * each for each in ends)
        return low, high

    def answer(self, rung: np.ndarray, right: np.ndarray) -> None:
        """Take an answer of each learner into account."""
        covariance = walked(self.covariance, self.used.trial_walk**2)
        sees = seen(rung, len(self.hard))
        self.mean, self.covariance = answered(self.mean, covariance, sees, self.hard[rung], self.chances[rung], right)


def practised(world: World, kind: type = Levels) -> tuple[float, float, float]:
    """Coverage over all learners, over the worst tenth of them, and the share right."""
    random = np.random.default_rng([SEED, *world.name.encode()])
    one = drill("one")
    rungs = range(1, len(one.rungs) + 1)
    assumed, chances = np.array([(difficulty(one, rung), chance_of("one", rung)) for rung in rungs]).T
    hard = world.difficulties(assumed, random)
    slopes = np.exp(world.slopes * random.standard_normal(hard.shape))
    begins = random.normal(assumed[3] + math.log(4), 0.8, LEARNERS)
    rises = random.uniform(0, 1.5, LEARNERS)
    levels, every = kind(assumed, chances), np.arange(LEARNERS)
    covered, rights = [], []
    for day in range(DAYS):
        if day:
            levels.rest()
        form = world.day_sd * random.standard_normal(LEARNERS)
        for trial in range(A_DAY):
            level = begins + rises * (1 - math.exp(-3 * (day + trial / A_DAY) / DAYS)) + form
            rung = levels.choose()
            knows = 1 / (1 + np.exp(-slopes[every, rung] * (level - hard[every, rung])))
            share = (1 - world.lapses) * (chances[rung] + (1 - chances[rung]) * knows)
            low, high = levels.interval(rung)
            covered.append((low <= share) & (share <= high))
            right = random.random(LEARNERS) < share
            rights.append(right)
            levels.answer(rung, right)
    each = np.sort(np.mean(covered, axis=0))
    return float(each.mean()), float(each[: LEARNERS // 10].mean()), float(np.mean(rights))


def figures() -> dict[str, dict]:
    """Coverage, the worst tenth and success in every world; the time of an answer."""
    found = {}
    for world in WORLDS:
        begun_s = time.process_time()
        coverage, worst, success = practised(world)
        answer_us = 1e6 * (time.process_time() - begun_s) / (LEARNERS * DAYS * A_DAY)
        goals = (
            ("coverage", coverage, f"at least {COVERED:g}", coverage >= COVERED),
            ("worst_tenth", worst, f"at least {WORST:g}", worst >= WORST),
            ("success", success, f"{SUCCESS:g} +- {WITHIN:g}", abs(success - SUCCESS) <= WITHIN),
        )
        for (name, value, goal, met), before in zip(goals, world.before, strict=True):
            asked = world.name != "shuffled"
            found[f"{world.name}_{name}"] = {
                "value": value,
                "unit": "of all",
                "goal": goal if asked else "",
                "met": met if asked else None,
                "note": f"before: {before:.3f}",
            }
    found["answer_us"] = {"value": answer_us, "unit": "us", "note": "choice, interval and update, many at once"}
    return found
