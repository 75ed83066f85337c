"""Progress of today's plan: the current item, what is done, skipped and left. No widgets.

``exercises.learner.plan`` makes the plan from the logbook; ``kept_plan`` keeps its progress for the day.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from math import floor
from typing import Any

from msgspec import to_builtins

from app.practice.plan.kept_plan import DAY_S, MOST_BARS, MOST_TRIALS, Kept
from app.practice.records.own_records import ANY
from app.practice.trial.next_trial import Wish
from exercises.drills import drills
from exercises.learner.plan import Item, Plan
from exercises.learner.reasons import Reason
from exercises.progress.gains import Tally
from synth.base.border import fitted
from synth.base.words import Say

# Longest time between two trials that counts as practice (reading the result), in s.
READING_S = 60.0
# Largest share of an item's trials on own records: levels on drums go on being known.
MOST_RECORDS = 0.8


def records_share(wished: float, height: float) -> float:
    """The share of trials on own records of an item at a ``height`` of its rungs (0 to 1): more where it is higher.

    Over all heights it is what is wished, which is at most ``MOST_RECORDS``.
    """
    wished = min(wished, MOST_RECORDS)
    share = 2 * wished * height if wished <= 0.5 else 1 - 2 * (1 - wished) * (1 - height)
    return min(MOST_RECORDS, share)


def on_records(trials: int, share: float) -> int:
    """How many of the first trials of an item are on own records: the share, rounded, as they are few; never all."""
    return max(0, min(floor(trials * share + 0.5), trials - 1))


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


@dataclass(slots=True)
class Today:
    """A plan and its progress. Times are on the one clock, in s.

    ``at`` is the index of the current item (the number of items at the end), ``counts`` the number of trials answered
    in each, ``tallies`` what went well in them, ``turn`` the trial started last. ``lesson`` is the state of the
    lesson before the items, if there is one.
    """

    plan: Plan
    at: int = 0
    counts: list[int] = field(default_factory=list)
    tallies: list[Tally] = field(default_factory=list)
    turn: Turn | None = None
    spent_s: float = 0.0
    lesson: State | None = None
    _since_s: float | None = None
    _started_s: float | None = None
    _last: Tally = field(default_factory=Tally)

    def __post_init__(self) -> None:
        self.counts = [0] * len(self.plan.items)
        self.tallies = [Tally()] * len(self.plan.items)
        if self.plan.lesson and self.lesson is None:
            self.lesson = State.NOW

    # -- state ----------------------------------------------------------------------------------------------------

    @property
    def item(self) -> Item | None:
        """The current item, or ``None`` at the end."""
        return None if self.finished else self.plan.items[self.at]

    @property
    def finished(self) -> bool:
        """Whether every item has been practised or skipped."""
        return self.at >= len(self.plan.items)

    @property
    def begun(self) -> bool:
        """Whether a trial was started, or the lesson or an item is done or skipped."""
        over = self.lesson in (State.DONE, State.SKIPPED)
        return over or self.turn is not None or self.at > 0 or any(self.counts)

    @property
    def lesson_due(self) -> bool:
        """Whether the lesson comes next."""
        return self.lesson is State.NOW

    @property
    def trial(self) -> int:
        """Number of the next trial within its item, from 1."""
        return 1 if self.finished else self.counts[self.at] + 1

    @property
    def turn_goes_on(self) -> bool:
        """Whether the next trial belongs to the same item as the trial started last."""
        return self.turn is not None and self.turn.item == self.at

    def wish(self, free: Wish, records: float = 0.0) -> Wish:
        """The next trial as a wish with the way of counting of ``free``; ``free`` itself at the end.

        A warm-up stays on its easy rung; in every other item the rung follows the answers, and ``records`` is the
        share of trials on the learner's own records: more of them on higher rungs.
        """
        item = self.item
        if item is None:
            return free
        if item.reason is Reason.WARM_UP:
            return Wish(item.drill, item.rung, way=free.way)
        one = drills()[item.drill]
        share = records_share(records, item.rung / len(one.rungs)) if one.records else 0.0
        mixed = on_records(self.trial, share) > on_records(self.trial - 1, share)
        return Wish(item.drill, way=free.way, record=ANY if mixed else "")

    def state(self, index: int) -> State:
        """State of an item; one that was left after at least one trial is done."""
        if index >= self.at:
            return State.NOW if index == self.at and not self.lesson_due else State.COMING
        return State.DONE if self.counts[index] else State.SKIPPED

    def practised(self) -> tuple[str, ...]:
        """Drills with at least one answered trial, in the order of the plan, each once."""
        rows = zip(self.plan.items, self.counts, strict=True)
        return tuple(dict.fromkeys(item.drill for item, count in rows if count))

    @property
    def minutes_left(self) -> int:
        """Duration of the rest of the plan in min, rounded; at least 1 before the end."""
        rest = list(zip(self.plan.items, self.plan.whole_minutes, self.counts, strict=True))[self.at :]
        left = float(self.plan.lesson_minutes * self.lesson_due)
        left += sum(minutes * max(0.0, 1 - count / item.trials) for item, minutes, count in rest)
        return max(1, floor(left + 0.5)) if rest else 0

    # -- events ---------------------------------------------------------------------------------------------------

    def started(self, now_s: float) -> None:
        """Record the start of the next trial."""
        if self.finished:
            raise ValueError("the plan is over: there is no trial of it to start")
        if self.lesson_due:
            self.lesson = State.SKIPPED
        if self._since_s is not None:
            self.spent_s += min(max(0.0, now_s - self._since_s), READING_S)
        self.turn, self._started_s, self._since_s = Turn(self.at, self.trial), now_s, None

    def done(self, now_s: float, gained: Tally | None = None) -> None:
        """Count the started trial as answered or listened to, with what it ``gained``.

        The last trial of an item ends it.
        """
        if self.turn is None or self._started_s is None:
            raise ValueError("no trial of the plan was started")
        self.spent_s += max(0.0, now_s - self._started_s)
        self._started_s, self._since_s = None, now_s
        self.counts[self.turn.item] += 1
        self._last = gained or Tally()
        self.tallies[self.turn.item] += self._last
        if self.at == self.turn.item and self.counts[self.at] >= self.plan.items[self.at].trials:
            self.at += 1

    def recount(self, counts: bool) -> None:
        """Take the trial done last out of its item's count, or count it again."""
        if self.turn is None:
            return
        item = self.turn.item
        self.counts[item] += 1 if counts else -1
        self.tallies[item] = self.tallies[item] + self._last if counts else self.tallies[item] - self._last
        if not counts:
            self.at = item
        elif self.counts[item] >= self.plan.items[item].trials:
            self.at = item + 1

    def skip(self) -> None:
        """Go to the next item, or past the lesson; trials already done still count."""
        if self.lesson_due:
            self.lesson = State.SKIPPED
        elif not self.finished:
            self.at += 1

    def end_lesson(self, took_s: float) -> None:
        """Count the lesson as done; repeated later it changes nothing."""
        if self.lesson_due:
            self.lesson, self.spent_s = State.DONE, self.spent_s + took_s

    # -- keeping it for the day -----------------------------------------------------------------------------------

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
                "done": min(count, MOST_TRIALS),
                "right": min(tally.right, MOST_TRIALS),
                "asked": min(tally.asked, MOST_TRIALS),
                "bars": min(tally.bars, MOST_BARS),
            }
            for item, count, tally in zip(self.plan.items, self.counts, self.tallies, strict=True)
        ]
        rests = None if self.plan.rests is None else self.plan.rests.to_json()
        return {
            "minutes": self.plan.minutes,
            "items": items,
            "at": self.at,
            "spent_s": min(self.spent_s, DAY_S),
            "rests": rests,
            "lesson": None if self.lesson is None else self.lesson.value,
        }

    @classmethod
    def from_json(cls, data: Any) -> "Today":
        """The reverse of ``to_json``; ``ValueError`` on anything else."""
        kept = fitted(data, Kept)
        for each in kept.items:
            if each.drill not in drills() or each.rung > len(drills()[each.drill].rungs):
                raise ValueError(f"no plan for rung {each.rung} of {each.drill}")
        if kept.at > len(kept.items):
            raise ValueError(f"at {kept.at} of {len(kept.items)} items")
        items = tuple(
            Item(each.drill, each.rung, each.trials, each.minutes, each.reason, Say.from_json(to_builtins(each.why)))
            for each in kept.items
        )
        rests = None if kept.rests is None else Say.from_json(to_builtins(kept.rests))
        made = Plan(items, kept.minutes, rests, kept.lesson is not None)
        lesson = None if kept.lesson is None else State(kept.lesson)
        today = cls(made, at=kept.at, spent_s=kept.spent_s, lesson=lesson)
        today.counts = [each.done for each in kept.items]
        today.tallies = [Tally(each.right, each.asked, each.bars) for each in kept.items]
        return today


def states(today: Today) -> Iterator[tuple[Item, State]]:
    """Items of the plan in order, with their states."""
    for index, item in enumerate(today.plan.items):
        yield item, today.state(index)
