"""A learner's level in one drill: what each rung's own answers say, and how unsure the rungs' difficulties are.

An answer on rung r is right with probability P = c + (1 - c) / (1 + exp(d_r - v_r - f)): c the guessing probability,
d_r the difficulty assumed of the rung, f the form of the day. The level that shows on a rung is v_r = theta + b_r,
with b_r of SD ``rung_sd``: the error of the assumed difficulty, learnt from the answers on that rung. So a rung that
is easier than the one below, a slope of its own and lapses end up in its v_r; theta is what the rungs share.

(theta, f, v_1, ..., v_R) are jointly normal. An answer changes the mean and variance of v_r + f to those of its exact
posterior (moments by Gauss-Hermite quadrature), the others by regression on it: assumed-density filtering (Minka
2001, Expectation propagation, UAI 17, 362-369; from memory), whose first-order step is Elo's. Between answers theta
walks at random, and each day has a form of its own.
"""

from dataclasses import astuple, dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt

from exercises.forms.drill import Drill
from exercises.learner.level import AIM, KNOWN_LEAST, LONGEST_REST_DAYS, Level, chance_of, difficulty
from exercises.learner.parameters import Parameters, parameters
from synth.base.arrays import Seconds

# Rest in days after which a new day's form begins: a night.
NIGHT_D = 0.25
# Columns before those of the rungs: theta and the form of the day.
THETA, FORM, RUNGS = 0, 1, 2
Z95 = 1.959964
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(25)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True, slots=True)
class Success:
    """Probability of a right answer, and its 95 % interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class DrillLevel:
    """``mean`` (2 + R,) and ``covariance`` of theta, form and the levels on R rungs, in logits; see the module.

    ``hard`` (R,) are the difficulties and ``used`` the parameters that it was made with: they are kept with it.
    """

    mean: Seconds
    covariance: Seconds
    hard: Seconds
    used: Parameters
    answers: int = 0

    @classmethod
    def fresh(cls, drill: Drill[Any], about: Level, used: Parameters | None = None) -> "DrillLevel":
        """Prior of a drill not yet tried: ``about`` is the level expected there."""
        used = used or parameters()
        hard = np.array([difficulty(drill, rung) for rung in range(1, len(drill.rungs) + 1)])
        mean, covariance = prior(about.theta, about.sd, len(hard), used)
        return cls(mean, covariance, hard, used)

    @property
    def theta(self) -> float:
        """Level in the drill, in logits."""
        return float(self.mean[THETA])

    @property
    def sd(self) -> float:
        """SD of the level in the drill, in logits."""
        return float(np.sqrt(self.covariance[THETA, THETA]))

    def after(self, right: bool, rung: int, chance: float = 0.0) -> "DrillLevel":
        """Posterior after one more answer on a rung (from 1). ``ValueError`` for a rung that does not exist."""
        if not 1 <= rung <= len(self.hard):
            raise ValueError(f"rung {rung}: 1 to {len(self.hard)} expected")
        mean, covariance = answered(
            self.mean,
            walked(self.covariance, self.used.trial_walk**2),
            seen(np.array(rung - 1), len(self.hard)),
            self.hard[rung - 1],
            np.array(chance),
            np.array(right),
        )
        return DrillLevel(mean, covariance, self.hard, self.used, self.answers + 1)

    def rested(self, days: float) -> "DrillLevel":
        """The level after so many days: blurred, and after a night with another form."""
        covariance = walked(self.covariance, self.used.day_walk**2 * min(max(0.0, days), LONGEST_REST_DAYS))
        rested = DrillLevel(self.mean, covariance, self.hard, self.used, self.answers)
        return rested if days < NIGHT_D else rested.another_day()

    def another_day(self) -> "DrillLevel":
        """The level in the form of a day to come."""
        mean, covariance = another_form(self.mean, self.covariance, self.used.day_sd)
        return DrillLevel(mean, covariance, self.hard, self.used, self.answers)

    def success(self, rung: int, chance: float = 0.0) -> Success:
        """Probability of a right answer on a rung (from 1), and its 95 % interval: day and difficulty included."""
        at, variance = (row[rung - 1] for row in on_rungs(self.mean, self.covariance, self.hard))
        half = Z95 * np.sqrt(variance)
        known = (_mean(at, variance), _share(at - half), _share(at + half))
        return Success(*(float(chance + (1 - chance) * each) for each in known))

    def expects(self, rung: int, chance: float = 0.0) -> float:
        """Posterior expectation of the probability of a right answer on a rung (from 1)."""
        return self.success(rung, chance).value

    def rung(self, drill: Drill[Any], aim: float = AIM, *, recorded: bool = False) -> int:
        """Rung of the drill (from 1) on which the probability of a right answer in usual form is nearest to ``aim``.

        ``recorded``: of the level on the learner's own records.
        Where less than ``KNOWN_LEAST`` would go well without guessing, guessing counts for nothing: a rung that is
        easily guessed is not reached that way.
        """
        known = in_usual_form(self.mean, self.covariance, self.hard)
        chance = np.array([chance_of(drill.id, rung, recorded=recorded) for rung in range(1, len(known) + 1)])
        off = np.abs(chance + (1 - chance) * known - aim)
        first = int(np.argmin(np.abs(known - aim)))
        fit = [at for at in range(first, len(known)) if at == first or known[at] >= KNOWN_LEAST]
        return 1 + min(fit, key=lambda at: (off[at], at))

    def packed(self) -> Seconds:
        """Everything but the number of answers as one row: parameters, difficulties, mean, covariance."""
        return np.concatenate([astuple(self.used), self.hard, self.mean, self.covariance.ravel()])

    @classmethod
    def unpacked(cls, row: Seconds, rungs: int, answers: int) -> "DrillLevel | None":
        """The level of a ``packed`` row; None for a row that is none, or of another number of rungs."""
        first, n = len(fields(Parameters)), RUNGS + rungs
        if len(row) != first + rungs + n + n * n or not np.all(np.isfinite(row)):
            return None
        used, hard, mean, square = np.split(row, np.cumsum([first, rungs, n]))
        covariance = square.reshape(n, n)
        if np.any(np.diag(covariance) <= 0) or np.abs(mean).max() > 1e3 or covariance.max() > 1e6:
            return None
        return cls(mean, covariance, hard, Parameters(*map(float, used)), answers)


# The arithmetic, for any number of learners at once: leading axes are learners.


def prior(theta: float, sd: float, rungs: int, used: Parameters) -> tuple[Seconds, Seconds]:
    """Mean (n,) and covariance (n, n) before the first answer."""
    mean = np.full(RUNGS + rungs, theta)
    covariance = np.full((len(mean), len(mean)), sd**2)
    covariance += np.diag([0.0, 0.0, *[used.rung_sd**2] * rungs])
    return another_form(mean, covariance, used.day_sd)


def walked(covariance: Seconds, variance: float) -> Seconds:
    """Covariance (..., n, n) after theta, and the level on every rung with it, has walked."""
    moves = np.ones(covariance.shape[-1])
    moves[FORM] = 0.0
    return covariance + variance * np.outer(moves, moves)


def another_form(mean: Seconds, covariance: Seconds, day_sd: float) -> tuple[Seconds, Seconds]:
    """Mean (..., n) and covariance (..., n, n) with the form of a new day."""
    mean, covariance = mean.copy(), covariance.copy()
    mean[..., FORM] = covariance[..., FORM, :] = covariance[..., :, FORM] = 0.0
    covariance[..., FORM, FORM] = day_sd**2
    return mean, covariance


def seen(rung: npt.NDArray[np.int64], rungs: int) -> Seconds:
    """Weights (..., n) of what an answer on a rung (from 0) sees: the level on it and the form of the day."""
    weights = np.eye(RUNGS + rungs)[RUNGS + rung]
    weights[..., FORM] = 1.0
    return weights


def on_rungs(mean: Seconds, covariance: Seconds, hard: Seconds) -> tuple[Seconds, Seconds]:
    """Mean and variance (..., R) of the level on each rung, today's form included, less the difficulty."""
    of_rungs = np.diagonal(covariance, axis1=-2, axis2=-1)[..., RUNGS:]
    form, both = covariance[..., FORM, FORM, None], covariance[..., FORM, RUNGS:]
    return mean[..., RUNGS:] + mean[..., FORM, None] - hard, of_rungs + form + 2 * both


def in_usual_form(mean: Seconds, covariance: Seconds, hard: Seconds) -> Seconds:
    """Expected probability (..., R) of a right answer on each rung, guessing apart, in the form known of today.

    The variance is that of the level in the drill for all rungs: none is chosen because little is known of it.
    """
    at = mean[..., RUNGS:] + mean[..., FORM, None] - hard
    return _mean(at, np.broadcast_to(covariance[..., THETA, THETA, None], at.shape))


def answered(
    mean: Seconds, covariance: Seconds, sees: Seconds, hard: Seconds, chance: Seconds, right: npt.NDArray[np.bool_]
) -> tuple[Seconds, Seconds]:
    """Mean (..., n) and covariance (..., n, n) after an answer that ``sees`` (..., n) a level; see the module."""
    reach = np.einsum("...ij,...j->...i", covariance, sees)
    at, variance = np.sum(mean * sees, axis=-1) - hard, np.sum(reach * sees, axis=-1)
    points = at[..., None] + np.sqrt(variance)[..., None] * _NODES
    share = chance[..., None] + (1 - chance[..., None]) * _share(points)
    weights = _WEIGHTS * np.where(right[..., None], share, 1 - share)
    weights /= weights.sum(axis=-1, keepdims=True)
    now = np.sum(weights * points, axis=-1)
    left = np.sum(weights * (points - now[..., None]) ** 2, axis=-1)
    gain = reach / variance[..., None]
    shrunk = (variance - left)[..., None, None] * gain[..., :, None] * gain[..., None, :]
    return mean + gain * (now - at)[..., None], covariance - shrunk


def _share(logits: Seconds) -> Seconds:
    share: Seconds = 1 / (1 + np.exp(-np.clip(logits, -500, 500)))
    return share


def _mean(at: Seconds, variance: Seconds) -> Seconds:
    """Expectation of the logistic of a normal variable (...)."""
    found: Seconds = _share(at[..., None] + np.sqrt(variance)[..., None] * _NODES) @ _WEIGHTS
    return found
