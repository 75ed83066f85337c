"""Drills answered by a choice, a number or a position."""

from exercises.forms.drill import Drill
from exercises.forms.rungs import R
from exercises.trial.answers import parse_value
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial
from synth.base.errors import Trouble
from synth.base.words import Say


class ChoiceDrill(Drill[R]):
    """A drill with one expected answer. Subclasses add question, rungs, ``build`` and ``verdict``.

    The trial's ``kind`` distinguishes choices, numbers and positions.
    """

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        if answer.value is None:
            raise Trouble("no answer was given")
        given = parse_value(trial, str(answer.value))
        score = self.score(trial, given)
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=score == 1.0,
            score=score,
            verdict=self.verdict(trial, given, score),
            given=given,
            expected=trial.expected,
        )

    def score(self, trial: Trial, given: str | float) -> float:
        """1 for the right answer, else 0; a drill may give partial credit."""
        return float(given == trial.expected)

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        """One or two sentences on the answer and the confusion."""
        raise NotImplementedError

    def chance(self, trial: Trial) -> float:
        """One over the number of answers."""
        return 1 / len(self.answers(trial)) if self.answers(trial) else 0.0
