"""Who is told that the taps lie closer together, or further apart: learners who do not change, and who do.

A learner practises one drill on five days a week for eight weeks, six trials a day. The spread of a trial is 4.5 % of
the beat, times an effect of the day (SD 10 %, correlated from day to day by rho) and one of the trial (SD 20 %), as
measured on 14 taps (normal errors). Everybody looks every five days, from the tenth on. Where the worlds differ:

- ``rho ...``: rungs 3 and 4 of the drill "beat" day by day in turn, at the tempo of the rung.
- ``climb``: independent days; one rung further up every six days, from the first; the share of the beat stays, so
  that the spread in ms falls as the tempo rises.
- ``device``: independent days; from day 20 on another device, on which the spread is 30 % smaller.
- A true fall of 30 or 50 % is linear in the logarithm over the 40 days.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from exercises.drills import drill
from exercises.progress.change import Change, SpreadRow, spread_change

DAYS, TRIALS, TAPS, SHARE = 40, 6, 14, 0.045
DAY_SD, TRIAL_SD = 0.10, 0.20
LOOKS = range(10, DAYS + 1, 5)
FLAT, CHANGING = 400, 200  # learners of each world
SEED = 16


@dataclass(frozen=True)
class World:
    """Learners whose spread falls by the share ``falls``; see the module."""

    name: str
    rho: float = 0.0
    falls: float = 0.0
    climbs: bool = False
    device: float = 0.0


FLAT_WORLDS = (
    *(World(f"rho {rho:g}", rho) for rho in (0.0, 0.3, 0.6, 0.8)),
    World("climb", climbs=True),
    World("device", device=0.3),
)
CHANGING_WORLDS = tuple(
    World(f"{100 * falls:.0f} % rho {rho:g}", rho, falls) for falls in (0.3, 0.5) for rho in (0.0, 0.3, 0.6, 0.8)
)
# Shares of learners told closer and wider by the permutation test of version 0.2.0, and of a best week (100 flat
# learners of a world, 40 changing ones).
BEFORE = {
    "rho 0": (0.07, 0, 0.96),
    "rho 0.3": (0.03, 0.02, 0.92),
    "rho 0.6": (0.08, 0.06, 0.94),
    "rho 0.8": (0.16, 0.08, 0.86),
    "climb": (0, 0.29, 0.69),
    "device": (0.04, 0, 0.86),
    "30 % rho 0": (0.88, 0, 1),
    "30 % rho 0.3": (0.85, 0, 1),
    "30 % rho 0.6": (0.9, 0.03, 1),
    "30 % rho 0.8": (0.85, 0, 1),
    "50 % rho 0": (1, 0, 1),
    "50 % rho 0.3": (1, 0, 1),
    "50 % rho 0.6": (1, 0, 1),
    "50 % rho 0.8": (0.95, 0, 1),
}


def learners(world: World, how_many: int) -> Iterator[list[SpreadRow]]:
    """The trials of each learner of a world."""
    rungs = drill("beat").rungs
    for learner in range(how_many):
        random = np.random.default_rng([SEED, *world.name.encode(), learner])
        effect = random.standard_normal()
        rows = []
        for day in range(DAYS):
            if day:
                effect = world.rho * effect + math.sqrt(1 - world.rho**2) * random.standard_normal()
            rung = 1 + day // 6 if world.climbs else 3 + day % 2
            for _ in range(TRIALS):
                tempo_bpm = random.uniform(*rungs[rung - 1].tempo_bpm)
                errors = random.standard_normal(TAPS).std(ddof=1)
                share = SHARE * errors * math.exp(DAY_SD * effect + TRIAL_SD * random.standard_normal())
                share *= (1 - world.falls) ** (day / (DAYS - 1))
                second = bool(world.device) and day >= DAYS // 2
                share *= 1 - world.device if second else 1
                rows.append(SpreadRow(day, rung, int(second), tempo_bpm, 60_000 / tempo_bpm * share))
        yield rows


def looks(rows: list[SpreadRow]) -> list[Change | None]:
    """The judgement at each look."""
    return [spread_change([row for row in rows if row.day < days]) for days in LOOKS]


def figures() -> dict[str, dict]:
    """How many are ever called, and how many of those who change."""
    found = {}
    for world in (*FLAT_WORLDS, *CHANGING_WORLDS):
        many = CHANGING if world.falls else FLAT
        seen = [[0 if each is None else each.called for each in looks(rows)] for rows in learners(world, many)]
        closer, wider = (float(np.mean([way in called for called in seen])) for way in (-1, 1))
        least = {0.3: 0.5, 0.5: 0.95}.get(world.falls) if world.rho <= 0.3 else None
        before = "closer {:g}, wider {:g}, a best week {:g}".format(*BEFORE[world.name])
        value = closer if world.falls else float(np.mean([any(called) for called in seen]))
        met = (least is None or value >= least) if world.falls else value <= 0.05
        found[f"called_{world.name.replace(' ', '_').replace('_%', '')}"] = {
            "value": value,
            "unit": "of all",
            "goal": "at most 0.05" if not world.falls else "" if least is None else f"at least {least:g}",
            "met": met if least is not None or not world.falls else None,
            "note": f"{many} learners; closer {closer:.3f}, wider {wider:.3f}; before: {before}",
        }
    return found
