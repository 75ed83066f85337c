"""The sound server stands still in the middle of a calibration by tapping, which goes on and finds the same lag."""

import os
import signal
import time

import numpy as np
import pytest

from exercises.calibration.tapping import CLICK_GAP_S
from synth.device.onsets import click
from tests.end_to_end.calibrating import HABIT_MS, HABIT_SD_MS, kept_for, turn_to
from tests.end_to_end.desk import RATE_HZ, Recorder, lead_of, wait_for
from tests.end_to_end.program import Program

LONGEST_S, STALLED_S, AFTER_TAPS = 60.0, 0.4, 14
QUIET_S = 4.0  # after so long without a click it is over


def next_click_s(recorder: Recorder) -> float | None:
    """When the next click will be heard, by the last one that was; None while there is none."""
    since = recorder.count - round((CLICK_GAP_S + 0.1) * RATE_HZ)
    heard = recorder.samples(max(since, 0))
    if len(heard) < RATE_HZ // 2 or np.abs(heard).max() < 1e-3:
        return None
    origin_s, sample_s = recorder.line()
    last_s = origin_s + (max(since, 0) + lead_of(click(RATE_HZ), heard)) * sample_s
    now_s = time.perf_counter()
    return last_s + CLICK_GAP_S * max(1, int(np.ceil((now_s + 0.1 - last_s) / CLICK_GAP_S)))


def tapped_along(desk, recorder: Recorder, hand, home, random) -> tuple[dict, int]:
    """What is kept of one calibration in which the sound server stands still, and the number of taps."""
    since = recorder.count
    hand.press("k")
    wait_for(lambda: np.any(np.abs(recorder.samples(since)) > 1e-3), 8, "no click was heard")
    taps, clicked_s, end_s = 0, time.perf_counter(), time.perf_counter() + LONGEST_S
    while not (home / "calibrations.json").exists() and time.perf_counter() < min(end_s, clicked_s + QUIET_S):
        due_s = next_click_s(recorder)
        if due_s is None:
            time.sleep(0.05)
            continue
        clicked_s = time.perf_counter()
        hand.press_at("space", due_s + random.normal(HABIT_MS, HABIT_SD_MS) / 1e3)
        taps += 1
        if taps == AFTER_TAPS:
            os.kill(desk.sound.pid, signal.SIGSTOP)
            time.sleep(STALLED_S)
            os.kill(desk.sound.pid, signal.SIGCONT)
    kept = kept_for(home, "key")
    assert kept is not None, f"nothing was kept of {taps} taps: {log_of(home)}"
    return kept, taps


def log_of(home) -> str:
    """What the program has logged."""
    return "".join(path.read_text() for path in home.rglob("*.log"))


@pytest.mark.desk
def test_a_stumble_of_the_sound_breaks_no_calibration_off(desk, hand, say, tmp_path):
    home, random = tmp_path / "home", np.random.default_rng(4)
    with Recorder(desk) as recorder, Program(desk, home, "--drill", "one", "--rung", "2"):
        hand.focus("Tallybar")
        turn_to(hand, "5")
        kept, taps = tapped_along(desk, recorder, hand, home, random)
    say(
        f"calibration by tapping with the sound server still for {STALLED_S:g} s: {kept['lag_ms']:+.1f} ms, "
        f"SE {kept['error_ms']:.1f} ms, {taps} taps; the habit is {HABIT_MS:g} ms"
    )
    assert "measurement disturbed" in log_of(home)
    assert abs(kept["lag_ms"] - HABIT_MS) <= 3 * kept["error_ms"] + 3.0
