"""Circular figures on the worked examples of Zar 2010, Biostatistical Analysis, 5th edition.

The values to full precision were computed from the examples' data; the book's rounded ones stand beside them.
"""

import math

import numpy as np
import pytest

from exercises.timing.circular import angles, direction, rayleigh_p

ZAR_26_2 = np.radians([45, 55, 81, 96, 110, 117, 132, 154])
ZAR_27_2 = np.radians([66, 75, 86, 88, 88, 93, 97, 101, 118, 130])


def test_zar_examples_26_2_and_27_1():
    """Book: mean 99, R 0.82522, 0.001 < p < 0.002."""
    found = direction(ZAR_26_2)
    assert math.degrees(found.mean_rad) == pytest.approx(98.988, abs=5e-4)
    assert found.length == pytest.approx(0.82522, abs=5e-6)
    assert found.rayleigh_p == pytest.approx(0.0018516, abs=5e-8)


def test_zar_example_27_2():
    """Tight data, for which the series approximations of p go negative (-1.01e-5)."""
    found = direction(ZAR_27_2)
    assert math.degrees(found.mean_rad) == pytest.approx(94.048, abs=5e-4)
    assert found.length == pytest.approx(0.952137, abs=5e-7)
    assert found.rayleigh_p == pytest.approx(5.304e-6, abs=5e-10)


@pytest.mark.parametrize(("spread_ms", "length"), [(10, 0.992), (20, 0.969), (30, 0.931), (40, 0.881)])
def test_length_for_normal_errors(spread_ms, length):
    """exp(-(2 pi s / T)^2 / 2) at T = 500 ms, the normal distribution's characteristic function."""
    # Errors at the middles of equal shares of the distribution, so that nothing is left to chance.
    from scipy.stats import norm

    errors_s = norm.ppf((np.arange(4000) + 0.5) / 4000) * spread_ms / 1000
    assert direction(angles(errors_s, 0.0, 0.5)).length == pytest.approx(length, abs=1e-3)


def test_turning_all_angles_turns_the_mean_and_nothing_else():
    plain, turned = direction(ZAR_26_2), direction(ZAR_26_2 + 1.0)
    assert turned.mean_rad == pytest.approx(plain.mean_rad + 1.0)
    assert turned.length == pytest.approx(plain.length)


def test_early_is_a_negative_angle_and_half_a_beat_is_half_a_turn():
    off = angles([0.9, 1.1, 1.25], 1.0, 0.5)
    assert off == pytest.approx([-0.4 * math.pi, 0.4 * math.pi, math.pi])


def test_angles_spread_evenly_have_no_direction():
    found = direction(np.arange(8) * math.pi / 4)
    assert found.length == pytest.approx(0, abs=1e-12)
    assert found.rayleigh_p == pytest.approx(1.0)


def test_p_stays_a_probability_for_the_tightest_data():
    assert all(0 < rayleigh_p(n, 1.0) < 1 for n in range(1, 100))


@pytest.mark.parametrize("theta", [[], [math.nan], [[1.0]]])
def test_no_angles_are_refused(theta):
    with pytest.raises(ValueError, match="angles"):
        direction(theta)
