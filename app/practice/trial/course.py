"""Courses choose the next trial of a practice: ``Free`` (here), ``Planned`` (today.py), ``Placing`` (placing.py)."""

from typing import ClassVar, Protocol

from app.practice.trial.next_trial import Wish
from exercises.trial.result import Result
from exercises.trial.trial import Trial


class Course(Protocol):
    """Chooses the next trial and is notified of its result.

    ``by_hand``: the learner chooses each trial. Times are on the one clock, in s.
    """

    by_hand: ClassVar[bool] = False

    def next(self, chosen: Wish) -> Wish | None:
        """The next trial, or ``None`` while unknown. Way of counting and mode come from ``chosen``."""

    def started(self, trial: Trial, now_s: float) -> None:
        """A trial of this course starts."""
        return

    def dropped(self) -> None:
        """The started trial was stopped or is void."""
        return

    def answered(self, trial: Trial, result: Result | None, now_s: float) -> None:
        """The started trial was answered; ``result`` is ``None`` if it was only listened to."""
        return

    def recount(self, counts: bool) -> None:
        """The trial answered last no longer counts, or counts again."""
        return


class Free(Course):
    """Trials as chosen by hand."""

    by_hand: ClassVar[bool] = True

    def next(self, chosen: Wish) -> Wish:
        """What was chosen."""
        return chosen
