"""How long it takes to make, to render and to mark a trial of every drill, over all its rungs."""

import statistics
from functools import partial
from time import perf_counter

from app.demo.simulated import simulate
from exercises.drills import drills
from exercises.trial.trial import Kind

SEEDS = range(3)


def _ms(call) -> float:
    began = perf_counter()
    call()
    return 1000 * (perf_counter() - began)


def _figure(by_drill: dict[str, list[float]], goal_ms: float) -> dict:
    """The median over all trials of all drills, held to the goal; the slowest drill's own median as a note."""
    medians = {id: statistics.median(times) for id, times in by_drill.items()}
    slowest = max(medians, key=lambda id: medians[id])
    value = statistics.median(time for times in by_drill.values() for time in times)
    return {
        "value": value,
        "unit": "ms",
        "goal": f"at most {goal_ms:g}",
        "met": value <= goal_ms,
        "note": f"median of all; slowest drill {slowest}: {medians[slowest]:.3g} ms",
    }


def figures() -> dict[str, dict]:
    """Every drill, every rung, three seeds: making alone, making and rendering at 48 kHz, marking, the blend."""
    made: dict[str, list[float]] = {}
    heard: dict[str, list[float]] = {}
    marked: dict[str, list[float]] = {}
    blended: dict[str, list[float]] = {}
    for one in drills().values():
        for rung in range(1, len(one.rungs) + 1):
            # Every drum of a kit is rendered once a session: not part of a trial.
            one.make(rung, 99).samples()
            for seed in SEEDS:
                make_ms = _ms(partial(one.make, rung, seed))
                trial = one.make(rung, seed)
                made.setdefault(one.id, []).append(make_ms)
                heard.setdefault(one.id, []).append(make_ms + _ms(trial.samples))
                if one.kind is Kind.NONE:
                    continue
                for name in ("perfect", "random"):
                    mark = partial(one.mark, trial, simulate(name, trial))
                    marked.setdefault(one.id, []).append(_ms(mark))
                if trial.entry is not None:
                    press_s = float(trial.targets_s[0])
                    blended.setdefault(one.id, []).append(_ms(partial(trial.blend, press_s)))
    return {
        "trial_made_ms": _figure(made, 80),
        "trial_made_and_rendered_ms": _figure(heard, 80),
        "trial_marked_ms": _figure(marked, 5),
        "blend_rendered_ms": _figure(blended, 200),
    }
