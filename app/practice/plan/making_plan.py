"""Plans from the logbook, made where it may take a while: in a worker."""

from datetime import datetime
from pathlib import Path

from exercises.learner.chosen import NOTHING_CHOSEN, Chosen
from exercises.learner.placement import DrillRung
from exercises.learner.plan import Plan, plan
from exercises.logbook.store import Logbook
from synth.base.errors import Trouble
from synth.base.words import Say, Template

NOT_READ = Template("today.not_read", "{why} This is therefore the plan of a first day.")


def make_plan(
    path: Path | None,
    learner: str,
    now: datetime,
    minutes: int,
    begin: DrillRung | None = None,
    chosen: Chosen = NOTHING_CHOSEN,
) -> tuple[Plan, tuple[Say, ...]]:
    """A plan from the logbook at ``path``, and a notice if the logbook is unreadable."""
    if path is None:
        return plan(None, learner, now, minutes, begin, chosen), ()
    try:
        with Logbook.open(path) as own:
            return plan(own, learner, now, minutes, begin, chosen), ()
    except Trouble as trouble:
        return plan(None, learner, now, minutes, begin, chosen), (NOT_READ(why=trouble.says),)


def drills_of_plan(
    path: Path | None,
    learner: str,
    now: datetime,
    minutes: int,
    begin: DrillRung | None = None,
    chosen: Chosen = NOTHING_CHOSEN,
) -> tuple[str, ...]:
    """Drills of a plan, in its order; none without a logbook."""
    made, notices = make_plan(path, learner, now, minutes, begin, chosen)
    return () if path is None or notices else tuple(dict.fromkeys(item.drill for item in made.items))
