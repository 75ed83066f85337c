"""Today's practice: a few minutes, chosen from what is due, what is weakest, and what is next on the ladder.

Spacing: see ``exercises.learner.spacing``.

Spiral. The first drills of the ladder, up to ``CIRCLE_ENDS``, are begun one a practice day, whatever becomes of the
ones before. Afterwards the next drill is begun while all fit into the places of the days on which this learner
practises, and its first rung should go half well; and after ``LONGEST_STAY_D`` without a new one in any case. No
drill waits for another.

Rest. A drill whose first rung goes well in less than ``STUCK_BELOW`` after ``STUCK_FROM`` answers rests ``REST_D``
days each time; the plan says so, and names the drill to go back to.

Selection, in this order: a warm-up, another one each day; what is due, the weakest first, then the most overdue; one
place for the next drill of the ladder. What is left is filled with what comes back next, then the ladder. Anything
may be skipped without penalty and is due tomorrow. After more than ``MISSED_D`` days without practice the plan is
shorter and begins nothing new.

Choice. Learner or tutor can have a drill in every plan, where it is on the rung that suits, or in none.

Start of the ladder. A drill counts as begun from ``TOLD_FROM`` answers on: the few of a placement run are no
practice. Drills below both the first practised one and the one where the answers say to begin are not climbed (see
``exercises.learner.placement``).

Duration of a trial: its sound, and this learner's median time beside it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta

from exercises.drills import drills, marked_drills
from exercises.learner.chosen import NOTHING_CHOSEN, Chosen
from exercises.learner.drill_level import DrillLevel
from exercises.learner.ladder import lowest, to_begin
from exercises.learner.level import TOLD_FROM, Level, difficulty, usual
from exercises.learner.placement import DrillRung
from exercises.learner.reasons import (
    ALWAYS,
    BEGIN,
    DUE,
    DUE_YESTERDAY,
    FIRST,
    NEXT,
    OVERDUE,
    RESTS,
    RESTS_FOR,
    SPARE,
    WARM_UP,
    WEAK,
    Reason,
)
from exercises.learner.spacing import EARLY, LATE, MASTERED, Gap, gap
from exercises.learner.stored_levels import LearnerLevels, learner_levels
from exercises.logbook.history import Practised, beside_s, lately_s, practised, practised_share
from exercises.logbook.store import Logbook
from exercises.trial.trial import Kind
from synth.base.words import Say

SHORTEST_MIN, USUAL_MIN, LONGEST_MIN = 5, 10, 30
# Usual minutes of an item, and of the warm-up.
ITEM_MIN, WARM_UP_MIN = 2.0, 1.5
# Most minutes of an item while there is another drill to practise.
MOST_ITEM_MIN = 4.5
# Default seconds beside a trial's sound: answer, result, next start; the start alone where nothing is marked.
BESIDE_S, START_S = 15.0, 4.0

# The last drill of the ladder's first circle, and the longest time in days after it without a new drill.
CIRCLE_ENDS = "bring-in"
LONGEST_STAY_D = 4
# Least expected share of right answers, guessing apart, on the first rung of a drill that is begun before that time.
HALF_WELL = 0.5
# Share below which, and fewest answers from which on, a drill is stuck on its first rung; it rests for so many days.
STUCK_BELOW, STUCK_FROM, REST_D = 0.3, 20, 6.0
# Share of a drill in the practice of so many days from which on others come first.
MOST_SHARE, MONTH_D = 0.11, 28
# Minutes of the lesson with which the first plan begins.
LESSON_MIN = 2
# Days without practice that shorten no plan.
MISSED_D = 4


@dataclass(frozen=True, slots=True)
class Item:
    """Trials of a drill on a rung, about ``minutes`` of the plan, with the reason and a sentence."""

    drill: str
    rung: int
    trials: int
    minutes: float
    reason: Reason
    why: Say


@dataclass(frozen=True, slots=True)
class Plan:
    """Today's items in order; ``minutes`` as requested; ``rests`` says which drill rests, and what to go back to.

    ``lesson``: the first words come before the items and take ``LESSON_MIN`` of the minutes.
    """

    items: tuple[Item, ...]
    minutes: int
    rests: Say | None = None
    lesson: bool = False

    @property
    def lesson_minutes(self) -> int:
        """Minutes of the lesson: none without one."""
        return LESSON_MIN * self.lesson

    @property
    def whole_minutes(self) -> tuple[int, ...]:
        """The items' minutes rounded to integers, each at least 1, that sum to theirs (Hamilton's method)."""
        total, minutes = sum(item.minutes for item in self.items), self.minutes - self.lesson_minutes
        shares = [minutes * item.minutes / total for item in self.items]
        whole = [max(1, math.floor(share + 1e-9)) for share in shares]
        while (missing := minutes - sum(whole)) != 0:
            rest = [share - each for share, each in zip(shares, whole, strict=True)]
            at = rest.index(max(rest)) if missing > 0 else rest.index(min(rest))
            if missing < 0 and whole[at] == 1:  # more items than minutes
                break
            whole[at] += 1 if missing > 0 else -1
        return tuple(whole)


def plan(
    logbook: Logbook | None,
    learner: str,
    now: datetime,
    minutes: int = USUAL_MIN,
    begin: DrillRung | None = None,
    chosen: Chosen = NOTHING_CHOSEN,
) -> Plan:
    """Today's practice at ``now`` (aware, local zone); that of the first day without a logbook or with an empty one.

    The first plan of somebody who was not placed begins with the lesson.

    ``begin``: result of a placement run; it is in the plan. ``chosen.never`` is ignored if it would leave nothing.
    What was practised today is repeated only as a warm-up or to fill the time. ``ValueError`` unless ``minutes`` is 5
    to 30.
    """
    if not SHORTEST_MIN <= minutes <= LONGEST_MIN:
        raise ValueError(f"{minutes} minutes: {SHORTEST_MIN} to {LONGEST_MIN} expected")
    done = {} if logbook is None else practised(logbook, learner)
    stands = LearnerLevels({}, Level.about()) if logbook is None else learner_levels(logbook, learner)
    day = now.astimezone(UTC).timestamp() / 86_400
    often = 1.0 if logbook is None else practised_share(logbook, learner, now.date())
    beside = None if logbook is None else beside_s(logbook, learner)
    gone_d = (now.date() - max((each.last for each in done.values()), default=now.date())).days
    back = gone_d > MISSED_D
    minutes = shrunk(minutes, gone_d) if back else minutes
    lately = {} if logbook is None else lately_s(logbook, learner, now.date() - timedelta(days=MONTH_D))
    month_s = MONTH_D * often * minutes * 60
    shares = {each.id: lately.get(each.id, 0.0) / (each.often * month_s) for each in marked_drills()}
    marked = [each.id for each in marked_drills()]
    never = frozenset(chosen.never) if set(marked) - set(chosen.never) else frozenset[str]()
    lesson = not done and begin is None
    if begin is not None and begin.drill in never:
        begin = None
    chooser = _Chooser(
        done,
        stands,
        day,
        now.date(),
        minutes - LESSON_MIN * lesson,
        often,
        BESIDE_S if beside is None else beside,
        begin,
        shares,
        back,
        tuple(drill for drill in chosen.always if drill in marked and drill not in never),
        never,
    )
    return Plan(tuple(chooser.items()), minutes, chooser.rests(), lesson)


def shrunk(minutes: int, gone_d: int) -> int:
    """Minutes of the plan of somebody who comes back after so many days: two thirds, after a fortnight half."""
    return max(SHORTEST_MIN, round(minutes * (1 / 2 if gone_d > 14 else 2 / 3)))


@dataclass(slots=True)
class _Chooser:
    """Chooses one plan."""

    done: Mapping[str, Practised]
    levels: LearnerLevels
    day: float
    today: date
    minutes: int
    often: float
    beside_s: float
    begin: DrillRung | None = None
    shares: Mapping[str, float] = field(default_factory=dict)
    back: bool = False
    always: tuple[str, ...] = ()
    never: frozenset[str] = frozenset()
    known: dict[str, DrillLevel] = field(default_factory=dict)
    rungs: dict[str, int] = field(default_factory=dict)

    def items(self) -> list[Item]:
        places = max(1, round((self.minutes - WARM_UP_MIN) / ITEM_MIN))
        warm = self.warm_up()
        coming, begun = self.due(), self.next(places)
        first = coming[: places - 1] if begun else coming
        chosen: list[tuple[str, Reason, Say]] = []

        def take(row: tuple[str, Reason, Say], room: int) -> None:
            again = row[0] == warm[0] and len(self.tried()) > 1
            if len(chosen) < room and not again and row[0] not in [drill for drill, _, _ in chosen]:
                chosen.append(row)

        for drill in self.always:
            take((drill, Reason.ALWAYS, ALWAYS()), places)
        fewest = math.ceil((self.minutes - WARM_UP_MIN) / MOST_ITEM_MIN)
        # Fill the time: what is not due, and on the first days further drills of the ladder.
        rows = [*first, *begun, *coming, *self.spare()]
        for row in rows:
            if not self.full(row[0]):
                take(row, places)
        last = [*sorted(rows, key=lambda row: self.shares[row[0]]), *self.spare(resting=True)]
        for row in [*self.ladder(), *last]:
            take(row, fewest)
        each_min = (self.minutes - WARM_UP_MIN) / len(chosen)
        planned = [warm, *((drill, self.rung(drill), reason, why) for drill, reason, why in chosen)]
        takes_min = [self.takes_s(drill, rung) / 60 for drill, rung, _, _ in planned]
        counts = _counts(takes_min, [WARM_UP_MIN] + [each_min] * len(chosen))
        scale = self.minutes / sum(count * each for count, each in zip(counts, takes_min, strict=True))
        return [
            Item(drill, rung, count, count * each * scale, reason, why)
            for (drill, rung, reason, why), count, each in zip(planned, counts, takes_min, strict=True)
        ]

    def takes_s(self, drill: str, rung: int) -> float:
        """Seconds from the start of a trial to the next start."""
        return usual(drill, rung)[1] + (START_S if drills()[drill].kind is Kind.NONE else self.beside_s)

    def level(self, drill: str) -> DrillLevel:
        """The level in a drill, in the form of another day."""
        if drill not in self.known:
            self.known[drill] = self.levels.level(drill)
        return self.known[drill]

    def rung(self, drill: str) -> int:
        """The rung that suits the learner, on the drill's main path."""
        return min(self.suits(drill), drills()[drill].main_rungs)

    def suits(self, drill: str) -> int:
        """The rung that suits the learner, of all."""
        if drill not in self.rungs:
            self.rungs[drill] = self.level(drill).rung(drills()[drill])
        return self.rungs[drill]

    def gap(self, drill: str) -> Gap:
        """When a drill comes back: one that rests after ``REST_D`` days, one whose main path is done seldom."""
        if self.stuck(drill):
            return Gap(REST_D, LATE / EARLY * REST_D)
        one, rung = drills()[drill], self.suits(drill)
        found = gap(MASTERED if rung > one.main_rungs else rung)
        return Gap(found.due_d / one.often, found.late_d / one.often)

    def full(self, drill: str) -> bool:
        """Whether a drill had its share of the last weeks, so that others come first."""
        return self.shares[drill] > MOST_SHARE

    def stuck(self, drill: str) -> bool:
        """Whether a drill's first rung goes badly after many answers."""
        level = self.level(drill)
        return level.answers >= STUCK_FROM and self.rung(drill) == 1 and self.first_rung(drill) < STUCK_BELOW

    def first_rung(self, drill: str) -> float:
        """Expected share of right answers on a drill's first rung, guessing apart."""
        return self.level(drill).expects(1)

    def days_ago(self, drill: str, *, first: bool = False) -> int:
        """Calendar days since the last practice, in any mode, or since the ``first``."""
        done = self.done[drill]
        return max(0, (self.today - (done.first if first else done.last)).days)

    def elapsed_d(self, drill: str) -> float:
        """Days since the last answer, or since the day of later busy practice."""
        return min(self.day - self.levels.tried[drill].day, self.days_ago(drill) + 1.0)

    def tried(self) -> list[str]:
        """Drills that count as begun."""
        return [
            each.id
            for each in marked_drills()
            if each.id not in self.never and self.level(each.id).answers >= TOLD_FROM
        ]

    def ladder(self) -> list[tuple[str, Reason, Say]]:
        """Drills to begin, in order."""
        rows = [each for each in to_begin(self.tried(), self.levels.fresh, self.begin) if each.id not in self.never]
        return [(each.id, Reason.NEXT, (BEGIN if self._begins(each.id) else NEXT)(asks=each.asks())) for each in rows]

    def _begins(self, drill: str) -> bool:
        return self.begin is not None and self.begin.drill == drill

    def warm_up(self) -> tuple[str, int, Reason, Say]:
        """Of the drills that go well the one not practised for longest, one rung lower; first, counting along."""
        first = next(iter(drills().values()))
        tried = self.tried()
        if not tried or (first.kind is Kind.NONE and sum(each.trials for each in self.done.values()) < 20):
            return first.id, 1, Reason.WARM_UP, FIRST()
        by_level = sorted(tried, key=lambda drill: self.level(drill).theta - difficulty(drills()[drill], 1))
        well = by_level[len(by_level) // 2 :]
        longest = max(well, key=lambda drill: (not self.full(drill), self.elapsed_d(drill), well.index(drill)))
        return longest, max(1, self.rung(longest) - 1), Reason.WARM_UP, WARM_UP()

    def due(self) -> list[tuple[str, Reason, Say]]:
        """Drills that are due: the lowest of all first, then the most overdue."""
        found: list[tuple[float, str, Reason, Say]] = []
        weakest = lowest({drill: self.rung(drill) for drill in self.tried() if not self.stuck(drill)})
        for drill in self.tried():
            gone_d, wait = self.elapsed_d(drill), self.gap(drill)
            if gone_d < wait.due_d:
                continue
            if drill == weakest:
                found.append((math.inf, drill, Reason.WEAK, WEAK()))
            else:
                n = self.days_ago(drill)
                why = DUE_YESTERDAY() if n == 1 else (OVERDUE if gone_d > wait.late_d else DUE)(n=n)
                found.append((gone_d / wait.late_d, drill, Reason.DUE, why))
        return [(drill, reason, why) for _, drill, reason, why in sorted(found, key=lambda row: (-row[0], row[1]))]

    def next(self, places: int) -> list[tuple[str, Reason, Say]]:
        """Drills to begin: up to three on the first day, later at most one a day, none for who has just come back."""
        if self.back and self.begin is None:
            return []
        tried = self.tried()
        found: list[tuple[str, Reason, Say]] = []
        if self.begin is not None:
            found.append((self.begin.drill, Reason.NEXT, BEGIN(asks=drills()[self.begin.drill].asks())))
        most = 1 if tried and self.begin is None else 3
        newest = min((self.days_ago(drill, first=True) for drill in tried), default=LONGEST_STAY_D)
        fits = sum(1 / self.gap(drill).late_d for drill in tried) + 1 / gap(1).late_d <= places * self.often
        for row in self.ladder():
            drill = row[0]
            circle = drills()[drill].ladder <= drills()[CIRCLE_ENDS].ladder
            ready = fits and self.first_rung(drill) >= HALF_WELL
            if (circle or ready or newest >= LONGEST_STAY_D) and row not in found:
                found.append(row)
            if len(found) >= most:
                break
        return found

    def rests(self) -> Say | None:
        """Says of the drill practised last of those that rest that it does, and which one below it to go back to."""
        tried = self.tried()
        resting = [drill for drill in tried if self.rests_now(drill)]
        if not resting:
            return None
        last = min(resting, key=self.elapsed_d)
        below = [drill for drill in tried if not self.stuck(drill)]
        back = max(
            below,
            key=lambda drill: (drills()[drill].ladder < drills()[last].ladder, drills()[drill].ladder),
            default=None,
        )
        title = drills()[last].title()
        return RESTS(drill=title) if back is None else RESTS_FOR(drill=title, back=drills()[back].title())

    def spare(self, *, resting: bool = False) -> list[tuple[str, Reason, Say]]:
        """Drills that are begun, the nearest to being due first: those that are awake, or those that rest."""
        drills = [drill for drill in self.tried() if self.rests_now(drill) is resting]
        rows = sorted(drills, key=lambda drill: (-self.elapsed_d(drill) / self.gap(drill).due_d, drill))
        return [(drill, Reason.SPARE, SPARE()) for drill in rows]

    def rests_now(self, drill: str) -> bool:
        """Whether a drill is stuck and its rest is not over."""
        return self.stuck(drill) and self.elapsed_d(drill) < REST_D


def _counts(takes_min: Sequence[float], shares_min: Sequence[float]) -> list[int]:
    """Trials of each item, at least one, so that items have about their shares and the sum is the whole time."""
    counts = [max(1, round(share / takes)) for takes, share in zip(takes_min, shares_min, strict=True)]

    while True:
        over = sum(n * takes for n, takes in zip(counts, takes_min, strict=True)) - sum(shares_min)
        sign = -1 if over > 0 else 1
        # Of the changes that bring the sum nearer: the one that leaves its item nearest to its share.
        nearer = [
            (abs((n + sign) * takes - share), at)
            for at, (n, takes, share) in enumerate(zip(counts, takes_min, shares_min, strict=True))
            if n + sign >= 1 and abs(over + sign * takes) < abs(over) - 1e-9
        ]
        if not nearer:
            return counts
        counts[min(nearer)[1]] += sign
