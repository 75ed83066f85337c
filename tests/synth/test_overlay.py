"""Two records at once."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from synth.arrangement import arrange
from synth.grooves import groove
from synth.kit import Kit
from synth.mixdown import Layer, mixdown_together
from synth.overlay import overlay, overlay_on_beat
from tests.benchmarks.heard import RATE, attacks_s

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
    both = overlay(UNDER.excerpt(0, 4), OVER.excerpt(0, 4), offset_s=1.0)
    kit = Kit(0, 16_000)
    sound = mixdown_together([Layer(record, kit, start_s, level_db) for record, start_s, level_db in both.layers])
    assert len(sound) == pytest.approx(both.duration_s * 16_000, abs=1)


@pytest.mark.parametrize("offset_s", [2.217, -1.483])
def test_both_records_are_heard_where_their_truths_say(offset_s: float) -> None:
    """120 and 126 a minute in one sound: every beat of either has its kick within a millisecond.

    Beats of one record that come less than 80 ms from one of the other are left out: there the two are one sound.
    """
    records = [
        arrange(groove(name), tempo_bpm=tempo_bpm, form="verse:4", seed=1, signals=["crash"]).only("kick")
        for name, tempo_bpm in (("four-on-the-floor", 120), ("techno", 126))
    ]
    both = overlay(*records, offset_s=offset_s)
    sound = mixdown_together([Layer(record, Kit(4), start_s, db) for record, start_s, db in both.layers])
    under_s, over_s = (truth.count.beats_s for truth in both.truths(RATE))
    mono = np.pad(sound.mean(axis=1).astype(np.float64), RATE)
    for beats_s, others_s in ((under_s, over_s), (over_s, under_s)):
        alone_s = beats_s[np.abs(beats_s[:, None] - others_s).min(axis=1) > 0.08]
        assert len(alone_s) >= 8
        np.testing.assert_allclose(attacks_s(mono, alone_s + 1) - 1, alone_s, atol=1e-3)
