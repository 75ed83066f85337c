"""Records cut off at a moment, and one after another."""

import numpy as np
import pytest

from synth.score.arranging.arrangement import TAIL_S, arrange
from synth.score.arranging.sequence import cut, followed_by
from synth.score.grooves import groove


@pytest.fixture(scope="module")
def pair():
    return tuple(arrange(groove("backbeat"), tempo_bpm=bpm, form="verse:4", seed=1) for bpm in (100, 110))


def test_a_cut_record_ends_at_the_moment_asked_for(pair):
    short = cut(pair[0], 5.0)
    assert short.duration_s == 5.0 + TAIL_S
    assert len(short.count) == 9  # beats of 0.6 s at 0, 0.6, ... 4.8
    assert short.hits.onset_s[-1] < 5.0
    assert np.sum(pair[0].hits.onset_s < 5.0) == len(short.hits)


@pytest.mark.parametrize("rounding_s", [0.0, 1e-7, -1e-7])
def test_a_beat_on_the_end_is_not_in_the_count(pair, rounding_s):
    short = cut(pair[0], 6.0 + rounding_s)
    assert len(short.count) == 10
    assert short.count.end_s == 6.0 + rounding_s


@pytest.mark.parametrize("end_s", [0.0, -1.0, 99.0])
def test_a_cut_outside_the_record_is_refused(pair, end_s):
    with pytest.raises(ValueError, match="end_s"):
        cut(pair[0], end_s)


def test_one_after_another_keeps_every_beat_and_hit_in_its_place(pair):
    first, second = pair
    both = followed_by(first, second, 1.5)
    start_s = first.count.end_s + 1.5
    assert both.count.beats_s == pytest.approx(np.append(first.count.beats_s, second.count.beats_s + start_s))
    assert np.sort(np.append(first.hits.onset_s, second.hits.onset_s + start_s)) == pytest.approx(both.hits.onset_s)
    assert both.count.bar_number[-1] == 8
    assert both.count.phrase_starts_s == pytest.approx([0.0, start_s])
    assert both.count.end_s == pytest.approx(start_s + second.count.end_s)
    assert [section.start_s for section in both.sections] == pytest.approx([0.0, start_s])
    with pytest.raises(ValueError, match="pause_s"):
        followed_by(first, second, -1.0)
