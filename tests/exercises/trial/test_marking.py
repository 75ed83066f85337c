"""Figures of a trial's taps; mir_eval's beat metrics as reference for matching and errors."""

import mir_eval
import numpy as np
import pytest

from exercises.timing.matching import match
from exercises.timing.window import window_s
from exercises.trial.marking import mark_taps, tap_score
from synth.score.metre import steady_count

# 20 beats half a second apart from 5.0 s, as in the published tests of the metrics.
BEATS_S = 5.0 + 0.5 * np.arange(20)


def f_measure(targets_s, taps_s, window_s):
    pairs = match(targets_s, taps_s, window_s)
    return 2 * len(pairs) / (len(targets_s) + len(taps_s))


def cemgil(targets_s, taps_s, sigma_s=0.04):
    """Cemgil et al. 2000, from our own errors: Gaussian worth of each pair, sigma 40 ms."""
    pairs = match(targets_s, taps_s, 0.25)
    errors_s = taps_s[pairs[:, 1]] - targets_s[pairs[:, 0]]
    return float(np.exp(-(errors_s**2) / (2 * sigma_s**2)).sum() / (0.5 * (len(targets_s) + len(taps_s))))


@pytest.mark.parametrize(
    ("shift_s", "f", "worth"),
    [(0.0, 1, 1), (-0.02, 1, 0.88250), (-0.04, 1, 0.60653), (0.05, 1, 0.45783), (-0.069, 1, None), (-0.071, 0, None)],
)
def test_a_constant_shift_against_mir_eval(shift_s, f, worth):
    """mir_eval 0.8.2 (beat.f_measure, beat.cemgil, called directly), after Davies, Degara & Plumbley 2009."""
    taps_s = BEATS_S + shift_s
    assert f_measure(BEATS_S, taps_s, 0.07) == mir_eval.beat.f_measure(BEATS_S, taps_s) == f
    ours = cemgil(BEATS_S, taps_s)
    assert ours == pytest.approx(mir_eval.beat.cemgil(BEATS_S, taps_s)[0], abs=1e-9)
    if worth is not None:
        assert ours == pytest.approx(worth, abs=5e-6)


def test_every_second_beat_against_mir_eval():
    """Half of the beats, none extra: F is two thirds."""
    taps_s = BEATS_S[::2]
    assert f_measure(BEATS_S, taps_s, 0.07) == pytest.approx(0.6667, abs=5e-5)
    assert mir_eval.beat.f_measure(BEATS_S, taps_s) == pytest.approx(f_measure(BEATS_S, taps_s, 0.07))


def test_uneven_taps_against_mir_eval():
    rng = np.random.default_rng(8)
    taps_s = np.sort(np.concatenate([BEATS_S[3:] + rng.normal(-0.03, 0.03, 17), rng.uniform(5, 15, 4)]))
    assert f_measure(BEATS_S, taps_s, 0.07) == pytest.approx(mir_eval.beat.f_measure(BEATS_S, taps_s))


@pytest.fixture
def count():
    return steady_count(120, [8], start_s=1.0)


def test_hits_missed_and_extra_add_up(count):
    targets_s = count.ones_s[2:]
    taps_s = np.sort(np.append(targets_s[1:] + 0.02, [9.5, 10.5]))
    marks = mark_taps(targets_s, taps_s, count, 0.5)
    assert (marks.targets, marks.hits, marks.missed, marks.extra) == (6, 5, 1, 2)
    assert marks.bias_ms == pytest.approx(20)
    assert marks.errors_ms == pytest.approx(np.full(5, 20.0))
    assert tap_score(marks) == pytest.approx(2 * 5 / (6 + 7))


def test_taps_while_finding_the_way_in_are_not_counted(count):
    """Taps before the first target are neither hits nor extra; pairs still point into all taps."""
    targets_s = count.ones_s[2:]
    marks = mark_taps(targets_s, count.ones_s, count, 0.5)
    assert (marks.hits, marks.extra) == (6, 0)
    assert marks.pairs.tolist() == [[i, i + 2] for i in range(6)]


def test_each_tap_belongs_to_its_nearest_beat(count):
    targets_s = count.ones_s
    marks = mark_taps(targets_s, np.sort(np.append(targets_s[:6] + 1.0, [4.1, 6.4])), count, 0.5)
    assert marks.beat_tapped == {1: 0.0, 2: pytest.approx(0.0), 3: pytest.approx(7 / 8), 4: pytest.approx(1 / 8)}


def test_the_window_is_a_third_of_the_beat_and_stops_growing():
    assert window_s(0.5) == pytest.approx(1 / 6)
    assert window_s(1.5) == 0.2
    assert all(window_s(60 / tempo_bpm) < 30 / tempo_bpm for tempo_bpm in range(40, 241))


def test_no_taps_give_no_figures(count):
    marks = mark_taps(count.ones_s, np.empty(0), count, 0.5)
    assert (marks.hits, marks.missed, marks.bias_ms, marks.spread_ms) == (0, 8, None, None)
    assert tap_score(marks) == 0


def test_an_uncertainty_below_nought_is_refused(count):
    with pytest.raises(ValueError, match="uncertainty"):
        mark_taps(count.ones_s, count.ones_s, count, 0.5, -1.0)
