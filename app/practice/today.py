"""Progress of today's plan: the current item, what is done, skipped and left. No widget.

``exercises.learner.plan`` makes the plan. What was answered stands in the logbook,
and the next plan is made from that; how far this one has come is kept for the day (see ``app.practice.kept_plan``).
"""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from math import floor
from pathlib import Path
from typing import Annotated, Any

from msgspec import Meta, Struct, to_builtins

from app.logfile import log
from app.practice.ahead import Wish
from app.practice.course import Course
from app.practice.kept_plan import keep, kept, plan_path
from exercises.drills import drills
from exercises.learner.placement import DrillRung
from exercises.learner.plan import LONGEST_MIN, SHORTEST_MIN, USUAL_MIN, Item, Plan, plan
from exercises.learner.reasons import Reason
from exercises.logbook.row import Sentence
from exercises.logbook.store import Logbook
from exercises.trial.trial import Result, Trial
from synth.base.border import fitted
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.device.clock import utc_now

# At most this many seconds between two trials count as practice (reading the result).
READING_S = 60.0

NOT_READ = Template("today.not_read", "{why} So this is the plan of a first day.")
LOST = Template("today.lost", "How far today's plan had come could not be read, so it begins anew.")


class State(StrEnum):
    """State of an item of the plan."""

    COMING = "coming"
    NOW = "now"
    DONE = "done"
    SKIPPED = "skipped"


@dataclass(frozen=True, slots=True)
class Turn:
    """One trial of the plan: which item (from 0) and which of its trials (from 1)."""

    item: int
    trial: int


class _KeptItem(Struct):
    drill: str
    rung: Annotated[int, Meta(ge=1)]
    trials: Annotated[int, Meta(ge=1, le=1000)]
    minutes: Annotated[float, Meta(gt=0, le=LONGEST_MIN)]
    reason: Reason
    why: Sentence
    done: Annotated[int, Meta(ge=0, le=1000)]


class _Kept(Struct):
    minutes: Annotated[int, Meta(ge=SHORTEST_MIN, le=LONGEST_MIN)]
    items: Annotated[list[_KeptItem], Meta(min_length=1, max_length=60)]
    at: Annotated[int, Meta(ge=0)]
    spent_s: Annotated[float, Meta(ge=0, le=86_400)]


@dataclass(slots=True)
class Today:
    """A plan and how far it has been practised. Moments are those of the one clock.

    ``at`` is the item that is on (as many as there are once all is over), ``counts`` how many trials of each have
    been answered, ``turn`` the trial that was started last.
    """

    plan: Plan
    at: int = 0
    counts: list[int] = field(default_factory=list)
    turn: Turn | None = None
    spent_s: float = 0.0
    _since_s: float | None = None
    _started_s: float | None = None

    def __post_init__(self) -> None:
        self.counts = [0] * len(self.plan.items)

    # -- where it stands ------------------------------------------------------------------------------------------

    @property
    def item(self) -> Item | None:
        """The item that is on, or ``None`` when all is over."""
        return None if self.finished else self.plan.items[self.at]

    @property
    def finished(self) -> bool:
        """Whether every item has been practised or skipped."""
        return self.at >= len(self.plan.items)

    @property
    def begun(self) -> bool:
        """Whether a trial was started or an item skipped."""
        return self.turn is not None or self.at > 0 or any(self.counts)

    @property
    def trial(self) -> int:
        """Number of the next trial within its item, from 1."""
        return 1 if self.finished else self.counts[self.at] + 1

    @property
    def turn_goes_on(self) -> bool:
        """Whether the next trial belongs to the item of the trial that was started last."""
        return self.turn is not None and self.turn.item == self.at

    def wish(self, free: Wish) -> Wish:
        """The next trial as a wish, the way of counting taken from ``free``; ``free`` itself when all is over.

        A warm-up stays on its easy rung; in every other item the rung follows the answers.
        """
        item = self.item
        if item is None:
            return free
        return Wish(item.drill, item.rung if item.reason is Reason.WARM_UP else None, way=free.way)

    def state(self, index: int) -> State:
        """State of an item; one that was left after at least one trial is done."""
        if index >= self.at:
            return State.NOW if index == self.at else State.COMING
        return State.DONE if self.counts[index] else State.SKIPPED

    def practised(self) -> tuple[str, ...]:
        """The drills of which at least one trial was answered, in the order of the plan, each once."""
        rows = zip(self.plan.items, self.counts, strict=True)
        return tuple(dict.fromkeys(item.drill for item, count in rows if count))

    @property
    def minutes_left(self) -> int:
        """Minutes that the rest of the plan takes, rounded; at least 1 until the plan is over."""
        rest = list(zip(self.plan.items, self.plan.whole_minutes, self.counts, strict=True))[self.at :]
        left = sum(minutes * max(0.0, 1 - count / item.trials) for item, minutes, count in rest)
        return max(1, floor(left + 0.5)) if rest else 0

    # -- what happens to it ---------------------------------------------------------------------------------------

    def started(self, now_s: float) -> None:
        """Record that the next trial begins to sound."""
        if self.finished:
            raise ValueError("the plan is over: there is no trial of it to start")
        if self._since_s is not None:
            self.spent_s += min(max(0.0, now_s - self._since_s), READING_S)
        self.turn, self._started_s, self._since_s = Turn(self.at, self.trial), now_s, None

    def done(self, now_s: float) -> None:
        """Count the started trial as answered or listened to; the last trial of an item ends it."""
        if self.turn is None or self._started_s is None:
            raise ValueError("no trial of the plan was started")
        self.spent_s += max(0.0, now_s - self._started_s)
        self._started_s, self._since_s = None, now_s
        self.counts[self.turn.item] += 1
        if self.at == self.turn.item and self.counts[self.at] >= self.plan.items[self.at].trials:
            self.at += 1

    def skip(self) -> None:
        """Go on to the next item; trials already done stay done."""
        if not self.finished:
            self.at += 1

    # -- to go on with it later in the day --------------------------------------------------------------------------

    def to_json(self) -> dict[str, Any]:
        """Plan and progress as plain values."""
        items = [
            {
                "drill": item.drill,
                "rung": item.rung,
                "trials": item.trials,
                "minutes": item.minutes,
                "reason": item.reason.value,
                "why": item.why.to_json(),
                "done": count,
            }
            for item, count in zip(self.plan.items, self.counts, strict=True)
        ]
        return {"minutes": self.plan.minutes, "items": items, "at": self.at, "spent_s": self.spent_s}

    @classmethod
    def from_json(cls, data: Any) -> "Today":
        """The reverse of ``to_json``; ``ValueError`` on anything else."""
        kept = fitted(data, _Kept)
        for each in kept.items:
            if each.drill not in drills() or each.rung > len(drills()[each.drill].rungs):
                raise ValueError(f"no plan for rung {each.rung} of {each.drill}")
        if kept.at > len(kept.items):
            raise ValueError(f"at {kept.at} of {len(kept.items)} items")
        items = tuple(
            Item(each.drill, each.rung, each.trials, each.minutes, each.reason, Say.from_json(to_builtins(each.why)))
            for each in kept.items
        )
        today = cls(Plan(items, kept.minutes), at=kept.at, spent_s=kept.spent_s)
        today.counts = [each.done for each in kept.items]
        return today


@dataclass(slots=True, eq=False)
class Planned(Course):
    """The course of today's plan. It makes the plan from the logbook at ``path``, if any, in ``workers``, if any.

    A worker opens the logbook for itself: where years of answers are weighed for the first time it takes longer than
    a window may stand still. ``notices`` say that the logbook could not be read, for once. ``begin`` is where a
    placement run found that this learner begins; it holds for the plans of the day until one of them is over.
    """

    path: Path | None = None
    workers: Executor | None = None
    minutes: int = USUAL_MIN
    clock: Callable[[], datetime] = utc_now
    today: Today | None = None
    notices: tuple[Say, ...] = ()
    begin: DrillRung | None = None
    _day: date | None = None
    _learner: str = ""
    _anew: bool = False
    _coming: Future[tuple[Today, tuple[Say, ...]]] | None = None
    _of: Today | None = None

    def next(self, chosen: Wish) -> Wish | None:
        """The next trial of the plan; what was chosen by hand when all is over."""
        return None if self.today is None or self.making else self.today.wish(chosen)

    def started(self, trial: Trial, now_s: float) -> None:
        """The next trial of the plan begins to sound; after the last one the plan takes no notice."""
        self._of = self.today
        if self._of is not None and not self._of.finished:
            self._of.started(now_s)

    def answered(self, trial: Trial, result: Result | None, now_s: float) -> None:
        """Count the trial for the plan in which it was started, and keep how far that has come."""
        if self._of is not None and not self._of.finished:
            self._of.done(now_s)
            if self.today is self._of:
                self.keep()

    def skip(self) -> None:
        """Leave the item that is on."""
        if self.today is not None:
            self.today.skip()
            self.keep()

    def choose_minutes(self, minutes: int, learner: str) -> None:
        """So many minutes a day, 5 to 30, from the next plan on; one that has not been begun is made anew."""
        self.minutes = minutes
        if self.today is None or not self.today.begun:
            self.make(learner, anew=self.today is not None and not self.making)

    def make(self, learner: str, *, anew: bool = False) -> None:
        """Have a plan made; ``poll`` puts it in the place of the one before.

        A plan of this learner that was begun today goes on as it was left, unless another is wanted.
        """
        now = self.clock().astimezone()
        if self._day is not None and (self._day, self._learner) != (now.date(), learner):
            self.begin = None
        # Asked for once more before it was made, say with other minutes: it is still another one that is wanted.
        self._anew = anew or (self.making and self._anew and self._learner == learner)
        self._day, self._learner = now.date(), learner
        wanted = (self.path, learner, now, self.minutes, not self._anew, self.begin)
        if self.workers is not None:
            self._coming = self.workers.submit(make_today, *wanted)
        else:
            self._coming = Future()
            self._coming.set_result(make_today(*wanted))

    def keep(self) -> None:
        """Keep how far the plan has come, for the rest of the day."""
        if self.today is not None and self.today.finished:
            self.begin = None
        if self.path is None or self.today is None or self._day is None:
            return
        try:
            keep(plan_path(self.path), self._learner, self._day, self.today.to_json())
        except Trouble as trouble:
            # A disk that takes nothing is told by the logbook, which has more to lose.
            log.warning("today's plan is not kept: %s", trouble)

    @property
    def making(self) -> bool:
        """Whether a plan is on its way."""
        return self._coming is not None

    def poll(self) -> bool:
        """Take the plan if it has been made; whether it just was."""
        if self._coming is None or not self._coming.done():
            return False
        coming, self._coming = self._coming, None
        self.today, self.notices = coming.result()
        return True

    @property
    def stale(self) -> bool:
        """Whether another day has begun since the plan was made, and the plan is not in progress."""
        if self.today is None or (self.today.begun and not self.today.finished):
            return False
        return self.clock().astimezone().date() != self._day


def make_today(
    path: Path | None, learner: str, now: datetime, minutes: int, resume: bool, begin: DrillRung | None = None
) -> tuple[Today, tuple[Say, ...]]:
    """Today's plan, and what has to be said; with ``resume`` as it was left, if it was begun today."""
    lost: tuple[Say, ...] = ()
    if resume and path is not None:
        try:
            left = kept(plan_path(path), learner, now.date())
            if left is not None:
                return Today.from_json(left), ()
        except (Trouble, ValueError) as slip:
            log.warning("today's plan cannot be gone on with: %s", slip)
            lost = (LOST(),)
    made, notices = make_plan(path, learner, now, minutes, begin)
    return Today(made), (*lost, *notices)


def make_plan(
    path: Path | None, learner: str, now: datetime, minutes: int, begin: DrillRung | None = None
) -> tuple[Plan, tuple[Say, ...]]:
    """Today's plan from the logbook at ``path``, and what has to be said: that the logbook cannot be read."""
    if path is None:
        return plan(None, learner, now, minutes, begin), ()
    try:
        with Logbook.open(path) as own:
            return plan(own, learner, now, minutes, begin), ()
    except Trouble as trouble:
        return plan(None, learner, now, minutes, begin), (NOT_READ(why=trouble.says),)


def states(today: Today) -> Iterator[tuple[Item, State]]:
    """The items of the plan in order, each with its state."""
    for index, item in enumerate(today.plan.items):
        yield item, today.state(index)
