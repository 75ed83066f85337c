"""A trial with its answer and what marking found, whether just practised or from a logbook."""

from dataclasses import dataclass

from exercises.trial.marking import FEWEST_HITS
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial


@dataclass(frozen=True, slots=True, eq=False)
class Marked:
    """``calibrated``: whether the equipment was when it was marked; ``mouse_is_not``: keys were, not the mouse."""

    trial: Trial
    answer: Answer
    result: Result
    calibrated: bool
    mouse_is_not: bool = False

    @property
    def tells_shift(self) -> bool:
        """Whether the errors of hits can be given: relative to the drums, or to their own mean."""
        hits = 0 if self.result.taps is None else self.result.taps.hits
        return hits >= (1 if self.calibrated else FEWEST_HITS)
