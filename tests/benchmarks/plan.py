"""Eight weeks of today's plan, ten minutes on five days a week, followed by simulated learners of four kinds.

A learner's level in a drill is the general one, which rises with practice, and the drill's own offset. An answer is
right with the probability that the model of ``exercises.learner.level`` gives for that level: what is simulated is
the way through the drills, not the hearing. Every learner has a seed; none of them is a person.
"""

import math
import tempfile
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from exercises.drills import drills, marked_drills
from exercises.learner.level import chance_of, difficulty, expected, usual
from exercises.learner.plan import BESIDE_S, START_S, plan
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import TrialRecord
from exercises.trial.trial import Answer, Kind
from exercises.trial.versions import VERSION

WEEKS, DAYS, MINUTES = 8, (0, 1, 2, 3, 4), 10
LEARNERS = 8  # of each kind
BEGIN = datetime(2031, 3, 3, 18, tzinfo=UTC)  # a Monday
SEED = 20
ONE_BY, BRING_IN_BY, BEGUN_LEAST, DRUM_MOST, DRILL_MOST = 3, 5, 12, 0.08, 0.15


@dataclass(frozen=True)
class Population:
    """Learners whose general level rises from ``begins`` to ``ends`` logits with a time constant of ``trials``.

    ``uneven``: SD of the drills' offsets. ``stuck``: a drill that this learner never gets, by its offset.
    """

    name: str
    begins: float
    ends: float
    trials: float
    uneven: float = 0.8
    stuck: float = 0.0


KINDS = (
    Population("average", 1.0, 4.5, 300),
    Population("slow", 0.0, 2.5, 500),
    Population("quick", 2.0, 7.0, 200),
    Population("stuck in one drill", 1.0, 4.0, 300, stuck=-4.0),
)


@dataclass
class Way:
    """What one learner did: for each practice day the minutes of each drill, and the drills with an answer so far."""

    minutes: list[Counter[str]]
    begun: list[set[str]]
    answers: Counter[str]

    def first_day(self, drill: str) -> float:
        """Practice day (from 1) on which a drill was met."""
        return next((day for day, begun in enumerate(self.begun, 1) if drill in begun), math.inf)

    def largest_share(self) -> tuple[float, str]:
        """The largest share of one drill in any four weeks."""
        most = (0.0, "")
        for day in range(len(self.minutes) - 4 * len(DAYS) + 1):
            total: Counter[str] = Counter()
            for each in self.minutes[day : day + 4 * len(DAYS)]:
                total += each
            drill, minutes = total.most_common(1)[0]
            most = max(most, (minutes / total.total(), drill))
        return most

    def share_of(self, drill: str) -> float:
        """Share of a drill in the time after the first week."""
        total: Counter[str] = sum(self.minutes[len(DAYS) :], Counter())
        return total[drill] / total.total()


def way(kind: Population, seed: int) -> Way:
    """The eight weeks of one learner."""
    random = np.random.default_rng([SEED, KINDS.index(kind), seed])
    marked = [each.id for each in marked_drills()]
    offsets = dict(zip(marked, random.normal(0, kind.uneven, len(marked)), strict=True))
    if kind.stuck:
        offsets[marked[seed % len(marked)]] = kind.stuck
    found = Way([], [], Counter())
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(folder) / "logbook.sqlite3") as logbook:
        for day in range(7 * WEEKS):
            if day % 7 not in DAYS:
                continue
            now = BEGIN + timedelta(days=day, minutes=int(random.integers(120)))
            spent: Counter[str] = Counter()
            rows = []
            for item in plan(logbook, "me", now, MINUTES).items:
                one = drills()[item.drill]
                sound_s = usual(item.drill, item.rung)[1]
                takes_s = sound_s + (START_S if one.kind is Kind.NONE else BESIDE_S)
                for _ in range(item.trials):
                    now += timedelta(seconds=takes_s)
                    spent[item.drill] += takes_s / 60
                    if one.kind is Kind.NONE:
                        continue
                    level = kind.ends + (kind.begins - kind.ends) * math.exp(-found.answers.total() / kind.trials)
                    share = expected(
                        level + offsets[item.drill], difficulty(one, item.rung), chance_of(item.drill, item.rung)
                    )
                    found.answers[item.drill] += 1
                    rows.append(row(item.drill, item.rung, now, bool(random.random() < share), sound_s, takes_s))
            logbook.add_all(rows)
            found.minutes.append(spent)
            found.begun.append(set(found.answers))
    return found


def row(drill: str, rung: int, now: datetime, right: bool, sound_s: float, takes_s: float) -> TrialRecord:
    """A simulated trial as the logbook keeps it."""
    return TrialRecord(
        now.strftime("%Y-%m-%dT%H:%M:%SZ"),
        drill,
        rung,
        1,
        VERSION,
        "simulated",
        120.0,
        Answer(),
        {"right": right},
        simulated=True,
        sound_s=sound_s,
        spent_s=takes_s,
    )


def figures() -> dict[str, dict]:
    """The goals of the plan over all learners."""
    ways = {kind: [way(kind, seed) for seed in range(LEARNERS)] for kind in KINDS}
    everybody = [each for of_kind in ways.values() for each in of_kind]
    average = ways[KINDS[0]]

    def figure(value: float, goal: str, met: bool, unit: str = "", note: str = "") -> dict:
        return {"value": value, "unit": unit, "goal": goal, "met": met, "note": note}

    one = max(each.first_day("one") for each in everybody)
    bring_in = max(each.first_day("bring-in") for each in everybody)
    begun = min(len(each.begun[-1]) for each in average)
    drum = max(each.share_of("drum") for each in everybody)
    share, drill = max(each.largest_share() for each in everybody)
    fewest = min(len(each.begun[-1]) for each in everybody)
    return {
        "one_met_on_day": figure(one, f"at most {ONE_BY}", one <= ONE_BY, "days", f"the latest of {len(everybody)}"),
        "bring_in_met_on_day": figure(bring_in, f"at most {BRING_IN_BY}", bring_in <= BRING_IN_BY, "days"),
        "begun_in_eight_weeks": figure(
            begun, f"at least {BEGUN_LEAST}", begun >= BEGUN_LEAST, "drills", f"average learners; of all {fewest}"
        ),
        "drum_after_first_week": figure(drum, f"at most {DRUM_MOST}", drum <= DRUM_MOST, "of time", "the largest"),
        "one_drill_in_four_weeks": figure(share, f"at most {DRILL_MOST}", share <= DRILL_MOST, "of time", drill),
    }
