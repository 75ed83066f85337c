"""Adaptive staircases: a difference grows after wrong and shrinks after right answers, and converges to a threshold.

No drill uses it yet.

Conventions: ``value`` is a positive difference in some unit; steps are factors. Smaller is harder.

- Transformed up-down (Levitt 1971, JASA 49, 467-477): harder after n right answers in a row, easier after one wrong,
  by the same factor: converges where p^n = 1/2, that is p = .7071 for n = 2 and .7937 for n = 3.
- Weighted up-down (Kaernbach 1991, Percept. Psychophys. 49, 227-229): harder after every right answer, easier after
  every wrong one, the step up p / (1 - p) times the step down: converges at any p, at .8 for a ratio of 4.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

AIM = 0.8


@dataclass(frozen=True, slots=True)
class Staircase:
    """State of a staircase.

    ``step_down`` and ``step_up`` are natural logarithms of the factors; ``rights_to_go_down`` is Levitt's n; ``low``
    and ``high`` bound the value. ``in_a_row`` counts right answers since the last step, ``turns`` are the values at
    reversals, ``going`` is -1 down, 1 up, 0. ``ValueError`` for values out of range.
    """

    value: float
    step_down: float
    step_up: float
    rights_to_go_down: int = 1
    low: float = 1e-6
    high: float = math.inf
    in_a_row: int = 0
    going: int = 0
    turns: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.value <= self.high:
            raise ValueError(f"value {self.value}: {self.low:g} to {self.high:g} expected")
        if not (self.step_down > 0 and self.step_up > 0 and self.rights_to_go_down >= 1):
            raise ValueError("steps are positive, and it takes at least one right answer to go down")

    @classmethod
    def weighted(
        cls, value: float, *, aim: float = AIM, step_down: float = 0.1, low: float = 1e-6, high: float = math.inf
    ) -> "Staircase":
        """Kaernbach's, converging where ``aim`` (0 to 1) of the answers are right."""
        if not 0 < aim < 1:
            raise ValueError(f"aim {aim}: a share between 0 and 1 expected, is this a percentage?")
        return cls(value, step_down, step_down * aim / (1 - aim), low=low, high=high)

    @classmethod
    def transformed(
        cls, value: float, *, rights: int, step: float = 0.1, low: float = 1e-6, high: float = math.inf
    ) -> "Staircase":
        """Levitt's, with ``rights`` right answers for a step down."""
        return cls(value, step, step, rights, low=low, high=high)

    @property
    def rests_at(self) -> float:
        """Share of right answers at equilibrium."""
        return float((self.step_up / (self.step_up + self.step_down)) ** (1 / self.rights_to_go_down))

    def after(self, right: bool) -> "Staircase":
        """State after an answer."""
        if right and self.in_a_row + 1 < self.rights_to_go_down:
            return replace(self, in_a_row=self.in_a_row + 1)
        going = -1 if right else 1
        value = self.value * math.exp(-self.step_down if right else self.step_up)
        turned = self.turns if self.going in (0, going) else (*self.turns, self.value)
        return replace(self, value=min(max(value, self.low), self.high), in_a_row=0, going=going, turns=turned)

    def threshold(self, leave_out: int = 2) -> tuple[float, float] | None:
        """Threshold and standard error in the value's unit; None before four reversals count.

        Geometric mean of an even number of reversals, without the first ``leave_out``. The error assumes independent
        reversals: a lower bound.
        """
        kept = self.turns[leave_out:]
        kept = kept[len(kept) % 2 :]
        if len(kept) < 4:
            return None
        logs = [math.log(value) for value in kept]
        mean = sum(logs) / len(logs)
        sd = math.sqrt(sum((each - mean) ** 2 for each in logs) / (len(logs) - 1))
        return math.exp(mean), math.exp(mean) * sd / math.sqrt(len(logs))


def climb(staircase: Staircase, answers: Iterable[bool]) -> Staircase:
    """State after a series of answers."""
    for right in answers:
        staircase = staircase.after(right)
    return staircase


def nearest_rung(staircase: Staircase, values: Sequence[float]) -> int:
    """Rung (from 1) whose value is nearest to the staircase's, by ratio."""
    off = [abs(math.log(value / staircase.value)) for value in values]
    return 1 + off.index(min(off))


def along(values: Sequence[float], answers: Iterable[tuple[int, bool]], aim: float = AIM) -> Staircase:
    """Weighted staircase of a drill whose rungs are differences, such as ``faster``; ``values`` by rung, decreasing.

    ``answers`` are (rung from 1, right), oldest first. Steps down are half a rung on average; after an answer on a
    rung chosen by the learner it continues from there. ``nearest_rung`` gives the next rung.
    """
    step_down = math.log(values[0] / values[-1]) / (len(values) - 1) / 2
    now = Staircase.weighted(values[0], aim=aim, step_down=step_down, low=values[-1] / 2, high=values[0])
    for rung, right in answers:
        if nearest_rung(now, values) != rung:
            now = replace(now, value=values[rung - 1])
        now = now.after(right)
    return now
