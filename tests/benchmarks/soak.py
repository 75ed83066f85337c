"""A long sitting on the desk: memory, drift between the clock's line and the recording, faults.

Two minutes, or as many seconds as TALLYBAR_SOAK_S says (1800 for the half hour). Memory is the resident size of a
process that does nothing but play; the first quarter is warm-up.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).parents[2]
SECONDS = float(os.environ.get("TALLYBAR_SOAK_S", "120"))
GOAL_DRIFT_MS, GOAL_MB_AN_HOUR = 1.0, 5.0


def burst() -> np.ndarray:
    """A quarter of a second of fading noise."""
    noise = np.random.default_rng(1).uniform(-0.5, 0.5, 12_000)
    return (noise * np.exp(-np.arange(12_000) / 3_000)).astype(np.float32)


def resident_mb() -> float:
    """Memory of this process."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def sit() -> None:
    """In a process on the desk: trials of a second and a half one after the other, a line of JSON for each."""
    from synth.playback import Player, settle

    settle()
    with Player() as player:
        player.gain = 1.0
        end_s = time.perf_counter() + SECONDS
        time.sleep(2)
        while time.perf_counter() < end_s:
            player.play(np.concatenate([burst(), np.zeros(48_000, np.float32)]), delay_s=0.1)
            while player.playing:
                time.sleep(0.015)
                player.poll()
            print(json.dumps([player.heard_start_s(), resident_mb(), player.faults]), flush=True)


def figures(seconds: float = SECONDS) -> dict[str, dict[str, Any]]:
    """Growth of memory, drift, and the share of trials that were void."""
    from tests.end_to_end.desk import RATE_HZ, Desk, Recorder, lead_of, missing

    if missing():
        return {"drift_ms": {"value": None, "unit": "ms", "met": None, "note": missing()}}
    rows, off_ms = [], []
    with tempfile.TemporaryDirectory() as folder, Desk(Path(folder)) as desk, Recorder(desk) as recorder:
        sitting = subprocess.Popen(
            [sys.executable, __file__],
            env=desk.env | {"PYTHONPATH": str(ROOT), "TALLYBAR_SOAK_S": str(seconds)},
            stdout=subprocess.PIPE,
            text=True,
        )
        places: list[tuple[float, float]] = []
        assert sitting.stdout is not None
        for text in sitting.stdout:
            start_s, memory_mb, faults = json.loads(text)
            rows.append((start_s, memory_mb, tuple(faults)))
            origin_s, sample_s = recorder.line()
            near = int((start_s - origin_s) / sample_s) - RATE_HZ // 4
            recorded = recorder.samples(near)[: RATE_HZ // 2 + len(burst())]
            if not faults:
                places.append((start_s, near + lead_of(burst(), recorded)))
        sitting.wait()
        sitting.stdout.close()
        origin_s, sample_s = recorder.line()
    off_ms = [(start_s - (origin_s + place * sample_s)) * 1e3 for start_s, place in places]
    third = max(len(off_ms) // 3, 1)
    drift_ms = float(np.median(off_ms[-third:]) - np.median(off_ms[:third]))
    warm = rows[len(rows) // 4 :]
    hours = (warm[-1][0] - warm[0][0]) / 3600
    grown_mb = warm[-1][1] - warm[0][1]
    void = [faults for _, _, faults in rows if faults]
    return {
        "drift_ms": {
            "value": drift_ms,
            "unit": "ms",
            "goal": f"within {GOAL_DRIFT_MS:g}",
            "met": abs(drift_ms) <= GOAL_DRIFT_MS,
            "note": f"{len(rows)} trials in {seconds:g} s, SD {np.std(off_ms):.2f}",
        },
        "memory_mb_an_hour": {
            "value": grown_mb / hours,
            "unit": "MB/h",
            "goal": f"at most {GOAL_MB_AN_HOUR:g}",
            "met": grown_mb / hours <= GOAL_MB_AN_HOUR if hours > 0.1 else None,
            "note": f"{grown_mb:+.2f} MB after warm-up" + ("" if hours > 0.1 else "; too short to judge an hour by"),
        },
        "void_trials": {
            "value": len(void),
            "unit": "",
            "met": None,
            "note": "; ".join(sorted({text for faults in void for text in faults})),
        },
    }


if __name__ == "__main__":
    sit()
