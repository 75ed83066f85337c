"""What went well in an item of the plan, in numbers; and the rung that a learner has for sure."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from exercises.drills import rung_now
from exercises.forms.drill import Drill
from exercises.learner.drill_level import DrillLevel
from exercises.learner.level import TOLD_FROM, Level
from exercises.learner.spacing import MASTERED, gap
from exercises.learner.stored_levels import LearnerLevels, with_answer
from exercises.logbook.store import Logbook
from exercises.progress.overview import rungs_between
from exercises.trial.kept.record import when_day
from exercises.trial.modes import Mode
from exercises.trial.result import Result
from exercises.trial.trial import Trial
from synth.base.words import Say, Template

RIGHT = Template("gains.right", "{right} of {asked} right this time.")
ONE_BAR = Template("gains.one_bar", "1 bar of silence carried.")
BARS = Template("gains.bars", "{n} bars of silence carried.")
STANDS = Template("gains.stands", "You are on rung {rung} of {rungs}.")
BEGAN = Template("gains.began", "You are on rung {rung} of {rungs}; you began the day on rung {began}.")
LATELY = Template("gains.lately", "On rung {rung} of {rungs}, {right} of your last {asked} were right.")
FOLLOWS = Template("gains.follows", "The rung follows all your answers, so that about four in five come right.")
TOMORROW = Template("gains.tomorrow", "It comes back tomorrow.")
COMES_BACK = Template("gains.comes_back", "It comes back within about {n} days.")
NEW_RUNG = Template("gains.new_rung", "New: rung {rung} of {rungs} is surely yours ({what}).")

# Answers on a rung that are told of: so many at least, and so many at most.
FEWEST_LAST, MOST_LAST = 3, 6
# Answers among which the last practice day is looked for.
MOST_LOOKED_AT = 120
# Up to so many answers in a drill it is told what moves the rung.
EXPLAINED_TO = 8


@dataclass(frozen=True, slots=True)
class Tally:
    """Answers with right or wrong, the right ones, and the silent bars of those that were carried through."""

    right: int = 0
    asked: int = 0
    bars: int = 0

    def __add__(self, other: Tally) -> Tally:
        return Tally(self.right + other.right, self.asked + other.asked, self.bars + other.bars)

    def __sub__(self, other: Tally) -> Tally:
        return Tally(self.right - other.right, self.asked - other.asked, self.bars - other.bars)

    def says(self) -> tuple[Say, ...]:
        """The numbers in sentences; none without an answer."""
        if not self.asked:
            return ()
        bars = (ONE_BAR(),) if self.bars == 1 else (BARS(n=self.bars),) if self.bars else ()
        return (RIGHT(right=self.right, asked=self.asked), *bars)


def tally(trial: Trial, result: Result | None) -> Tally:
    """What one trial adds."""
    if result is None or result.right is None:
        return Tally()
    silent = trial.rules.get("silent_bars")
    bars = int(silent) if result.right and isinstance(silent, int | float) else 0
    return Tally(int(result.right), 1, bars)


def stands(
    level: DrillLevel, drill: Drill[Any], logbook: Logbook | None, learner: str, today: Tally = Tally()
) -> tuple[Say, ...]:
    """The rung that suits a learner, how the last answers on it went, and at first what moves it.

    Nothing while there are too few answers; nothing of the last ones where they are those of ``today``, or where the
    day began on another rung. How near the next rung is, nobody can say: as wide as the level's interval is, the last
    answers bring it nearer and do not decide it.
    """
    if level.answers < TOLD_FROM:
        return ()
    rung, rungs = level.rung(drill), len(drill.rungs)
    said = STANDS(rung=rung, rungs=rungs)
    if logbook is not None:
        began = day_began(logbook, learner, drill) or rung
        last = lately(logbook, learner, drill, rung)
        if began != rung:
            said = BEGAN(rung=rung, rungs=rungs, began=began)
        elif last.asked >= FEWEST_LAST and (last.right, last.asked) != (today.right, today.asked):
            said = LATELY(rung=rung, rungs=rungs, right=last.right, asked=last.asked)
    return (said, FOLLOWS()) if level.answers <= EXPLAINED_TO else (said,)


def lately(logbook: Logbook, learner: str, drill: Drill[Any], rung: int) -> Tally:
    """The last answers on a rung, at most ``MOST_LAST``; ``Trouble`` if the logbook cannot be read."""
    rows = logbook.rows(
        "SELECT json_extract(result, '$.right') AS right FROM trials"
        f" WHERE learner = ? AND drill = ? AND rung_id = ? AND mode != '{Mode.BUSY.value}' AND void IS NULL"
        " AND right IS NOT NULL ORDER BY at DESC, id DESC LIMIT ?",
        (logbook.number(learner), drill.id, drill.rungs[rung - 1].id, MOST_LAST),
    )
    return Tally(sum(bool(right) for (right,) in rows), len(rows))


def day_began(logbook: Logbook, learner: str, drill: Drill[Any]) -> int | None:
    """The rung of the first answer of the latest day, by its number now; None where that is not known.

    ``Trouble`` if the logbook cannot be read.
    """
    dated = _dated(logbook, learner, drill)
    first = [rung for day, (rung, drums), _ in dated if drums and day == dated[0][0]][-1:]
    return rung_now(drill.id, first[0]) if first else None


def last_time(logbook: Logbook, learner: str, drill: Drill[Any]) -> Tally:
    """The answers of the last day before the latest one on which that one's rung was practised, on that rung.

    None where the latest day had several rungs, or drums and records: such numbers say nothing of each other.
    Nothing is claimed from them: with so few answers chance alone makes differences. ``Trouble`` if the logbook
    cannot be read.
    """
    dated = _dated(logbook, learner, drill)
    latest = {rung for day, rung, _ in dated if day == dated[0][0]}
    before = [(day, right) for day, rung, right in dated if day != dated[0][0] and {rung} == latest]
    that_day = [right for day, right in before if day == before[0][0]]
    return Tally(sum(that_day), len(that_day))


def _dated(logbook: Logbook, learner: str, drill: Drill[Any]) -> list[tuple[date, tuple[str, bool], bool]]:
    """The latest answers, the last one first: local day; id of the rung, whether on drums; whether right."""
    rows = logbook.rows(
        "SELECT rung_id, recording IS NULL, at, json_extract(result, '$.right') AS right FROM trials"
        f" WHERE learner = ? AND drill = ? AND mode != '{Mode.BUSY.value}' AND void IS NULL"
        " AND right IS NOT NULL ORDER BY at DESC, id DESC LIMIT ?",
        (logbook.number(learner), drill.id, MOST_LOOKED_AT),
    )
    return [
        (datetime.fromisoformat(at).astimezone().date(), (rung, bool(drums)), bool(right))
        for rung, drums, at, right in rows
    ]


def comes_back(level: DrillLevel, drill: Drill[Any]) -> Say:
    """When a drill is due again after today's practice."""
    rung = level.rung(drill)
    days = math.ceil(gap(MASTERED if rung > drill.main_rungs else rung).due_d / drill.often)
    return TOMORROW() if days <= 1 else COMES_BACK(n=days)


def sure(level: DrillLevel, drill: Drill[Any]) -> int:
    """The rung that the lower bound of the level's 95 % interval has passed; at least 1."""
    if level.answers < TOLD_FROM:
        return 1
    return max(1, math.floor(level.rung(drill) + rungs_between(level)[0]))


def new_rung(
    before: LearnerLevels | None, after: LearnerLevels, drill: Drill[Any], logbook: Logbook | None, learner: str
) -> Say | None:
    """Says that the last answer brought a rung that the learner had never had for sure; else None.

    ``before`` and ``after`` are the levels around that answer. Earlier answers are gone through again: a level that
    falls and rises announces nothing twice.
    """
    rung = sure(after.level(drill.id), drill)
    if before is None or rung <= sure(before.level(drill.id), drill):
        return None
    if logbook is not None and rung <= _surest(logbook, learner, drill):
        return None
    return NEW_RUNG(rung=rung, rungs=len(drill.rungs), what=drill.rungs[rung - 1].new())


def _surest(logbook: Logbook, learner: str, drill: Drill[Any]) -> int:
    """The highest rung ever sure before the last answer."""
    rows = logbook.rows(
        "SELECT rung_id, at, json_extract(result, '$.right') AS right FROM trials"
        f" WHERE learner = ? AND drill = ? AND recording IS NULL AND mode != '{Mode.BUSY.value}' AND void IS NULL"
        " AND right IS NOT NULL ORDER BY at, id",
        (logbook.number(learner), drill.id),
    )
    found, dated = 1, None
    for rung_id, at, right in rows[:-1]:
        if (rung := rung_now(drill.id, rung_id)) is not None:
            dated = with_answer(dated, Level.about(), drill.id, rung, bool(right), when_day(at))
            found = max(found, sure(dated.level.another_day(), drill))
    return found
