"""The drill `ahead`: two records start in time and part, by the tempos that the rung names."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer

pytestmark = pytest.mark.sampled(3)

AHEAD = drill("ahead")
RUNGS = range(1, len(AHEAD.rungs) + 1)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_second_record_starts_in_time_and_parts_as_the_rung_says(rung):
    """Tempos and lag are read off the beats of the two arrangements."""
    for seed in range(6):
        trial = AHEAD.make(rung, seed)
        (part,) = trial.beside
        first_s, second_s = trial.count.beats_s, part.start_s + part.arrangement.count.beats_s
        assert np.abs(first_s - second_s[0]).min() < 1e-9
        ratio = np.diff(first_s)[0] / np.diff(second_s)[0]
        gap = 1 + AHEAD.rungs[rung - 1].gap_percent / 100
        assert ratio == pytest.approx(gap if trial.expected == "ahead" else 1 / gap, abs=1e-9)
        # As many of its beats sound whether it is faster or slower, and all of them within the first record.
        assert len(second_s) == 4 * AHEAD.rungs[rung - 1].bars - 2
        assert part.start_s + part.arrangement.count.end_s < first_s[-1]
        # Never half a beat apart: beyond that, ahead is behind.
        assert abs(ratio - 1) * len(second_s) < 0.45


def test_differences_fall_with_every_rung_and_both_answers_come():
    gaps = [row.gap_percent for row in AHEAD.rungs]
    assert gaps == sorted(gaps, reverse=True)
    assert len(set(gaps)) == len(gaps)
    said = [AHEAD.make(3, seed).expected for seed in range(40)]
    assert 10 < said.count("ahead") < 30


@pytest.mark.parametrize("rung", RUNGS)
def test_the_verdict_tells_the_true_difference(rung):
    """The lag in ms is that between the last beats of both, less than a beat before the end."""
    trial = AHEAD.make(rung, 1)
    (part,) = trial.beside
    other = {"ahead": "behind", "behind": "ahead"}[trial.expected]
    right, wrong = (AHEAD.mark(trial, Answer(value=value)) for value in (trial.expected, other))
    assert (right.right, wrong.right) == (True, False)
    told = int(right.verdict[0].values["ms"])
    row = min(len(part.arrangement.count), len(trial.count) - 8) - 1
    lag_ms = 1000 * abs(part.start_s + part.arrangement.count.beats_s[row] - trial.count.beats_s[8 + row])
    assert lag_ms <= told <= lag_ms * 1.15
    assert ("ran ahead" in right.text) == (trial.expected == "ahead")
    assert len(wrong.verdict) == 2
