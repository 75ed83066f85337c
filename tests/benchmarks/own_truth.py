"""A trial's own truth: how large it is in the logbook, and what it takes to make and to read it."""

import json
import statistics
import time
from typing import Any

from exercises.drills import drills
from exercises.trial.kept.truth import kept_truth, truth_of

SEEDS = 3


def figures() -> dict[str, dict[str, Any]]:
    """Sizes over all drills and rungs, and CPU milliseconds of a trial."""
    sizes: dict[str, list[int]] = {}
    taken_s = {"made": 0.0, "written": 0.0, "read": 0.0}
    for each in drills().values():
        for seed in range(SEEDS * len(each.rungs)):
            begun_s = time.process_time()
            trial = each.make(1 + seed % len(each.rungs), seed)
            made_s = time.process_time()
            truth = truth_of(trial)
            if truth is None:
                raise RuntimeError(f"{each.id}, rung {trial.rung}, seed {seed}: the truth cannot be kept")
            text = json.dumps(truth.to_json(), separators=(",", ":"))
            written_s = time.process_time()
            kept_truth(json.loads(text)).trial(each.id, trial.rung, seed, trial.version, trial.groove)
            taken_s["made"] += made_s - begun_s
            taken_s["written"] += written_s - made_s
            taken_s["read"] += time.process_time() - written_s
            sizes.setdefault(each.id, []).append(len(text))
    every = [size for of_drill in sizes.values() for size in of_drill]
    usual, most = statistics.median(every), max(every)
    largest = max(sizes, key=lambda name: max(sizes[name]))
    return {
        "size_bytes": {"value": usual, "unit": "bytes", "goal": "at most 1000", "met": usual <= 1000},
        "size_of_the_largest_bytes": {"value": most, "unit": "bytes", "note": largest},
        **{f"{name}_ms": {"value": 1000 * s / len(every), "unit": "ms"} for name, s in taken_s.items()},
    }
