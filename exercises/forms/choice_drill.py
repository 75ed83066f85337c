"""Drills that are answered by a choice, a number or a position in the count."""

from exercises.forms.drill import Drill
from exercises.forms.rungs import R
from exercises.trial.answers import parse_value
from exercises.trial.trial import Answer, Result, Trial
from synth.base.errors import Trouble
from synth.base.words import Say


class ChoiceDrill(Drill[R]):
    """Everything but the question, the rungs, ``build`` and the sentences of a drill with one expected answer.

    Choices, numbers and positions are told apart by the trial's ``kind``.
    """

    def mark(self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True) -> Result:
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
        """1 for the right answer, 0 for another; a drill may give credit for a near one."""
        return float(given == trial.expected)

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        """One or two sentences on the answer, on what was confused with what."""
        raise NotImplementedError

    def chance(self, trial: Trial) -> float:
        """One in the number of answers that there are."""
        return 1 / len(self.answers(trial)) if self.answers(trial) else 0.0
