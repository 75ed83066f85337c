"""Where a learner stands on the ladder: what to begin next, and which drill is the lowest."""

from collections.abc import Mapping, Sequence
from typing import Any

from exercises.drills import drills, marked_drills
from exercises.forms.drill import Drill
from exercises.learner.level import Level
from exercises.learner.placement import DrillRung, begin_with


def to_begin(tried: Sequence[str], fresh: Level, begin: DrillRung | None = None) -> list[Drill[Any]]:
    """Drills of the ladder that are not in ``tried``, in the order of beginning them.

    Starts at ``begin`` or where ``fresh`` (the prior of a drill not yet tried) says, at most at the lowest drill
    tried; drills below come last.
    """
    start = drills()[(begin or begin_with(fresh)).drill].ladder
    base = min([start, *(drills()[drill].ladder for drill in tried)])
    rows = [each for each in marked_drills() if each.id not in tried]
    return [each for each in rows if each.ladder >= base] + [each for each in rows if each.ladder < base]


def lowest(rungs: Mapping[str, int]) -> str | None:
    """Of drill -> suitable rung, the drill lowest on its own ladder; None for fewer than three drills."""
    if len(rungs) <= 2:
        return None
    return min(rungs, key=lambda drill: (rungs[drill] / len(drills()[drill].rungs), drill))
