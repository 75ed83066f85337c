"""A learner's logbook at a glance: where they stand in every drill, and what to work on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from exercises.drills import marked_drills
from exercises.learner.drill_level import Z95, DrillLevel
from exercises.learner.ladder import lowest, to_begin
from exercises.learner.level import RUNG_STEP, TOLD_FROM, Level
from exercises.learner.reasons import NEXT, WEAK
from exercises.learner.stored_levels import LearnerLevels
from exercises.logbook.history import Practised
from exercises.logbook.store import Logbook
from exercises.progress.mistakes import Mistakes
from synth.base.words import Say

MOST_TASKS = 5


@dataclass(frozen=True, slots=True)
class LadderRow:
    """A drill as a row of the ladder: the rung that suits the learner, and the rungs between which their level lies.

    ``low`` and ``high`` (1 to ``rungs``, not whole) hold the level with 95 % probability; ``rung`` is None before
    there are answers enough. ``answers`` counts those with right or wrong.
    """

    drill: str
    rungs: int
    rung: int | None
    low: float
    high: float
    answers: int
    last: date | None


@dataclass(frozen=True, slots=True)
class Suggestion:
    """Something to work on in a drill, and why, in a sentence."""

    drill: str
    say: Say


def ladder(levels: LearnerLevels, done: Mapping[str, Practised]) -> tuple[LadderRow, ...]:
    """A row for each marked drill, in the order of the ladder."""
    rows = []
    for each in marked_drills():
        level, practised = levels.level(each.id), done.get(each.id)
        last = None if practised is None else practised.last
        if level.answers < TOLD_FROM:
            rows.append(LadderRow(each.id, len(each.rungs), None, 1.0, 1.0, level.answers, last))
            continue
        rung = level.rung(each)
        low, high = (min(max(rung + off, 1.0), float(len(each.rungs))) for off in rungs_between(level))
        rows.append(LadderRow(each.id, len(each.rungs), rung, low, high, level.answers, last))
    return tuple(rows)


def rungs_between(level: DrillLevel) -> tuple[float, float]:
    """How far, in rungs, the level may lie below (negative) and above its mean with 95 % probability."""
    give = Z95 * level.sd / RUNG_STEP
    return -give, give


def tasks(
    places: Sequence[LadderRow], wrong: Mapping[str, Mistakes], fresh: Level, most: int = MOST_TASKS
) -> tuple[Suggestion, ...]:
    """What to work on: what stands lowest, mistakes that stand out, what comes next on the ladder.

    ``fresh``: what is expected of a drill not yet tried.
    """
    reached = {each.drill: each.rung for each in places if each.rung is not None}
    weakest = lowest(reached)
    found = [] if weakest is None else [Suggestion(weakest, WEAK())]
    for each in places:
        if each.drill in wrong:
            found += [Suggestion(each.drill, say) for say in wrong[each.drill].verdict]
    coming = [Suggestion(each.id, NEXT(asks=each.asks())) for each in to_begin(list(reached), fresh)[:1]]
    return tuple(found[: most - len(coming)] + coming)


def invented(logbook: Logbook, learner: str) -> int:
    """How many trials of a learner are simulated."""
    ((n,),) = logbook.rows(
        "SELECT count(*) FROM trials WHERE learner = ? AND simulated = 1",
        (logbook.number(learner),),
    )
    return int(n)
