"""Two records at once."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from synth.arrangement import arrange
from synth.grooves import groove
from synth.overlay import overlay, overlay_on_beat

UNDER = arrange(groove("four-on-the-floor"), tempo_bpm=120, form="verse:8")
OVER = arrange(groove("techno"), tempo_bpm=126, form="intro:8", seed=1)


@given(offset_s=st.floats(-10, 10))
def test_both_truths_keep_their_distance(offset_s: float) -> None:
    """Whatever the offset, each record keeps its own beats and the second starts that much after the first."""
    both = overlay(UNDER, OVER, offset_s=offset_s)
    under, over = both.truths(48_000)
    assert over.count.beats_s[0] - under.count.beats_s[0] == pytest.approx(offset_s, abs=1e-9)
    np.testing.assert_allclose(np.diff(over.count.beats_s), 60 / 126)
    assert over.sections[0].start_s == pytest.approx(both.over_s)
    assert both.duration_s == pytest.approx(max(both.under_s + UNDER.duration_s, both.over_s + OVER.duration_s))


def test_a_record_is_laid_on_a_beat() -> None:
    """The second record's one on the first's bar 5, ten milliseconds late."""
    under, over = overlay_on_beat(UNDER, OVER, beat=16, late_s=0.010).truths(48_000)
    assert over.count.beats_s[0] == pytest.approx(8.010)
    assert under.count.beats_s[0] == 0
    with pytest.raises(ValueError, match="0 to 31"):
        overlay_on_beat(UNDER, OVER, beat=32)


def test_the_layers_go_to_the_mixdown() -> None:
    """What ``layers`` gives is what a mixdown layer takes, and both records sound."""
    from synth.kit import Kit
    from synth.mixdown import Layer, mixdown_together

    both = overlay(UNDER.excerpt(0, 4), OVER.excerpt(0, 4), offset_s=1.0)
    kit = Kit(0, 16_000)
    sound = mixdown_together([Layer(record, kit, start_s, level_db) for record, start_s, level_db in both.layers])
    assert len(sound) == pytest.approx(both.duration_s * 16_000, abs=1)
