"""Today's practice: a few minutes, chosen from what is due, what is weakest and what comes next on the ladder.

When a drill is due. Cepeda et al. 2008 (Psychological Science 19, 1095-1102): what is to be remembered after a week
is best practised again after 20 to 40 % of that week, what is to last a year after 5 to 10 % of the year. A drill on
its first rungs is meant to last a week: it is due 1.4 days after it was last practised and overdue after 2.8. From
``WEEK_RUNGS`` on each rung doubles the time that it is meant to last, up to a year, and the share of it falls from 30
to 7.5 % on a straight line between the two findings (share against time, both as logarithms: our own interpolation).

How much is carried. A drill that is practised every g days takes 1/g of a day's places. A new drill is only begun
while all of them fit into the places that there are on the days on which this learner practises; otherwise
everything would come too late. So the ladder is climbed a few drills at a time, and the next one begins as older
ones need less often to come back.

What is chosen, in this order: a warm-up; what is due, the weakest first and then the most overdue; with one place
kept for the next drill of the ladder, if it fits. Only where there is none of these is it what is weakest though it
is not due: a few things for longer do more than many things too soon. Any of it may be skipped, and nothing is
counted against anybody: what was skipped is due tomorrow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any

from exercises.drill import Drill
from exercises.drills import drills
from exercises.level import PLACE_STEP, Level
from exercises.logbook.history import Practised, practised, practised_share
from exercises.logbook.standing import Standing, rung_for, standing
from exercises.logbook.store import Logbook
from exercises.trial import Kind
from exercises.words import Say, Template

SHORTEST_MIN, USUAL_MIN, LONGEST_MIN = 5, 10, 30
# About how long an item lasts, and a warm-up; and a trial, until the logbook knows better.
ITEM_MIN, WARM_UP_MIN, TRIAL_S = 2.0, 1.5, 45.0
MOST_TRIALS = 12

WEEK_D, YEAR_D = 7.0, 365.0
WEEK_SHARE, YEAR_SHARE = 0.30, 0.075
# The shares of a week are 20 to 40 %, of a year 5 to 10 %: a third to either side of the middle.
EARLY, LATE = 2 / 3, 4 / 3
WEEK_RUNGS = 3
# The drill before it on the ladder has come to this rung when the next one begins.
READY_RUNG = 2

WARM_UP = Template("To warm up: something that goes well by now gets ear and hand going.")
FIRST = Template("To begin with: listen and count along, nothing is marked.")
DUE = Template("Last practised {n} days ago: coming back to it now keeps it longest.")
OVERDUE = Template("Last practised {n} days ago, and it fades by now: a few trials bring it back.")
WEAK = Template("Of what you practise this stands lowest at present: more of it helps most.")
NEXT = Template("Next on the ladder: {asks}")


class Reason(StrEnum):
    """Why something is in the plan."""

    WARM_UP = "warm-up"
    DUE = "due"
    WEAK = "weak"
    NEXT = "next"


@dataclass(frozen=True, slots=True)
class Item:
    """So many trials of a drill on a rung, about ``minutes`` long, and why, in a sentence."""

    drill: str
    rung: int
    trials: int
    minutes: float
    reason: Reason
    why: Say


@dataclass(frozen=True, slots=True)
class Plan:
    """Today's items in order; ``minutes`` were asked for."""

    items: tuple[Item, ...]
    minutes: int


@dataclass(frozen=True, slots=True)
class Gap:
    """When a drill comes back: due after ``due_d`` days, overdue after ``late_d``."""

    due_d: float
    late_d: float

    @property
    def middle_d(self) -> float:
        """The gap that is aimed at."""
        return (self.due_d + self.late_d) / 2


def gap(rung: int) -> Gap:
    """The gap of a drill whose level asks for ``rung`` (from 1): see the head of this file."""
    lasts_d = min(YEAR_D, WEEK_D * 2.0 ** max(0, rung - WEEK_RUNGS))
    slope = math.log(YEAR_SHARE / WEEK_SHARE) / math.log(YEAR_D / WEEK_D)
    middle_d = lasts_d * WEEK_SHARE * (lasts_d / WEEK_D) ** slope
    return Gap(EARLY * middle_d, LATE * middle_d)


def plan(logbook: Logbook | None, learner: str, now: datetime, minutes: int = USUAL_MIN) -> Plan:
    """Today's practice at ``now``, aware and in the zone of the place; that of the first day without a logbook.

    An empty logbook is as none. ``ValueError`` for fewer than 5 or more than 30 minutes. What was begun today already
    is not planned again, but for the warm-up.
    """
    if not SHORTEST_MIN <= minutes <= LONGEST_MIN:
        raise ValueError(f"{minutes} minutes: {SHORTEST_MIN} to {LONGEST_MIN} expected")
    done = {} if logbook is None else practised(logbook, learner)
    stands = Standing({}, Level.about()) if logbook is None else standing(logbook, learner)
    day = now.astimezone(UTC).timestamp() / 86_400
    often = 1.0 if logbook is None else practised_share(logbook, learner, now.date())
    chooser = _Chooser(done, stands, day, minutes, often)
    return Plan(tuple(chooser.items()), minutes)


@dataclass(slots=True)
class _Chooser:
    """The choosing of one plan."""

    done: Mapping[str, Practised]
    standing: Standing
    day: float
    minutes: int
    often: float
    rungs: dict[str, int] = field(default_factory=dict)

    def items(self) -> list[Item]:
        places = max(1, round((self.minutes - WARM_UP_MIN) / ITEM_MIN))
        warm_up = self.warm_up()
        coming, begun, early = self.due(), self.next(places), self.weakest()
        first = coming[: places - 1] if begun else coming
        chosen: list[tuple[str, Reason, Say]] = []
        for each in [*first, *begun, *coming, *early]:
            again = each[0] == warm_up.drill and len(self.tried()) > 1
            room = 1 if each in early else places
            if len(chosen) < room and not again and each[0] not in [drill for drill, _, _ in chosen]:
                chosen.append(each)
        if not chosen:  # everything was practised today: once more what is weakest, or the first drill there is
            chosen = [(each.id, Reason.NEXT, NEXT(asks=each.asks())) for each in _ladder()[:1]]
        each_min = (self.minutes - WARM_UP_MIN) / len(chosen)
        return [warm_up, *(self.item(drill, each_min, reason, why) for drill, reason, why in chosen)]

    def rung(self, drill: str) -> int:
        if drill not in self.rungs:
            self.rungs[drill] = rung_for(self.standing.level(drill), drills()[drill])
        return self.rungs[drill]

    def elapsed_d(self, drill: str) -> float:
        """Days since the last answer."""
        return self.day - self.standing.tried[drill].day

    def tried(self) -> list[str]:
        """What is being learnt: answered before, and still on the ladder."""
        return [each.id for each in _ladder() if each.id in self.standing.tried]

    def warm_up(self) -> Item:
        """The drill that is most surely answered, a rung below; on the first days, listening and counting."""
        first = next(iter(sorted(drills().values(), key=lambda each: each.place)))
        tried = self.tried()
        if not tried or (first.kind is Kind.NONE and sum(each.trials for each in self.done.values()) < 20):
            return self.item(first.id, WARM_UP_MIN, Reason.WARM_UP, FIRST(), rung=1)
        surest = max(tried, key=lambda drill: self.standing.level(drill).theta - PLACE_STEP * drills()[drill].place)
        return self.item(surest, WARM_UP_MIN, Reason.WARM_UP, WARM_UP(), rung=max(1, self.rung(surest) - 1))

    def due(self) -> list[tuple[str, Reason, Say]]:
        """What is due: the one that stands lowest of all first, then by how long it has been waiting."""
        found: list[tuple[float, str, Reason, Say]] = []
        weakest = self.lowest(self.tried())[:1]
        for drill in self.tried():
            gone_d, wait = self.elapsed_d(drill), gap(self.rung(drill))
            if gone_d < wait.due_d:
                continue
            if [drill] == weakest and len(self.tried()) > 2:
                found.append((math.inf, drill, Reason.WEAK, WEAK()))
            else:
                why = OVERDUE if gone_d > wait.late_d else DUE
                found.append((gone_d / wait.late_d, drill, Reason.DUE, why(n=max(2, round(gone_d)))))
        return [(drill, reason, why) for _, drill, reason, why in sorted(found, key=lambda row: (-row[0], row[1]))]

    def next(self, places: int) -> list[tuple[str, Reason, Say]]:
        """Drills to begin, as far as they fit beside what comes back anyway."""
        tried = self.tried()
        load = sum(1 / gap(self.rung(drill)).middle_d for drill in tried)
        ready = all(self.rung(drill) >= READY_RUNG for drill in tried[-1:])
        found: list[tuple[str, Reason, Say]] = []
        for each in _ladder():
            if each.id in self.standing.tried:
                continue
            load += 1 / gap(1).middle_d
            # On the first day three are begun, later one a day.
            if load > places * self.often or len(found) >= (1 if tried else 3) or not ready:
                break
            found.append((each.id, Reason.NEXT, NEXT(asks=each.asks())))
        return found

    def weakest(self) -> list[tuple[str, Reason, Say]]:
        """What stands lowest, of what was not practised within the last hours."""
        tried = [drill for drill in self.tried() if self.elapsed_d(drill) > 0.5]
        return [(drill, Reason.WEAK, WEAK()) for drill in self.lowest(tried)]

    def lowest(self, tried: list[str]) -> list[str]:
        """Drills by how far up their own ladder they stand, lowest first."""
        return sorted(tried, key=lambda drill: (self.rung(drill) / len(drills()[drill].rungs), drill))

    def item(self, drill: str, minutes: float, reason: Reason, why: Say, rung: int | None = None) -> Item:
        known = self.done.get(drill)
        trial_s = max(10.0, known.trial_s) if known is not None and known.trials >= 3 else TRIAL_S
        trials = min(MOST_TRIALS, max(1, round(60 * minutes / trial_s)))
        return Item(drill, self.rung(drill) if rung is None else rung, trials, minutes, reason, why)


def _ladder() -> list[Drill[Any]]:
    """The drills that are marked, in the order of the ladder."""
    return sorted((each for each in drills().values() if each.kind is not Kind.NONE), key=lambda each: each.place)
