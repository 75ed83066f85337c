"""Today's practice: a few minutes, chosen from what is due, what is weakest, and what is next on the ladder.

Spacing. What is to be remembered for a week is best repeated after 20 to 40 % of it, for a year after 5 to 10 %
(Cepeda et al. 2008, Psychological Science 19, 1095-1102, who studied the recall of facts; that skills of the ear
follow the same gaps is our assumption). A drill on its first rungs is to last a week: it is due
1.4 days after the last practice and overdue after 2.8. From ``WEEK_RUNGS`` on each rung doubles the time, up to a
year, and its share falls from 30 to 7.5 %, linear in the logarithms (our interpolation).

Load. A drill practised every g days takes 1/g of a day's places. A new drill is begun only while all fit into the
places of the days on which this learner practises. So the ladder is climbed a few drills at a time.

Selection, in this order: a warm-up; what is due, the weakest first, then the most overdue; one place for the next
drill of the ladder, if it fits. If an item would exceed ``MOST_ITEM_MIN``, what comes back next is added, then the
ladder. Anything may be skipped without penalty and is due tomorrow.

Start of the ladder. A drill counts as begun from ``TOLD_FROM`` answers on: the few of a placement run are no
practice. Drills below both the first practised one and the one where the answers say to begin are not climbed (see
``exercises.learner.placement``).

Duration of a trial: its sound, and this learner's median time beside it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

from exercises.drills import drills
from exercises.forms.drill import Drill
from exercises.learner.level import PLACE_STEP, TOLD_FROM, Level, usual
from exercises.learner.placement import DrillRung, begin_with
from exercises.learner.reasons import BEGIN, DUE, DUE_YESTERDAY, FIRST, NEXT, OVERDUE, SPARE, WARM_UP, WEAK, Reason
from exercises.learner.stored_levels import LearnerLevels, learner_levels
from exercises.logbook.history import Practised, beside_s, practised, practised_share
from exercises.logbook.store import Logbook
from exercises.trial.trial import Kind
from synth.base.words import Say

SHORTEST_MIN, USUAL_MIN, LONGEST_MIN = 5, 10, 30
# Usual minutes of an item, and of the warm-up.
ITEM_MIN, WARM_UP_MIN = 2.0, 1.5
# Most minutes of an item, or a quarter of the plan, while there is another drill to practise.
MOST_ITEM_MIN = 4.5
# Default seconds beside a trial's sound: answer, result, next start; the start alone where nothing is marked.
BESIDE_S, START_S = 15.0, 4.0

WEEK_D, YEAR_D = 7.0, 365.0
WEEK_SHARE, YEAR_SHARE = 0.30, 0.075
# Due and overdue relative to the middle of the range: 20 to 40 %, 5 to 10 %.
EARLY, LATE = 2 / 3, 4 / 3
WEEK_RUNGS = 3
# Rung that the previous drill of the ladder must reach before the next one begins.
READY_RUNG = 2


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
    """Today's items in order; ``minutes`` as requested."""

    items: tuple[Item, ...]
    minutes: int

    @property
    def whole_minutes(self) -> tuple[int, ...]:
        """The items' minutes rounded to integers, each at least 1, that sum to the plan's (Hamilton's method)."""
        total = sum(item.minutes for item in self.items)
        shares = [self.minutes * item.minutes / total for item in self.items]
        whole = [max(1, math.floor(share + 1e-9)) for share in shares]
        while (missing := self.minutes - sum(whole)) != 0:
            rest = [share - each for share, each in zip(shares, whole, strict=True)]
            at = rest.index(max(rest)) if missing > 0 else rest.index(min(rest))
            if missing < 0 and whole[at] == 1:  # more items than minutes
                break
            whole[at] += 1 if missing > 0 else -1
        return tuple(whole)


@dataclass(frozen=True, slots=True)
class Gap:
    """A drill is due after ``due_d`` days and overdue after ``late_d``."""

    due_d: float
    late_d: float

    @property
    def middle_d(self) -> float:
        """Target gap in days."""
        return (self.due_d + self.late_d) / 2


def gap(rung: int) -> Gap:
    """Gap of a drill whose level suits ``rung`` (from 1), see the module."""
    lasts_d = min(YEAR_D, WEEK_D * 2.0 ** max(0, rung - WEEK_RUNGS))
    slope = math.log(YEAR_SHARE / WEEK_SHARE) / math.log(YEAR_D / WEEK_D)
    middle_d = lasts_d * WEEK_SHARE * (lasts_d / WEEK_D) ** slope
    return Gap(EARLY * middle_d, LATE * middle_d)


def plan(
    logbook: Logbook | None, learner: str, now: datetime, minutes: int = USUAL_MIN, begin: DrillRung | None = None
) -> Plan:
    """Today's practice at ``now`` (aware, local zone); that of the first day without a logbook or with an empty one.

    ``begin``: result of a placement run; it is in the plan. What was practised today is repeated only as a warm-up
    or to fill the time. ``ValueError`` unless ``minutes`` is 5 to 30.
    """
    if not SHORTEST_MIN <= minutes <= LONGEST_MIN:
        raise ValueError(f"{minutes} minutes: {SHORTEST_MIN} to {LONGEST_MIN} expected")
    done = {} if logbook is None else practised(logbook, learner)
    stands = LearnerLevels({}, Level.about()) if logbook is None else learner_levels(logbook, learner)
    day = now.astimezone(UTC).timestamp() / 86_400
    often = 1.0 if logbook is None else practised_share(logbook, learner, now.date())
    beside = None if logbook is None else beside_s(logbook, learner)
    chooser = _Chooser(done, stands, day, now.date(), minutes, often, BESIDE_S if beside is None else beside, begin)
    return Plan(tuple(chooser.items()), minutes)


def to_begin(tried: Sequence[str], fresh: Level, begin: DrillRung | None = None) -> list[Drill[Any]]:
    """Drills of the ladder that are not in ``tried``, in the order of beginning them.

    Starts at ``begin`` or where ``fresh`` (the prior of a drill not yet tried) says, at most at the lowest drill
    tried; drills below come last.
    """
    start = drills()[(begin or begin_with(fresh)).drill].place
    base = min([start, *(drills()[drill].place for drill in tried)])
    rows = [each for each in _ladder() if each.id not in tried]
    return [each for each in rows if each.place >= base] + [each for each in rows if each.place < base]


def lowest(rungs: Mapping[str, int]) -> str | None:
    """Of drill -> suitable rung, the drill lowest on its own ladder; None for fewer than three drills."""
    if len(rungs) <= 2:
        return None
    return min(rungs, key=lambda drill: (rungs[drill] / len(drills()[drill].rungs), drill))


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

        for row in [*first, *begun, *coming]:
            take(row, places)
        # Fill the time: what is not due, and further drills of the ladder.
        fewest = math.ceil((self.minutes - WARM_UP_MIN) / max(MOST_ITEM_MIN, self.minutes / 4))
        for row in [*self.spare(), *self.ladder()]:
            take(row, fewest)
        each_min = (self.minutes - WARM_UP_MIN) / len(chosen)
        rows = [warm, *((drill, self.rung(drill), reason, why) for drill, reason, why in chosen)]
        takes_min = [self.takes_s(drill, rung) / 60 for drill, rung, _, _ in rows]
        counts = _counts(takes_min, [WARM_UP_MIN] + [each_min] * len(chosen))
        scale = self.minutes / sum(count * each for count, each in zip(counts, takes_min, strict=True))
        return [
            Item(drill, rung, count, count * each * scale, reason, why)
            for (drill, rung, reason, why), count, each in zip(rows, counts, takes_min, strict=True)
        ]

    def takes_s(self, drill: str, rung: int) -> float:
        """Seconds from the start of a trial to the next start."""
        return usual(drill, rung)[1] + (START_S if drills()[drill].kind is Kind.NONE else self.beside_s)

    def rung(self, drill: str) -> int:
        if drill not in self.rungs:
            self.rungs[drill] = self.levels.level(drill).rung(drills()[drill])
        return self.rungs[drill]

    def days_ago(self, drill: str) -> int:
        """Calendar days since the last practice, in any mode."""
        return max(0, (self.today - self.done[drill].last).days)

    def elapsed_d(self, drill: str) -> float:
        """Days since the last answer, or since the day of later busy practice."""
        return min(self.day - self.levels.tried[drill].day, self.days_ago(drill) + 1.0)

    def tried(self) -> list[str]:
        """Drills that count as begun."""
        return [each.id for each in _ladder() if self.levels.level(each.id).answers >= TOLD_FROM]

    def ladder(self) -> list[tuple[str, Reason, Say]]:
        """Drills to begin, in order."""
        rows = to_begin(self.tried(), self.levels.fresh, self.begin)
        return [(each.id, Reason.NEXT, (BEGIN if self._begins(each.id) else NEXT)(asks=each.asks())) for each in rows]

    def _begins(self, drill: str) -> bool:
        return self.begin is not None and self.begin.drill == drill

    def warm_up(self) -> tuple[str, int, Reason, Say]:
        """The drill with the highest level for its place, one rung lower; on the first days, counting along."""
        first = next(iter(sorted(drills().values(), key=lambda each: each.place)))
        tried = self.tried()
        if not tried or (first.kind is Kind.NONE and sum(each.trials for each in self.done.values()) < 20):
            return first.id, 1, Reason.WARM_UP, FIRST()
        surest = max(tried, key=lambda drill: self.levels.level(drill).theta - PLACE_STEP * drills()[drill].place)
        return surest, max(1, self.rung(surest) - 1), Reason.WARM_UP, WARM_UP()

    def due(self) -> list[tuple[str, Reason, Say]]:
        """Drills that are due: the lowest of all first, then the most overdue."""
        found: list[tuple[float, str, Reason, Say]] = []
        weakest = lowest({drill: self.rung(drill) for drill in self.tried()})
        for drill in self.tried():
            gone_d, wait = self.elapsed_d(drill), gap(self.rung(drill))
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
        """Drills to begin, as far as the load allows."""
        tried = self.tried()
        load = sum(1 / gap(self.rung(drill)).middle_d for drill in tried)
        ready = all(self.rung(drill) >= READY_RUNG for drill in tried[-1:])
        found: list[tuple[str, Reason, Say]] = []
        if self.begin is not None:
            found.append((self.begin.drill, Reason.NEXT, BEGIN(asks=drills()[self.begin.drill].asks())))
        for row in self.ladder():
            load += 1 / gap(1).middle_d
            # Up to three on the first day, later one a day.
            if load > places * self.often or len(found) >= (1 if tried and self.begin is None else 3) or not ready:
                break
            if row not in found:
                found.append(row)
        return found

    def spare(self) -> list[tuple[str, Reason, Say]]:
        """Drills that are begun, the nearest to being due first."""
        rows = sorted(self.tried(), key=lambda drill: (-self.elapsed_d(drill) / gap(self.rung(drill)).due_d, drill))
        return [(drill, Reason.SPARE, SPARE()) for drill in rows]


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


def _ladder() -> list[Drill[Any]]:
    """Marked drills in the order of the ladder."""
    return sorted((each for each in drills().values() if each.kind is not Kind.NONE), key=lambda each: each.place)
