"""The cost of a side task: the loss of level while busy, a measure of the attention that counting takes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from exercises.learner.level import RUNG_STEP, Level, Response, level
from synth.base.words import Say, Template, plural

# Fewest trials of either kind from which the cost is reported.
FEWEST = 5

TOO_FEW = Template(
    "attention.too_few",
    "Some more trials, with and without a side task, will show how much attention the count takes.",
)
AUTOMATIC = Template("attention.automatic", "No cost of the side task can be measured yet.")
COSTS = (
    Template("attention.costs.one", "The side task costs you about one rung."),
    Template("attention.costs.many", "The side task costs you about {n} rungs."),
)
COSTS_LITTLE = Template("attention.costs_little", "The side task costs you less than a rung.")


@dataclass(frozen=True, slots=True)
class Cost:
    """Level plain minus busy in logits with its standard error, and the numbers of answers."""

    logits: float
    sd: float
    plain: int
    busy: int


def cost(plain: Sequence[Response], busy: Sequence[Response]) -> Cost:
    """Difference of the levels in plain and busy practice, which accounts for the rungs of both."""
    one, other = level(plain, Level.about()), level(busy, Level.about())
    return Cost(one.theta - other.theta, float(np.hypot(one.sd, other.sd)), len(plain), len(busy))


def cost_says(cost: Cost) -> Say:
    """The cost in words; only what holds within two standard errors."""
    low, high = cost.logits - 2 * cost.sd, cost.logits + 2 * cost.sd
    if min(cost.plain, cost.busy) < FEWEST or (low <= 0 and high >= 2 * RUNG_STEP):
        return TOO_FEW()
    if low <= 0:
        return AUTOMATIC()
    rungs = round(cost.logits / RUNG_STEP)
    return plural(rungs, *COSTS) if rungs >= 1 else COSTS_LITTLE()
