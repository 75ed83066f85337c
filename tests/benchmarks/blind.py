"""Strategies that count nothing (``assets.rungs.blind``): their share right, and how far they climb.

For each drill and rung the share right of the best strategies over the trials of ``make_guess_rates.seeds`` against
the guess rate that the level engine assumes. Then for each drill the strategies that do best on its first rungs, and
one that takes the best of each rung, practise ``LEARNERS`` times ``PRACTISED`` trials with the engine itself (seed
``SEED``): the rung at the end, and by how much the level over all drills rises.
"""

import numpy as np

from assets.rungs.blind import shares
from assets.rungs.make_guess_rates import seeds
from exercises.drills import marked_drills
from exercises.learner.drill_level import DrillLevel
from exercises.learner.level import Level, chance_of, difficulty

LEARNERS, PRACTISED, SEED = 200, 60, 16
STRATEGIES = 3  # that practise, besides the best of each rung
MEDIAN_MOST, P95_MOST, RISE_MOST, OVER_MOST = 2, 3, 0.3, 0.1


def practised(drill, rights, rng):
    """Rung at the end and rise of the level over all drills of one learner; ``rights`` by rung."""
    whole = Level.about()
    level, begins = DrillLevel.fresh(drill, whole), whole.theta
    for _ in range(PRACTISED):
        rung = level.rung(drill)
        right = bool(rng.choice(rights[rung - 1]))
        chance = chance_of(drill.id, rung)
        level, whole = level.after(right, rung, chance), whole.after(right, difficulty(drill, rung), chance)
    return level.rung(drill), whole.theta - begins


def figures():
    """By drill: the shares of every rung, and what practice does."""
    found = {}
    for drill in marked_drills():
        by_rung = [shares(drill.id, rung, seeds(drill)) for rung in range(1, len(drill.rungs) + 1)]
        names = list(dict.fromkeys(name for rights in by_rung for name in rights))
        none = np.zeros(len(seeds(drill)), dtype=bool)
        for rung, rights in enumerate(by_rung, 1):
            best = sorted(rights, key=lambda name: -rights[name].mean())[:4]
            share, declared = float(rights[best[0]].mean()), chance_of(drill.id, rung)
            found[f"{drill.id}_{rung}_share"] = {
                "value": share,
                "goal": f"declared {declared:.2f}",
                "met": share <= declared + OVER_MOST,
                "note": ", ".join(f"{name} {rights[name].mean():.2f}" for name in best),
                "strategies": {name: float(each.mean()) for name, each in rights.items()},
            }
        first = sorted(names, key=lambda name: -sum(float(each.get(name, none).mean()) for each in by_rung[:3]))
        players = {name: [each.get(name, none) for each in by_rung] for name in first[:STRATEGIES]}
        players["best of each rung"] = [max(each.values(), key=np.mean) for each in by_rung]
        ends, rises, notes = [], [], []
        for name, rights in players.items():
            rng = np.random.default_rng([SEED, drill.place])
            done = np.array([practised(drill, rights, rng) for _ in range(LEARNERS)])
            median, p95 = np.percentile(done[:, 0], [50, 95])
            ends.append((median, p95))
            rises.append(float(np.mean(done[:, 1])))
            notes.append(f"{name}: {median:.0f}, {p95:.0f}, {rises[-1]:+.2f}")
        median, p95 = (max(each) for each in zip(*ends, strict=True))
        note = "; ".join(notes)
        found[f"{drill.id}_rung_median"] = _most(median, MEDIAN_MOST, "rung", note)
        found[f"{drill.id}_rung_p95"] = _most(p95, P95_MOST, "rung")
        found[f"{drill.id}_level_rise"] = _most(max(rises), RISE_MOST, "logits")
    return found


def _most(value, most, unit, note=""):
    return {"value": float(value), "unit": unit, "goal": f"at most {most}", "met": value <= most, "note": note}
