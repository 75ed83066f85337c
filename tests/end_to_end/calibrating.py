"""Calibration under Sound and taps in the running program, both ways, by a simulated learner at the desk."""

import json
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from exercises.calibration.microphone import CLICKS, GAP_RANGE_S
from exercises.calibration.tapping import CLICK_GAP_S, TAPS, WAY_IN
from synth.device.onsets import click
from tests.end_to_end.desk import RATE_HZ, Hand, Recorder, lead_of, wait_for
from tests.end_to_end.inputs import Keys, Tapper
from tests.end_to_end.virtual_room import VirtualRoom

# A learner's own habit, which calibration by tapping takes away with the lag: early, and a little uneven. Early by
# "about 30-50 ms": Aschersleben & Prinz 1995, Percept. Psychophys. 57, 305-317; a trained hand's SD of 10 to 20 ms
# from memory.
HABIT_MS, HABIT_SD_MS = -30.0, 10.0


def calibrate_by_microphone(
    recorder: Recorder, hand: Hand, place: VirtualRoom, home: Path, seed: int = 3, tapper: Tapper | None = None
) -> dict:
    """Tap between the clicks, where the microphone hears it; what was kept for this input."""
    tapper = tapper or Keys(hand)
    random = np.random.default_rng(seed)

    def measure() -> None:
        end_s = time.perf_counter() + CLICKS * float(np.mean(GAP_RANGE_S)) - 1
        while time.perf_counter() < end_s:
            place.thump(tapper.tap(time.perf_counter() + random.uniform(0.4, 0.6)))

    return _on_pad(recorder, hand, home, tapper, "m", measure)


def calibrate_by_tapping(recorder: Recorder, hand: Hand, home: Path, tapper: Tapper, seed: int = 3) -> dict:
    """Tap along with the clicks, as the recording has them, with a habit of one's own; what was kept."""
    random = np.random.default_rng(seed)

    def tap_along() -> None:
        since = recorder.count
        wait_for(lambda: recorder.count > since + RATE_HZ // 5, 5, "the recorder stopped")
        origin_s, sample_s = recorder.line()
        heard = recorder.samples(since - RATE_HZ // 2)
        first_s = origin_s + (since - RATE_HZ // 2 + lead_of(click(RATE_HZ), heard)) * sample_s
        for number in range(1, WAY_IN + TAPS + 1):
            tapper.tap(first_s + CLICK_GAP_S * number + random.normal(HABIT_MS, HABIT_SD_MS) / 1e3)

    return _on_pad(recorder, hand, home, tapper, "k", tap_along)


def _on_pad(
    recorder: Recorder, hand: Hand, home: Path, tapper: Tapper, key: str, measure: Callable[[], None]
) -> dict:
    """Turn to Sound and taps, measure (again if a stalled computer made it void), and turn back."""
    turn_to(hand, "5")
    tapper.ready(on_pad=True)
    for _ in range(2):
        since = recorder.count
        hand.press(key)
        wait_for(lambda since=since: np.any(np.abs(recorder.samples(since)) > 1e-3), 8, "no click was heard")
        measure()
        found = kept_for(home, tapper.source)
        if found is not None:
            break
    assert found is not None, "no calibration was kept, twice"
    turn_to(hand, "1")
    return found


def turn_to(hand: Hand, tab: str) -> None:
    """Show the screen with this number among the tabs."""
    hand.press_with("Control_L", tab)
    time.sleep(1.0)


def kept_for(home: Path, source: str) -> dict | None:
    """What the program keeps for a kind of tap, if that comes within some seconds."""
    path, end_s = home / "calibrations.json", time.perf_counter() + 6
    while time.perf_counter() < end_s and not path.exists():
        time.sleep(0.05)
    kept = json.loads(path.read_text())["calibrations"] if path.exists() else []
    return next((each for each in kept if each["setup"]["source"] == source), None)
