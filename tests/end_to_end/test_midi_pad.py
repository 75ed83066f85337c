"""A MIDI pad on a virtual port, from the pad to the marked trial: a real sequencer or JACK server, a real window."""

import numpy as np
import pytest

from tests.end_to_end.inputs import Pad
from tests.end_to_end.program import Program, once_more, render, spread_offsets_s, tap_through

CHOICE = ("--rung", "1", "--seed", "11", "--tempo", "174")
SD_MS = 2.0


@pytest.mark.desk
def test_a_pad_is_found_and_its_taps_keep_their_place(desk, hand, recorder, say, tmp_path):
    """24 beats hit on two pads, each hit one tap; the constant lag of the way is not known, the spread is."""
    try:
        pad = Pad(desk)
    except RuntimeError as lacking:
        pytest.skip(str(lacking))
    try:
        meant = render(desk, tmp_path / "trial", "beat", *CHOICE)
        with Program(desk, tmp_path / "home", "--drill", "beat", *CHOICE) as program:
            hand.focus("Tallybar")
            offsets_s = spread_offsets_s(len(meant.targets_s))
            found = once_more(say, lambda: tap_through(desk, recorder, hand, program, meant, offsets_s, pad))
            assert "tallybar:" not in program.said
            assert "jack" not in program.said.lower()
    finally:
        pad.close()
    off_ms = found.off_ms
    say(
        f"MIDI through {pad.way}, {len(off_ms)} beats at 174 BPM: reported minus true: mean {off_ms.mean():+.2f} ms, "
        f"SD {off_ms.std(ddof=1):.2f} ms (at most {SD_MS:g}), worst {np.abs(off_ms).max():.2f} ms"
    )
    assert off_ms.std(ddof=1) <= SD_MS
