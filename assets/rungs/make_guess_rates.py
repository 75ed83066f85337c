"""Makes guess_rates.json, what is right without counting: ``python -m assets.rungs.make_guess_rates``.

Drill -> id of the rung -> share of the best of ``blind.shares``, to be made again after a change of sound or rungs.
Where answers are chosen, a standard error is taken off for the luck of the best of many strategies; where none is
surely better than guessing an answer, that is the rate. With names of drills only those are made.
"""

import json
import sys
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from assets.rungs.blind import shares
from exercises.drills import drill, marked_drills
from exercises.forms.drill import Drill
from exercises.trial.trial import Kind, Trial

TABLE = Path(__file__).with_name("guess_rates.json")
# Of drills that are answered by taps, and of the others, in which the luck of the draw favours one of few answers.
TAPPED, ANSWERED = 36, 200
# SDs by which a strategy must be better than guessing an answer.
SURE = 2.5
# A rung on which guessing is nearly always right would tell nothing.
MOST = 0.9


def seeds(one: Drill[Any]) -> range:
    """Seeds of the trials that are looked at on every rung of a drill."""
    return range(TAPPED if one.kind in (Kind.TAPS, Kind.PRESS) else ANSWERED)


def rate(drill_id: str, rung: int) -> float:
    """Guess rate of a rung."""
    one = drill(drill_id)
    return rate_of(one, one.make(rung, 1), shares(drill_id, rung, seeds(one)))


def rate_of(one: Drill[Any], example: Trial, found_right: dict[str, npt.NDArray[np.bool_]]) -> float:
    """Guess rate from which trials strategies had right, and an example of them."""
    rights = np.array(list(found_right.values()), dtype=float)
    best, guessed = float(rights.mean(axis=1).max()), one.chance(example)
    error = (guessed * (1 - guessed) / rights.shape[1]) ** 0.5
    found = best if one.kind in (Kind.TAPS, Kind.PRESS) else best - error
    sure = best > guessed + SURE * error
    return round(min(MOST, found if sure else guessed), 3)


def main() -> None:
    """Write the table."""
    table = json.loads(TABLE.read_text(encoding="utf-8")) if TABLE.exists() else {}
    for one in [drill(id) for id in sys.argv[1:]] or marked_drills():
        table[one.id] = {row.id: rate(one.id, rung) for rung, row in enumerate(one.rungs, 1)}
        print(one.id, table[one.id], flush=True)
        ordered = {each.id: table[each.id] for each in marked_drills() if each.id in table}
        TABLE.write_text(json.dumps(ordered, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
