"""Offsets in bars, beats and milliseconds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exercises.timing.offset import Offset, offset


@pytest.mark.parametrize(
    ("off_s", "parts", "words"),
    [
        (0.486, (0, 1, -14.0), "one beat late"),
        (-0.02, (0, 0, -20.0), "on the beat"),
        (-2.0, (-1, 0, 0.0), "one bar early"),
        (5.0, (2, 2, 0.0), "2 bars and 2 beats late"),
        (-3.51, (-1, -3, -10.0), "one bar and 3 beats early"),
    ],
)
def test_at_120_bpm_in_four_four(off_s, parts, words):
    """Arithmetic: a beat is 0.5 s, a bar 2 s."""
    found = offset(off_s, 0.5, 4)
    assert (found.bars, found.beats, found.ms) == pytest.approx(parts)
    assert str(found.words) == words


@given(st.floats(-100, 100), st.floats(0.25, 1.5), st.integers(1, 7))
def test_the_parts_add_up_and_the_rest_is_at_most_half_a_beat(off_s, period_s, per_bar):
    found = offset(off_s, period_s, per_bar)
    whole = (found.bars * per_bar + found.beats) * period_s
    assert whole + found.ms / 1000 == pytest.approx(off_s, abs=1e-6)
    assert abs(found.ms) <= 500 * period_s + 1e-3
    assert found.bars * found.beats >= 0


def test_what_is_no_time_is_refused():
    with pytest.raises(ValueError, match="finite"):
        offset(float("nan"), 0.5, 4)
    assert Offset(0, 1, 0).words == Offset(0, 1, 9).words
