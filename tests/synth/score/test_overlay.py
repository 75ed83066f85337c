"""Two records at once."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from synth.score.arranging.arrangement import arrange
from synth.score.arranging.sequence import delayed
from synth.score.grooves import groove
from synth.sound.kit import Kit
from synth.sound.mixdown import Layer, mixdown_together
from tests.benchmarks.heard import RATE, attacks_s

RECORD = arrange(groove("techno"), tempo_bpm=126, form="intro:8", seed=1, exceptions=["false fill"])


@given(by_s=st.floats(0, 10))
def test_all_of_a_record_is_delayed_alike(by_s: float) -> None:
    """Whatever the delay, beats, hits, sections, turns and exceptions come later by it, and by nothing else."""
    late = delayed(RECORD, by_s)
    for theirs, ours in (
        (late.count.beats_s, RECORD.count.beats_s),
        (late.hits.onset_s, RECORD.hits.onset_s),
        *(
            ([getattr(each, name) for each in there], [getattr(each, name) for each in here])
            for there, here, name in (
                (late.sections, RECORD.sections, "start_s"),
                (late.turns, RECORD.turns, "time_s"),
                (late.exceptions, RECORD.exceptions, "start_s"),
            )
        ),
    ):
        assert len(ours)
        np.testing.assert_allclose(theirs, np.asarray(ours) + by_s, atol=1e-9)
    assert late.duration_s == pytest.approx(RECORD.duration_s + by_s)


def test_a_record_cannot_be_delayed_by_less_than_nothing() -> None:
    """What would begin before the sound's first frame is a wrong call."""
    with pytest.raises(ValueError, match="0 or more"):
        delayed(RECORD, -0.1)


@pytest.mark.parametrize("start_s", [2.217, 1.483])
def test_both_records_are_heard_where_their_truths_say(start_s: float) -> None:
    """120 and 126 a minute in one sound: every beat of either has its kick within a millisecond.

    Beats of one record that come less than 80 ms from one of the other are left out: there the two are one sound.
    """
    under, over = (
        arrange(groove(name), tempo_bpm=tempo_bpm, form="verse:4", seed=1, signals=["crash"]).only("kick")
        for name, tempo_bpm in (("four-on-the-floor", 120), ("techno", 126))
    )
    sound = mixdown_together([Layer(under, Kit(4)), Layer(over, Kit(4), start_s)])
    mono = np.pad(sound.mean(axis=1).astype(np.float64), RATE)
    under_s, over_s = under.count.beats_s, delayed(over, start_s).count.beats_s
    for beats_s, others_s in ((under_s, over_s), (over_s, under_s)):
        alone_s = beats_s[np.abs(beats_s[:, None] - others_s).min(axis=1) > 0.08]
        assert len(alone_s) >= 8
        np.testing.assert_allclose(attacks_s(mono, alone_s + 1) - 1, alone_s, atol=1e-3)
