"""Tap the one on a real screen with a real sound server: the program's milliseconds against the truth from outside.

The truth never passes through the program: where each one was heard comes from the recording of the sound server,
when each tap happened from the injector of the key presses. Bridges et al. 2020 (PeerJ 8:e9414) is why the spread
is asked to be small and the mean is only bounded: a constant lag can be calibrated away, jitter cannot.
"""

import json
import time

import numpy as np
import pytest

from tests.end_to_end.desk import RATE_HZ, wait_for
from tests.end_to_end.program import Program, command, likeness, render, sound_start

WITHIN_MS, SD_MS = 8.0, 2.0
CHOICE = ("--rung", "3", "--seed", "11", "--tempo", "120")


@pytest.mark.desk
def test_sixteen_ones_are_marked_as_they_truly_fell(desk, recorder, hand, say, tmp_path):
    """16 ones at 120 BPM, tapped -60 to +60 ms off: each within 8 ms of the truth, their SD at most 2 ms."""
    meant = render(desk, tmp_path / "trial", "one", *CHOICE)
    assert len(meant.targets_s) == 16
    offsets_s = np.random.default_rng(5).permutation(np.linspace(-0.060, 0.060, 16))

    with Program(desk, tmp_path / "home", "--drill", "one", *CHOICE) as program:
        hand.focus("Tallybar")
        time.sleep(1.0)  # a person looks before pressing
        since = recorder.count
        hand.press("Return")
        loud = wait_for(lambda: np.flatnonzero(np.abs(recorder.samples(since)) > 1e-3).tolist(), 5, "no sound")[0]
        wait_for(lambda: recorder.count > since + loud + 1.6 * RATE_HZ, 5, "the recorder stopped")
        origin_s, sample_s = recorder.line()
        start_s = origin_s + sound_start(recorder, meant, since, 1.5) * sample_s
        tapped_s = np.array([hand.press_at("space", start_s + t) for t in meant.targets_s + offsets_s])
        found = program.wait_for_trial(1, 15)
        hand.picture(tmp_path / "window.png")

    origin_s, sample_s = recorder.line()
    start = sound_start(recorder, meant, since, meant.targets_s[-1] - 1)
    alike = likeness(recorder, meant, start, meant.targets_s[-1])
    heard_s = origin_s + (start + meant.targets_s * RATE_HZ) * sample_s
    true_ms = (tapped_s - heard_s) * 1e3

    taps = tmp_path / "taps.txt"
    taps.write_text("".join(f"{tap_s:.6f}\n" for tap_s in found.answer.taps_s))
    marked = command(desk, "mark", str(meant.folder / "trial.json"), str(taps), "--json")
    reported_ms = np.array(json.loads(marked)["errors_ms"])

    assert found.void is None
    assert len(found.answer.taps_s) == len(reported_ms) == 16
    off_ms = reported_ms - true_ms
    say("true     ms: " + " ".join(f"{one:6.1f}" for one in true_ms))
    say("reported ms: " + " ".join(f"{one:6.1f}" for one in reported_ms))
    say(
        f"reported minus true: mean {off_ms.mean():+.2f} ms, SD {off_ms.std(ddof=1):.2f} ms (at most {SD_MS}), "
        f"worst {np.abs(off_ms).max():.2f} ms (at most {WITHIN_MS}); heard as rendered {alike:.5f}"
    )
    assert alike > 0.999
    assert np.abs(off_ms).max() <= WITHIN_MS
    assert off_ms.std(ddof=1) <= SD_MS
