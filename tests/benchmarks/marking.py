"""Matching, and keeping in the logbook: what a person waits for between the last tap and the result."""

import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import mir_eval
import numpy as np

from app.demo.simulated import simulate
from exercises.drills import drills
from exercises.logbook.store import Logbook
from exercises.timing.matching import match
from exercises.trial.kept.record import record

WINDOW_S = 0.07  # mir_eval's own for beats


def _taken_ms(work: Callable[[], object], times: int) -> float:
    taken = []
    for _ in range(times):
        begun_s = time.perf_counter()
        work()
        taken.append((time.perf_counter() - begun_s) * 1000)
    return statistics.median(taken)


def tapped(beats: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Beats half a second apart, and taps as people make them: SD 25 ms, 2 % missed, 2 % extra."""
    rng = np.random.default_rng(seed)
    targets_s = 0.5 * np.arange(beats)
    kept = rng.random(beats) > 0.02
    extra_s = rng.uniform(0, beats / 2, beats - int(kept.sum()))
    return targets_s, np.sort(np.concatenate([(targets_s + rng.normal(-0.02, 0.025, beats))[kept], extra_s]))


def scattered(beats: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """As many taps as targets, both anywhere, ten a second: many stretches with a choice to make."""
    rng = np.random.default_rng(seed)
    return np.sort(rng.uniform(0, beats / 10, beats)), np.sort(rng.uniform(0, beats / 10, beats))


def _against(lists: Callable[[int, int], tuple[np.ndarray, np.ndarray]]) -> tuple[float, float]:
    """Our milliseconds for 1 000 against 1 000, and how many times faster than mir_eval in the same run."""
    ratios, ours_ms = [], []
    for seed in range(7):
        targets_s, taps_s = lists(1000, seed)
        pairs, theirs = match(targets_s, taps_s, WINDOW_S), mir_eval.util.match_events(targets_s, taps_s, WINDOW_S)
        if len(pairs) != len(theirs):
            raise RuntimeError(f"{len(pairs)} pairs, mir_eval {len(theirs)}")
        ours_ms.append(_taken_ms(lambda t=targets_s, p=taps_s: match(t, p, WINDOW_S), 9))
        ratios.append(
            _taken_ms(lambda t=targets_s, p=taps_s: mir_eval.util.match_events(t, p, WINDOW_S), 5) / ours_ms[-1]
        )
    return statistics.median(ours_ms), statistics.median(ratios)


def _at_most(value: float, goal: float, unit: str, note: str = "") -> dict:
    return {"value": value, "unit": unit, "goal": f"at most {goal:g}", "met": value <= goal, "note": note}


def _keeping_ms() -> float:
    one = drills()["one"]
    trial = one.make(3, 1)
    answer = simulate("beginner", trial)
    result = one.mark(trial, answer)
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(folder) / "logbook.sqlite3") as logbook:
        when = datetime(2030, 1, 1, tzinfo=UTC)
        return _taken_ms(lambda: logbook.add(record(trial, answer, result, when=when, simulated=True)), 100)


def figures() -> dict[str, dict]:
    """Matching against mir_eval, its growth, and keeping a trial. Making and marking: see drills.py."""
    tapped_ms, tapped_ratio = _against(tapped)
    scattered_ms, scattered_ratio = _against(scattered)
    many, few = tapped(100_000, 1), tapped(1_000, 1)
    growth = _taken_ms(lambda: match(*many, WINDOW_S), 5) / _taken_ms(lambda: match(*few, WINDOW_S), 9)
    return {
        "match_1000_ms": _at_most(tapped_ms, 10, "ms", "taps as people make them"),
        "match_1000_times_faster": {
            "value": tapped_ratio,
            "unit": "x",
            "goal": "at least 10",
            "met": tapped_ratio >= 10,
            "note": "than mir_eval, as many pairs",
        },
        "match_scattered_1000_ms": _at_most(scattered_ms, 10, "ms", f"{scattered_ratio:.1f} x as fast as mir_eval"),
        "match_100000_to_1000": _at_most(growth, 150, "x", "100 would be linear"),
        "trial_kept_ms": _at_most(_keeping_ms(), 15, "ms", "flush to disk included"),
    }
