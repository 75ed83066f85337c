"""Matching: laws, edges, and two references (mir_eval's number of pairs, scipy's assignment)."""

import mir_eval
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from exercises.timing.matching import SHORT, match

pytestmark = pytest.mark.sampled(3)

# Times on a grid of 1/64 s and windows on the same grid add, subtract and compare without rounding.
GRID = 1 / 64
rows = st.lists(st.integers(0, 200), max_size=14).map(lambda cells: np.sort(np.array(cells, dtype=float)) * GRID)
windows = st.integers(1, 60).map(lambda cells: cells * GRID)


def total_error(targets, taps, pairs):
    return float(np.abs(targets[pairs[:, 0]] - taps[pairs[:, 1]]).sum())


def by_assignment(targets, taps, window_s):
    """Number of pairs and total error of a best matching, by scipy's assignment on the full table of costs."""
    if not (targets.size and taps.size):
        return 0, 0.0
    errors = np.abs(targets[:, None] - taps[None, :])
    allowed = errors <= window_s
    row, column = linear_sum_assignment(np.where(allowed, errors - 1e4, 0.0))
    paired = allowed[row, column]
    return int(paired.sum()), float(errors[row, column][paired].sum())


@given(rows, rows, windows)
def test_pairs_and_total_error_are_those_of_the_best_assignment(targets, taps, window_s):
    pairs = match(targets, taps, window_s)
    count, error = by_assignment(targets, taps, window_s)
    assert len(pairs) == count
    assert total_error(targets, taps, pairs) == pytest.approx(error, abs=1e-9)


@given(rows, rows, windows)
def test_pairs_are_one_to_one_in_order_and_within_the_window(targets, taps, window_s):
    pairs = match(targets, taps, window_s)
    assert pairs.shape == (len(pairs), 2)
    assert np.all(np.diff(pairs, axis=0) > 0)
    assert np.all(np.abs(targets[pairs[:, 0]] - taps[pairs[:, 1]]) <= window_s)


@given(rows, rows, windows, st.integers(-500, 500))
def test_shifting_both_rows_changes_nothing(targets, taps, window_s, cells):
    shifted = match(targets + cells * GRID, taps + cells * GRID, window_s)
    assert np.array_equal(shifted, match(targets, taps, window_s))


@given(rows, rows, windows)
def test_swapping_the_rows_keeps_number_and_total_error(targets, taps, window_s):
    pairs, swapped = match(targets, taps, window_s), match(taps, targets, window_s)
    assert len(pairs) == len(swapped)
    assert total_error(taps, targets, swapped) == pytest.approx(total_error(targets, taps, pairs), abs=1e-9)


@pytest.mark.parametrize("span_s", [1.0, 20.0, 100.0, 500.0], ids=["all at once", "dense", "mixed", "sparse"])
def test_as_many_pairs_as_mir_eval_finds(span_s):
    """mir_eval 0.8.2, util.match_events: maximum matching, with no say about the error."""
    rng = np.random.default_rng(int(span_s))
    targets, taps = np.sort(rng.uniform(0, span_s, 300)), np.sort(rng.uniform(0, span_s, 320))
    assert len(match(targets, taps, 0.07)) == len(mir_eval.util.match_events(targets, taps, 0.07))


def test_long_stretches_are_matched_as_well_as_short_ones():
    """More targets in one stretch than are solved side by side: the banded programme against the assignment."""
    rng = np.random.default_rng(5)
    for _ in range(10):
        targets, taps = np.sort(rng.uniform(0, 8, 3 * SHORT)), np.sort(rng.uniform(0, 8, 2 * SHORT))
        pairs = match(targets, taps, 0.3)
        count, error = by_assignment(targets, taps, 0.3)
        assert (len(pairs), total_error(targets, taps, pairs)) == (count, pytest.approx(error, abs=1e-9))


def test_the_number_of_pairs_comes_before_the_error():
    """The nearest tap is given up where that lets both targets be hit."""
    assert match([1.0, 1.1], [1.04, 1.12], 0.07).tolist() == [[0, 0], [1, 1]]
    assert match([1.0, 1.1], [1.05, 1.06], 0.07).tolist() == [[0, 0], [1, 1]]
    assert match([1.0], [0.95, 1.01, 1.03], 0.07).tolist() == [[0, 1]]


@pytest.mark.parametrize(("targets", "taps"), [([], []), ([1.0], []), ([], [1.0]), ([1.0], [2.0])])
def test_nothing_to_match_gives_no_pairs(targets, taps):
    assert match(targets, taps, 0.1).shape == (0, 2)


def test_a_tap_on_the_edge_of_the_window_counts():
    assert match([1.0], [1.25], 0.25).tolist() == [[0, 0]]
    assert match([1.0], [np.nextafter(1.25, 2)], 0.25).tolist() == []


@pytest.mark.parametrize(
    ("targets", "taps", "window_s", "says"),
    [
        ([2.0, 1.0], [1.0], 0.1, "targets must be sorted"),
        ([1.0], [2.0, 1.0], 0.1, "taps must be sorted by time: 1 follows 2"),
        ([1.0, np.nan], [1.0], 0.1, "finite"),
        ([[1.0]], [1.0], 0.1, "one row"),
        ([1.0], [1.0], 0.0, "window"),
        ([1.0], [1.0], np.nan, "window"),
    ],
)
def test_a_wrong_call_names_what_is_wrong(targets, taps, window_s, says):
    with pytest.raises(ValueError, match=says):
        match(targets, taps, window_s)
