"""Quantiles against scipy."""

from itertools import product

import pytest
from scipy import stats

from exercises.timing.distributions import f_quantile, f_share, t_quantile


@pytest.mark.parametrize(("above", "below"), [(1, 1), (3, 5), (3, 37), (4, 200), (5, 3600)])
def test_quantiles_of_fishers_f_are_scipys(above, below):
    assert f_quantile(0.95, above, below) == pytest.approx(stats.f.ppf(0.95, above, below), rel=1e-9)
    assert f_share(1.3, above, below) == pytest.approx(stats.f.cdf(1.3, above, below), abs=1e-10)


def test_quantiles_of_t_are_those_of_scipy(subtests):
    for share, df in product([0.5, 0.9, 0.95, 0.99], [1, 2, 3, 4, 5, 9, 15, 30, 63, 200, 201, 1000, 100_000]):
        with subtests.test(share=share, df=df):
            assert t_quantile(share, df) == pytest.approx(stats.t.ppf((1 + share) / 2, df), rel=1e-8)


@pytest.mark.parametrize(("share", "df"), [(0.0, 5), (1.0, 5), (0.95, 0)])
def test_a_quantile_that_does_not_exist_is_refused(share, df):
    with pytest.raises(ValueError, match="share"):
        t_quantile(share, df)
