"""What comes next in a practice. Plain Python, no widget.

A practice follows one course at a time: ``Free`` (here), ``Planned`` (today.py) or ``Placing`` (placing.py).
"""

from typing import ClassVar, Protocol

from app.practice.ahead import Wish
from exercises.trial.trial import Result, Trial


class Course(Protocol):
    """Chooses the next trial, and is told what became of it.

    ``by_hand``: the learner chooses each trial. Moments are those of the one clock.
    """

    by_hand: ClassVar[bool] = False

    def next(self, chosen: Wish) -> Wish | None:
        """The next trial, or ``None`` while it is not known. ``chosen`` was chosen by hand: way of counting, mode."""

    def started(self, trial: Trial, now_s: float) -> None:
        """A trial of this course begins to sound."""
        return

    def dropped(self) -> None:
        """The trial that was started was broken off, or is void."""
        return

    def answered(self, trial: Trial, result: Result | None, now_s: float) -> None:
        """The trial that was started has been answered; ``result`` is ``None`` if it was only listened to."""
        return


class Free(Course):
    """Trials as chosen by hand."""

    by_hand: ClassVar[bool] = True

    def next(self, chosen: Wish) -> Wish:
        """What was chosen."""
        return chosen
