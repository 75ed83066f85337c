"""Calibration by microphone through a real sound server, then a trial: bias and uncertainty against the truth.

The ear is where the microphone is: what was heard at the speaker was heard there 1.5 ms later. Bridges et al. 2020
(PeerJ 8:e9414) is why both are asked for: the constant lag can be taken away once it is known, the jitter cannot.
"""

import numpy as np
import pytest

from tests.end_to_end.calibrating import calibrate_by_microphone
from tests.end_to_end.desk import Recorder
from tests.end_to_end.program import Program, once_more, render, spread_offsets_s, tap_through
from tests.end_to_end.virtual_room import VirtualRoom

CHOICE = ("--rung", "2", "--seed", "11", "--tempo", "174")
MEAN_MS, COVERED = 2.0, 0.9


@pytest.mark.desk
def test_after_calibration_the_bias_is_true_and_the_uncertainty_covers_it(desk, hand, say, tmp_path):
    """Our goals: mean within 2 ms after calibration by microphone, at least 90 % of taps covered."""
    meant = render(desk, tmp_path / "trial", "one", *CHOICE)
    home = tmp_path / "home"
    with (
        VirtualRoom(desk) as place,
        Recorder(desk) as recorder,
        Program(desk, home, "--drill", "one", *CHOICE) as program,
    ):
        place.hear(recorder)
        hand.focus("Tallybar")
        kept = calibrate_by_microphone(recorder, hand, place, home)
        offsets_s = spread_offsets_s(len(meant.targets_s))
        found = once_more(say, lambda: tap_through(desk, recorder, hand, program, meant, offsets_s))
        record = program.trials()[0]
    off_ms = found.off_ms + place.distance_s * 1e3
    covered = float(np.mean(np.abs(off_ms) <= found.uncertainty_ms))
    say(
        f"calibration by microphone: {kept['lag_ms']:+.2f} ms, SE {kept['error_ms']:.2f} ms, {kept['taps']} taps; "
        f"then reported minus true: mean {off_ms.mean():+.2f} ms (at most {MEAN_MS:g}), "
        f"SD {off_ms.std(ddof=1):.2f} ms; "
        f"stated {found.uncertainty_ms:.2f} ms covers {covered:.0%} (at least {COVERED:.0%})"
    )
    assert record.calibration["method"] == "microphone"
    assert abs(off_ms.mean()) <= MEAN_MS
    assert covered >= COVERED
