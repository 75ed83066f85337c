"""A phrase of a record at an even tempo: every hit keeps its place in the count."""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.score.arranging.arrangement import arrange
from synth.score.arranging.even_phrase import MOST_HITS, even_phrase
from synth.score.grooves import groove
from synth.score.hits import Hits
from synth.score.metre import Count


def places(record) -> np.ndarray:
    """Places of the hits in beats of the count, rounded."""
    count = record.count
    at = np.interp(record.hits.onset_s, np.append(count.beats_s, count.end_s), np.arange(len(count) + 1))
    return np.round(at, 3)


def uneven(record):
    """The same record by a hand that speeds up: a time s is heard at s - s * s / 60."""

    def heard_s(time_s):
        return time_s - np.square(time_s) / 60

    count, hits = record.count, record.hits
    moved = Count(
        heard_s(count.beats_s),
        count.beat_in_bar,
        count.bar_number,
        count.bar_in_phrase,
        count.phrase_number,
        float(heard_s(count.end_s)),
    )
    return replace(record, count=moved, hits=Hits.of(heard_s(hits.onset_s), hits.voice, hits.velocity, hits.voices))


@pytest.fixture
def record():
    return arrange(groove("backbeat"), tempo_bpm=120, form="verse:4", seed=2)


def test_a_record_that_speeds_up_becomes_even(record):
    even = even_phrase(uneven(record), 4, 100.0, 0.2)
    np.testing.assert_allclose(even.count.beats_s, 0.2 + 0.6 * np.arange(16), atol=1e-9)
    found = np.sort(np.round((even.hits.onset_s - 0.2) / 0.6, 2))
    expected = np.sort(np.round(places(record), 2))
    # Between two beats the speeding hand is not a straight line: less than a hundredth of a beat.
    np.testing.assert_allclose(found, expected, atol=0.02)


def test_a_short_record_is_repeated_and_a_long_one_cut(record):
    once = even_phrase(record, 4, 120.0, 0.2)
    for bars, times in ((8, 2), (16, 4), (32, 8)):
        longer = even_phrase(record, bars, 120.0, 0.2)
        assert len(longer.hits) == times * len(once.hits)
        assert len(longer.count) == 4 * bars
    long = arrange(groove("backbeat"), tempo_bpm=120, form="verse:16", seed=2)
    assert even_phrase(long, 4, 120.0, 0.2).hits.onset_s.max() < 0.2 + 8.0


def test_what_is_no_phrase_is_trouble(record):
    with pytest.raises(Trouble, match="not one whole bar"):
        even_phrase(record.excerpt(0, 3), 4, 120.0, 0.2)
    dense = np.linspace(0.0, 7.9, MOST_HITS // 2)
    many = replace(record, hits=Hits.of(dense, np.zeros(len(dense)), np.ones(len(dense)), record.hits.voices))
    with pytest.raises(Trouble, match="too many hits"):
        even_phrase(many, 16, 120.0, 0.2)
