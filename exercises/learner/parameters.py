"""Parameters of the level engine, from the file that ships with the program; logits throughout."""

import json
from dataclasses import dataclass, fields
from functools import lru_cache
from pathlib import Path

PATH = Path(__file__).parents[2] / "assets" / "levels" / "parameters.json"


@dataclass(frozen=True, slots=True)
class Parameters:
    """What the difficulties of the rungs are believed to be, and how levels move.

    A rung is ``rung_step`` harder than the one below, a drill ``place_step`` a place of the ladder. ``rung_sd`` is
    the SD of each rung's difficulty about that, ``day_sd`` that of a learner's form from day to day. ``trial_walk``
    and ``day_walk`` are the SDs of the random walk of the level, per trial and per square root of a day.
    """

    rung_step: float
    place_step: float
    rung_sd: float
    day_sd: float
    trial_walk: float
    day_walk: float


@lru_cache(maxsize=1)
def parameters() -> Parameters:
    """The parameters that ship with the program. ``source`` in the file says where they come from."""
    known = json.loads(PATH.read_text(encoding="utf-8"))
    return Parameters(*(float(known[each.name]) for each in fields(Parameters)))
