"""The soak's sitting on a computer that stands still again and again: nothing is lost, and what counts is true.

Every few seconds the program, the sound server or the screen is stopped (SIGSTOP) for 0.1 to 4 s and then let go on.
A trial broken by it shall be void with its reason, every other be told as in peace, and practice go on by itself.

Five minutes, or as many seconds as TALLYBAR_STALLS_S says.
"""

import os
import random
import signal
import threading
from contextlib import contextmanager
from typing import Any

import numpy as np

from tests.benchmarks.soak import sit

SECONDS = float(os.environ.get("TALLYBAR_STALLS_S", "300"))
SEED = 1
# A trial of ``beat`` takes 10 s: some shall be left in peace.
BETWEEN_S = (3.0, 20.0)
STALLS_S = (0.1, 0.2, 0.3, 0.6, 1.0, 2.0, 4.0)
# What the program states of a tap that is not calibrated, in ms: about 95 % lie within.
GOAL_OFF_MS = 5.0


@contextmanager
def stalls(desk: Any, program: Any):
    """Stops a process of three at random meanwhile; gives the list of who was stopped for how long."""
    draw, over, done = random.Random(SEED), threading.Event(), list[tuple[str, float]]()

    def stall() -> None:
        while not over.wait(draw.uniform(*BETWEEN_S)):
            who, seconds = draw.choice(("program", "sound", "screen")), draw.choice(STALLS_S)
            process = {"program": program.process, "sound": desk.sound, "screen": desk.screen}[who]
            process.send_signal(signal.SIGSTOP)
            over.wait(seconds)
            process.send_signal(signal.SIGCONT)
            done.append((who, seconds))

    thread = threading.Thread(target=stall, daemon=True)
    thread.start()
    try:
        yield done
    finally:
        over.set()
        thread.join()


def figures(seconds: float = SECONDS) -> dict[str, dict[str, Any]]:
    """Trials that were lost or void without a reason, and how far valid taps lie from the truth."""
    from tests.end_to_end.desk import missing

    if missing():
        return {"lost_trials": {"value": None, "unit": "", "met": None, "note": missing()}}
    seen = sit(seconds, stalls)
    off_ms = np.concatenate([*seen.off_ms, np.empty(0)])
    lost = len(seen.lost) + len(seen.unkept) + seen.voids.count("")
    return {
        "lost_trials": {
            "value": lost,
            "unit": "",
            "goal": "0",
            "met": not lost,
            "note": f"{len(seen.at_s)} trials, {len(seen.voids)} void, in {len(seen.disturbed)} stalls (seed {SEED})"
            + "".join(f"; {each}" for each in seen.lost),
        },
        "worst_valid_tap_ms": {
            "value": float(np.abs(off_ms).max()) if len(off_ms) else None,
            "unit": "ms",
            "goal": f"at most {GOAL_OFF_MS:g}",
            "met": bool(np.abs(off_ms).max() <= GOAL_OFF_MS) if len(off_ms) else None,
            "note": f"{len(off_ms)} taps of {len(seen.off_ms)} trials: reported minus true {off_ms.mean():+.2f}, "
            f"SD {off_ms.std():.2f}"
            if len(off_ms)
            else "no tapped trial was left in peace",
        },
    }
