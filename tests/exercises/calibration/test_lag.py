"""The lag: robust middle against published ways of finding it, what is kept, what uncertainty covers."""

import numpy as np
import pytest
from scipy import stats
from scipy.stats import mstats

from exercises.calibration.lag import COVERAGE, Calibration, Method, Setup, combined_ms, middle, stated_ms
from synth.base.border import fitted

SETUP = Setup("Invented output", "Invented host", 81, 48_000, "key")


def test_the_middle_is_scipys_trimmed_mean_and_its_standard_error():
    """scipy.stats.trim_mean and mstats.trimmed_mean_ci (the 20 % trimmed mean with Tukey & McLaughlin's error)."""
    errors = np.random.default_rng(1).normal(-30, 18, 30)
    found = middle(errors)
    assert found.middle_ms == pytest.approx(stats.trim_mean(errors, 0.2))
    assert found.error_ms == pytest.approx(float(mstats.trimmed_stde(errors, (0.2, 0.2), (True, True))), rel=0.02)
    low, high = found.ci95_ms
    assert (low, high) == pytest.approx(mstats.trimmed_mean_ci(errors, (0.2, 0.2)), rel=0.02)


def test_outliers_are_shown_and_move_the_middle_little():
    errors = np.random.default_rng(2).normal(-30, 12, 30)
    wild = errors.copy()
    wild[[3, 17, 20]] = (180, -150, 90)
    found = middle(wild)
    assert set(np.flatnonzero(found.outliers)) >= {3, 17, 20}
    assert abs(found.middle_ms - middle(errors).middle_ms) < 5
    assert found.spread_ms < 25


def test_two_rounds_of_thirty_taps_agree_as_the_standard_error_says():
    """Repeatable: with a beginner's spread of 30 ms (from memory) the error of thirty taps covers the truth."""
    random = np.random.default_rng(3)
    off = [(middle(random.normal(-40, 30, 30)), -40.0) for _ in range(300)]
    within = np.mean([low <= true <= high for (low, high), true in ((m.ci95_ms, t) for m, t in off)])
    assert 0.91 <= within <= 0.99


def test_moving_all_taps_moves_the_middle_alone():
    errors = np.random.default_rng(4).normal(0, 10, 21)
    here, there = middle(errors), middle(errors + 25)
    assert there.middle_ms - here.middle_ms == pytest.approx(25)
    assert there.error_ms == pytest.approx(here.error_ms)


@pytest.mark.parametrize("errors", [[1.0, 2.0, 3.0], [1.0, 2.0, 3.0, float("nan")], [[1.0] * 4]])
def test_too_few_or_broken_errors_are_a_wrong_call(errors):
    with pytest.raises(ValueError, match="finite milliseconds"):
        middle(np.array(errors))


def test_a_uniform_stamp_and_a_polled_keyboard():
    """A whole-millisecond stamp has SD 0.289 ms, a keyboard polled at 125 Hz 2.31 ms: 1 and 8 ms over root twelve."""
    random = np.random.default_rng(5)
    true_ms = random.uniform(0, 5_000, 200_000)
    assert np.std(np.floor(true_ms) - true_ms) == pytest.approx(1 / np.sqrt(12), abs=0.002)
    assert np.std(np.ceil(true_ms / 8) * 8 - true_ms) == pytest.approx(2.31, abs=0.01)


def test_parts_combine_as_the_root_of_squares_and_twice_that_is_stated():
    """JCGM 100:2008: independent parts add in squares; a factor of two covers about 95 %."""
    assert combined_ms(0.3, 0.4) == pytest.approx(0.5)
    assert stated_ms(0.3, 0.4) == pytest.approx(1.0)
    random = np.random.default_rng(6)
    off = random.uniform(-0.5, 0.5, 20_000) + random.normal(0, 0.2, 20_000) + random.normal(0, 0.25, 20_000)
    assert COVERAGE == 2
    assert np.mean(np.abs(off) <= stated_ms(1 / np.sqrt(12), 0.2, 0.25)) >= 0.94


def test_a_calibration_goes_through_json_unchanged():
    made = Calibration(SETUP, Method.MICROPHONE, 37.25, 0.4, 1.6, 18, "2030-05-01T18:00:00Z")
    assert fitted(made.to_json(), Calibration) == made
    assert made.for_record()["lag_ms"] == 37.25


def test_a_lag_in_the_wrong_unit_is_a_wrong_call():
    with pytest.raises(ValueError, match="is it in seconds or samples"):
        Calibration(SETUP, Method.TAPPING, 4_800.0, 0.4, 1.6, 18, "2030-05-01T18:00:00Z")
    with pytest.raises(ValueError, match="0 or more"):
        Calibration(SETUP, Method.TAPPING, 4.0, float("nan"), 1.6, 18, "2030-05-01T18:00:00Z")
