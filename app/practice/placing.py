"""A placement run through the practice model: what is asked next, how long it has gone on. No widget.

The estimate is ``exercises.learner.placement``'s; here it meets the trials as they are answered. A trial that was
void, or that was none of the run's, tells nothing.
"""

from concurrent.futures import Executor, Future
from dataclasses import dataclass, field

from app.practice.ahead import Wish
from app.practice.practice import Phase, Practice
from exercises.drills import drills
from exercises.learner.placement import LONGEST_S, DrillRung, Placement
from exercises.learner.stored_levels import rung_for
from exercises.trial.trial import Kind, Trial


def first_of_all() -> DrillRung:
    """Where somebody new begins: the first drill of the ladder that asks something."""
    return DrillRung(next(one.id for one in drills().values() if one.kind is not Kind.NONE), 1)


@dataclass(slots=True, eq=False)
class PlacementRun:
    """One run. ``place`` is what is asked next, None while it is being chosen and when the run is ``over``.

    Choosing for the first time makes a trial of every rung, most of a second's work: ``workers`` do that.
    """

    practice: Practice
    workers: Executor | None = None
    run: Placement = field(default_factory=Placement)
    place: DrillRung | None = None
    over: bool = False
    _choosing: Future[DrillRung | None] | None = None
    _trial: Trial | None = None
    _since_s: float = 0.0

    def begin(self) -> None:
        """Choose the first trial."""
        if self.workers is None:
            self._take(self.run.next())
        else:
            self._choosing = self.workers.submit(self.run.next)

    def _take(self, place: DrillRung | None) -> None:
        self.place, self.over = place, place is None

    def tick(self, now_s: float) -> bool:
        """Look where the practice stands, at a moment of the one clock; whether there is something new to ask."""
        practice = self.practice
        if practice.phase is Phase.SOUNDING and practice.trial is not None and practice.trial is not self._trial:
            self._trial, self._since_s = practice.trial, now_s
        if self._choosing is not None and self._choosing.done():
            choosing, self._choosing = self._choosing, None
            self._take(choosing.result())
            return True
        return False

    def marked(self, now_s: float) -> None:
        """The present trial has come to its end."""
        trial, place, result = self._trial, self.place, self.practice.result
        if self.over or place is None or trial is None or self.practice.trial is not trial:
            return
        if (trial.drill, trial.rung) != (place.drill, place.rung) or result is None or result.right is None:
            return
        self._trial = None
        self.run = self.run.after(place, result.right, max(0.0, now_s - self._since_s))
        self._take(self.run.next())

    def stop(self) -> None:
        """Break the run off; what has been answered still counts."""
        self.place, self.over, self._choosing = None, True, None

    def used_s(self, now_s: float) -> float:
        """Seconds gone so far, those of the present trial included."""
        going = self._trial is not None and self.practice.phase in (Phase.SOUNDING, Phase.ASKING)
        return min(LONGEST_S, self.run.used_s + (now_s - self._since_s if going else 0.0))

    @property
    def asked(self) -> int:
        """How many trials have been answered."""
        return len(self.run.asked)

    @property
    def begins(self) -> DrillRung:
        """Where practice begins after the run, so far as it has come: on the rung that practice will ask for."""
        if not self.run.asked:
            return first_of_all()
        start = self.run.start
        if self.practice.logbook is None:
            return start
        # The logbook knows the answers by now, those from before the run too.
        return DrillRung(start.drill, rung_for(self.practice.standing().level(start.drill), drills()[start.drill]))

    @property
    def tally(self) -> tuple[int, int]:
        """How many trials came out right of those that tell where to begin: of that drill, or else of all of them."""
        drill = self.begins.drill
        rights = list(zip(self.run.asked, self.run.right, strict=True))
        told = [right for place, right in rights if place.drill == drill] or [right for _, right in rights]
        return sum(told), len(told)

    def wish(self, wish: Wish) -> Wish:
        """The next trial of the run as a wish; once it is over, the drill with which to begin, on a fitting rung."""
        if self.place is not None:
            place, rung = self.place, self.place.rung
        else:
            place = self.begins
            # The rung follows the answers in the logbook; without one it is the run's own.
            rung = None if self.practice.logbook is not None else place.rung
        return Wish(place.drill, rung, way=wish.way)
