"""Drift: the line through the errors against scipy, what is told against how often it is true, and laws."""

import numpy as np
import pytest
from scipy.stats import linregress, t

from exercises.timing.drift import HEARD_SHARE, drift, own_drift

BEAT_S = 0.5
TARGETS_S = 4.0 + BEAT_S * np.arange(24)


@pytest.mark.parametrize("n", [5, 8, 24])
def test_line_and_interval_are_those_of_scipy(n, independent):
    """scipy.stats.linregress, its standard error times the quantile of scipy.stats.t, for independent errors."""
    targets_s = TARGETS_S[:n]
    late_s = 0.004 * targets_s + 0.02 * np.random.default_rng(n).standard_normal(n)
    found, line = drift(targets_s, late_s), linregress(targets_s, late_s)
    half = t.ppf(0.975, n - 2) * line.stderr
    assert found.share == pytest.approx(line.slope, rel=1e-9)
    assert (found.low, found.high) == pytest.approx((line.slope - half, line.slope + half), rel=1e-9)
    ends_s = line.intercept + line.slope * targets_s[[0, -1]]
    assert (found.first_s, found.last_s) == pytest.approx(ends_s, abs=1e-12)


def test_four_taps_tell_no_drift():
    assert drift(TARGETS_S[:4], np.linspace(0, 0.1, 4)) is None
    assert own_drift(TARGETS_S, TARGETS_S[:4]) is None


def test_a_constant_lag_changes_nothing():
    late_s = np.linspace(-0.038, 0.038, 24)
    here, there = drift(TARGETS_S, late_s), drift(TARGETS_S, late_s + 0.2)
    assert there.share == pytest.approx(here.share)
    assert here.audible(BEAT_S)
    assert there.audible(BEAT_S)


def test_what_displaces_no_beat_audibly_is_not_told():
    """Below 2.5 % of the beat from end to end (Friberg & Sundberg 1995), however sure it is."""
    heard_s = HEARD_SHARE * BEAT_S
    assert not drift(TARGETS_S, np.linspace(0, 0.9 * heard_s, 24)).audible(BEAT_S)
    assert drift(TARGETS_S, np.linspace(0, 1.1 * heard_s, 24)).audible(BEAT_S)


@pytest.mark.proof
@pytest.mark.parametrize("sd_s", [0.01, 0.025, 0.04])
def test_without_a_drift_none_is_told_more_often_than_the_interval_allows(sd_s):
    """At most 5 % of 1 000 rows of scattered taps: an interval of 95 % errs so often (by its definition).

    One that errs in 7 of 100 is found with 0.99.
    """
    rng = np.random.default_rng(2)
    told = [drift(TARGETS_S, sd_s * rng.standard_normal(24)).audible(BEAT_S) for _ in range(1000)]
    assert np.mean(told) < 0.05


def test_a_step_is_no_drift():
    late_s = np.where(np.arange(24) < 12, 0.0, BEAT_S)
    assert not drift(TARGETS_S, late_s).audible(BEAT_S)


@pytest.mark.parametrize("share", [0.08, 0.03, -0.05])
def test_taps_that_ran_beats_away_are_told_by_how_much(share):
    """A tempo of one's own, from the first target on, with taps left out: the share that was put in comes back."""
    taps_s = (TARGETS_S[0] + (1 + share) * (TARGETS_S - TARGETS_S[0]))[[*range(9), *range(11, 24)]]
    found = own_drift(TARGETS_S, taps_s)
    assert found.share == pytest.approx(share)
    assert found.first_s == pytest.approx(0, abs=1e-9)
    assert found.last_s == pytest.approx(share * 23 * BEAT_S)


def test_another_rate_is_no_drift():
    assert own_drift(TARGETS_S, TARGETS_S[0] + 1.31 * BEAT_S * np.arange(20)) is None
    assert own_drift(TARGETS_S, TARGETS_S[::2]) is None
