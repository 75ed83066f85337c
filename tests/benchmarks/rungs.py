"""The order of the rungs for three listeners written down in ``assets.rungs.listener``: difficulty rises with each.

For each drill the least step of difficulty between neighbouring rungs, over all listeners, in logits; in the note the
rungs in order, and their difficulties for each listener.
"""

from itertools import pairwise

from assets.rungs.listener import LISTENERS, difficulty
from exercises.drills import marked_drills


def figures():
    """By drill: the least step, and the order."""
    found = {}
    for drill in marked_drills():
        hard = {who.name: [difficulty(who, drill.id, row) for row in drill.rungs] for who in LISTENERS}
        steps = [later - earlier for each in hard.values() for earlier, later in pairwise(each)]
        listed = "; ".join(f"{who}: {' '.join(f'{logit:+.1f}' for logit in each)}" for who, each in hard.items())
        found[f"{drill.id}_least_step"] = {
            "value": min(steps),
            "unit": "logits",
            "goal": "more than 0",
            "met": min(steps) > 0,
            "note": f"{', '.join(row.id for row in drill.rungs)}; {listed}",
        }
        seconds = drill.make(1, 1).count.end_s
        found[f"{drill.id}_first_rung_lasts"] = {"value": seconds, "unit": "s"}
    return found
