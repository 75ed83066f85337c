"""How soon a tap is seen: from a key injected into a real X server to the first pixel of its screen that changes.

The program runs on the desk of the end-to-end tests while sound plays. The screen is read where the X server keeps
it, so that looking costs the server nothing. On a sheet that is shown the mark of the beat moves, too: a tap that
falls together with it, one of ten or so, may seem quicker than it is.
"""

import contextlib
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

GOAL_MS, GOAL_SHARE = 25.0, 0.95
# Taps by place: on a blank sheet, on one that is shown, and on the pad of the calibration.
TAPS = {"blank": 90, "shown": 80, "pad": 30}
TRIALS = {"blank": ("--drill", "beat", "--rung", "8", "--tempo", "100"), "shown": ("--drill", "beat", "--rung", "1")}
PAGE = "5"
LONGEST_S = 0.25


def seen_ms(desk: Any, hand: Any, taps: int, again: Callable[[], bool]) -> list[float]:
    """Milliseconds from each of so many presses of the space bar to a change on the screen; infinite for none.

    ``again`` starts the sound again if it was disturbed; then a tap that was not seen has not counted.
    """
    screen, took, random = desk.pixels()[100:780:4], [], np.random.default_rng(1)
    while len(took) < taps:
        before = screen.copy()
        pressed_s = hand.down("space")
        while np.array_equal(screen, before) and time.perf_counter() < pressed_s + LONGEST_S:
            time.sleep(0.0005)
        now_s = time.perf_counter()
        hand.up("space")
        if now_s < pressed_s + LONGEST_S:
            took.append(1e3 * (now_s - pressed_s))
        elif not again():
            took.append(np.inf)
        time.sleep(random.uniform(0.08, 0.15))
    return took


def measured(place: str) -> list[float]:
    """The same for the taps of a place, in a program of its own."""
    from tests.end_to_end.desk import Desk, Hand, Recorder, wait_for
    from tests.end_to_end.program import Program

    words = TRIALS.get(place, TRIALS["shown"])
    with (
        tempfile.TemporaryDirectory() as folder,
        Desk(Path(folder)) as desk,
        Recorder(desk) as recorder,
        Program(desk, Path(folder) / "data", *words) as program,
        contextlib.closing(Hand(desk)) as hand,
    ):
        hand.focus("Tallybar")
        if place == "pad":
            hand.down("Control_L")
            hand.press(PAGE)
            hand.up("Control_L")
            time.sleep(1.0)

        def start() -> None:
            since = recorder.count
            hand.press("k" if place == "pad" else "Return")
            wait_for(lambda: np.any(np.abs(recorder.samples(since)) > 1e-3), 20, "no sound was heard")
            time.sleep(1.0)

        seen = 0

        def again() -> bool:
            nonlocal seen
            ended, seen = len(program.trials()) - seen, len(program.trials())
            if ended:
                time.sleep(1.5)  # the keys of the taps rest
                start()
            return ended > 0

        start()
        return seen_ms(desk, hand, TAPS[place], again)


def figures() -> dict[str, dict[str, Any]]:
    """The share of taps that are seen in time, and their times by place."""
    from tests.end_to_end.desk import missing

    if lacking := missing():
        return {"taps_seen_in_time_pct": {"value": None, "unit": "%", "met": None, "note": lacking}}
    took = {place: np.array(measured(place)) for place in TAPS}
    together = np.concatenate(list(took.values()))
    share = float(np.mean(together <= GOAL_MS))
    by_place = ", ".join(
        f"{place}: median {np.median(each):.1f}, 95 % {np.quantile(each, GOAL_SHARE):.1f}"
        for place, each in took.items()
    )
    return {
        "taps_seen_in_time_pct": {
            "value": 100 * share,
            "unit": "%",
            "goal": f"at least {100 * GOAL_SHARE:g}",
            "met": share >= GOAL_SHARE,
            "note": f"of {len(together)} taps within {GOAL_MS:g} ms, while sound plays; in ms, {by_place}",
        },
        "tap_seen_p95_ms": {
            "value": float(np.quantile(together, GOAL_SHARE)),
            "unit": "ms",
            "goal": f"at most {GOAL_MS:g}",
            "met": bool(np.quantile(together, GOAL_SHARE) <= GOAL_MS),
        },
    }
