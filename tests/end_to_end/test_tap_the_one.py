"""Tap the one on a real screen with a real sound server: the program's milliseconds against the truth from outside.

The truth never passes through the program: where each one was heard comes from the recording of the sound server,
when each tap happened from the injector of the key presses. Bridges et al. 2020 (PeerJ 8:e9414) is why the spread
is asked to be small and the mean is only bounded: a constant lag can be calibrated away, jitter cannot.
"""

import numpy as np
import pytest

from tests.end_to_end.program import Disturbed, Program, once_more, render, spread_offsets_s, tap_through

WITHIN_MS, SD_MS = 8.0, 2.0
# A press that took the screen longer happened at an unknown moment in between; so many must be known.
TOOK_MS, KNOWN = 2.0, 12
CHOICE = ("--rung", "3", "--seed", "11", "--tempo", "120")


def listed(values) -> str:
    """Figures in a row."""
    return " ".join(f"{value:6.1f}" for value in values)


def undisturbed(desk, recorder, hand, program, meant):
    """The tapped trial; ``Disturbed`` where what was heard is not what was rendered, without a hole."""
    found = tap_through(desk, recorder, hand, program, meant, spread_offsets_s(16))
    if found.alike <= 0.999:
        raise Disturbed(f"correlation of heard and rendered sound {found.alike:.3f}")
    known = found.took_ms <= TOOK_MS
    if known.sum() < KNOWN:
        raise Disturbed(f"the moment is known of {known.sum()} presses of {len(known)}")
    return found


@pytest.mark.desk
def test_sixteen_ones_are_marked_as_they_truly_fell(desk, recorder, hand, say, tmp_path):
    """16 ones at 120 BPM, -60 to +60 ms off: each known one within 8 ms of the truth, their SD at most 2 ms."""
    meant = render(desk, tmp_path / "trial", "one", *CHOICE)
    assert len(meant.targets_s) == 16
    with Program(desk, tmp_path / "home", "--drill", "one", *CHOICE) as program:
        hand.focus("Tallybar")
        found = once_more(say, lambda: undisturbed(desk, recorder, hand, program, meant))
    off_ms = found.off_ms[found.took_ms <= TOOK_MS]
    say(f"one, 16 ones at 120 BPM, keys; true ms:     {listed(found.true_ms)}")
    say(f"                               reported ms: {listed(found.reported_ms)}")
    say(
        f"  reported minus true of {len(off_ms)}: mean {off_ms.mean():+.2f} ms, "
        f"SD {off_ms.std(ddof=1):.2f} ms (at most {SD_MS:g}), "
        f"worst {np.abs(off_ms).max():.2f} ms (at most {WITHIN_MS:g}); stated {found.uncertainty_ms:.2f} ms"
    )
    assert np.abs(off_ms).max() <= WITHIN_MS
    assert off_ms.std(ddof=1) <= SD_MS
