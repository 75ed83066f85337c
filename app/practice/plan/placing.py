"""The course of a placement run: its next trial and its duration. No widgets.

``exercises.learner.placement`` makes the estimate. Void trials and those of other courses change nothing.
"""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace

from app.practice.trial.course import Course
from app.practice.trial.next_trial import Wish
from exercises.drills import drills
from exercises.learner.placement import LONGEST_S, DrillRung, Placement
from exercises.learner.stored_levels import LearnerLevels
from exercises.trial.result import Result
from exercises.trial.trial import Kind, Trial


def first_of_all() -> DrillRung:
    """Where a new learner begins: the first drill of the ladder that asks a question."""
    return DrillRung(next(one.id for one in drills().values() if one.kind is not Kind.NONE), 1)


@dataclass(slots=True, eq=False)
class Placing(Course):
    """One run. ``place`` is the next drill and rung, None while it is being chosen and when the run is ``over``.

    ``back`` is the course that follows. ``levels`` returns the levels from the logbook; None without a logbook. The
    first choice makes a trial of every rung, which takes most of a second: ``workers`` do that.
    """

    back: Course
    levels: Callable[[], LearnerLevels] | None = None
    workers: Executor | None = None
    run: Placement = field(default_factory=Placement)
    place: DrillRung | None = None
    over: bool = False
    _choosing: Future[DrillRung | None] | None = None
    _trial: Trial | None = None
    _since_s: float = 0.0
    _other: tuple[Placement, DrillRung | None, bool] | None = None

    def begin(self) -> None:
        """Choose the first trial."""
        if self.workers is None:
            self._take(self.run.next())
        else:
            self._choosing = self.workers.submit(self.run.next)

    def _take(self, place: DrillRung | None) -> None:
        self.place, self.over = place, place is None

    def poll(self) -> bool:
        """Take the first trial if it has been chosen; returns whether it just was."""
        if self._choosing is None or not self._choosing.done():
            return False
        choosing, self._choosing = self._choosing, None
        self._take(choosing.result())
        return True

    def next(self, chosen: Wish) -> Wish | None:
        """See ``Course``; None while the first trial is being chosen."""
        return None if self.place is None else Wish(self.place.drill, self.place.rung, way=chosen.way)

    def started(self, trial: Trial, now_s: float) -> None:
        """Start the trial's time."""
        self._trial, self._since_s = trial, now_s

    def dropped(self) -> None:
        """Discard the trial's time."""
        self._trial = None

    def answered(self, trial: Trial, result: Result | None, now_s: float) -> None:
        """Update the estimate and choose the next trial."""
        place, self._trial, self._other = self.place, None, None
        if self.over or place is None or (trial.drill, trial.rung) != (place.drill, place.rung):
            return
        self._other = self.run, self.place, self.over
        if result is None:
            return
        took_s = max(0.0, now_s - self._since_s)
        if result.right is None:  # the lag of the equipment: it tells nothing, and took its time
            self.run = replace(self.run, used_s=self.run.used_s + took_s)
        else:
            self.run = self.run.after(place, result.right, took_s)
        self._take(self.run.next())

    def recount(self, counts: bool) -> None:
        """See ``Course``: exchange the estimates with and without the last answer; a run that is over stays so."""
        if self._other is not None and self._trial is None and not self.over:
            now = self.run, self.place, self.over
            (self.run, self.place, self.over), self._other = self._other, now

    def stop(self) -> None:
        """Stop the run early; its answers still count."""
        self.place, self.over, self._choosing = None, True, None

    def used_s(self, now_s: float) -> float:
        """Seconds used so far, including the present trial."""
        return min(LONGEST_S, self.run.used_s + (0.0 if self._trial is None else now_s - self._since_s))

    @property
    def asked(self) -> int:
        """Number of trials answered."""
        return len(self.run.asked)

    @property
    def begins(self) -> DrillRung:
        """Where practice begins after the run, as far as known: drill, and the rung that practice will choose."""
        if not self.run.asked:
            return first_of_all()
        start = self.run.start
        if self.levels is None:
            return start
        # The logbook has the answers by now, and those from before the run.
        return DrillRung(start.drill, self.levels().level(start.drill).rung(drills()[start.drill]))

    @property
    def tally(self) -> tuple[int, int]:
        """Numbers of right answers and of trials in the drill to begin with, or in all drills if it was not asked."""
        drill = self.begins.drill
        rights = list(zip(self.run.asked, self.run.right, strict=True))
        counted = [right for place, right in rights if place.drill == drill] or [right for _, right in rights]
        return sum(counted), len(counted)

    def found(self, chosen: Wish) -> Wish:
        """The drill to begin with, as a wish; its rung comes from the logbook, or without one from the run."""
        begins = self.begins
        return Wish(begins.drill, begins.rung if self.levels is None else None, way=chosen.way)
