"""Practice curves: fits and bands against scipy."""

import numpy as np
import pytest
from scipy import optimize, stats

from exercises.progress.change import LEAST_DAYS
from exercises.progress.curve import MOST_DAYS, practice_curve

pytestmark = pytest.mark.proof

# Forty days of ten trials; spread falls from 45 to 20 ms with a time constant of 120 trials.
DAYS, A_DAY = 40, 10
AT = A_DAY * (np.arange(DAYS) + 0.5)
FLOOR_MS, GAIN_MS, RATE = 20.0, 25.0, 1 / 120


def true_ms(at):
    return FLOOR_MS + GAIN_MS * np.exp(-RATE * at)


def day_means(rng, improving=True):
    """What one invented learner shows: trials scatter by 12 ms, days by 2 ms."""
    noise_ms = rng.normal(0, 12 / np.sqrt(A_DAY), DAYS) + rng.normal(0, 2, DAYS)
    return (true_ms(AT) if improving else 30.0) + noise_ms


def curve(figures, **more):
    return practice_curve(AT, figures, np.full(DAYS, float(A_DAY)), **more)


def test_the_fit_is_that_of_scipys_curve_fit():
    """scipy.optimize.curve_fit on the same weighted days."""
    for seed in range(5):
        rng = np.random.default_rng(seed)
        figures, weights = day_means(rng), rng.integers(3, 20, DAYS).astype(float)
        ours = practice_curve(AT, figures, weights)
        (floor, gain, rate), _ = optimize.curve_fit(
            lambda n, a, b, c: a + b * np.exp(-c * n),
            AT,
            figures,
            p0=(FLOOR_MS, GAIN_MS, RATE),
            sigma=1 / np.sqrt(weights),
        )
        assert (ours.floor, ours.gain, ours.rate) == pytest.approx((floor, gain, rate), rel=1e-3)


def test_the_band_is_scheffes_where_the_curve_is_as_good_as_linear():
    """Much practice, little noise: the delta method on curve_fit's covariance, times sqrt(3 F(.95; 3, n - 3))."""
    figures = true_ms(AT) + np.random.default_rng(1).normal(0, 0.3, DAYS)
    ours = curve(figures)
    (floor, gain, rate), cov = optimize.curve_fit(
        lambda n, a, b, c: a + b * np.exp(-c * n), AT, figures, p0=(FLOOR_MS, GAIN_MS, RATE)
    )
    wave = np.exp(-rate * ours.at)
    slopes = np.stack([np.ones_like(wave), wave, -gain * ours.at * wave])
    half = np.sqrt(3 * stats.f.ppf(0.95, 3, DAYS - 3) * np.einsum("im,ij,jm->m", slopes, cov, slopes))
    assert (ours.high - ours.low) / 2 == pytest.approx(half, rel=0.08)
    assert (ours.high + ours.low) / 2 == pytest.approx(ours.figure, abs=0.05)
    assert floor == pytest.approx(ours.floor, abs=0.01)


def test_a_known_curve_lies_within_its_band_for_95_of_100_learners():
    """All of the curve at once, for 400 simulated learners."""
    rng = np.random.default_rng(7)
    curves = [curve(day_means(rng)) for _ in range(400)]
    inside = [np.all((true_ms(each.at) >= each.low) & (true_ms(each.at) <= each.high)) for each in curves]
    assert np.mean(inside) >= 0.95


def wild_days(seed):
    """Days of a learner who barely changes, but for two bad ones at the start; on odd seeds they come last."""
    rng = np.random.default_rng(seed)
    figures = rng.uniform(2, 12, 12) - 0.5 * np.arange(12)
    figures[rng.integers(0, 6, 2)] += rng.uniform(20, 120, 2)
    figures = np.maximum(figures, 0.5)
    return 5.0 * np.arange(1, 13), figures[::-1] if seed % 2 else figures, rng.integers(3, 20, 12).astype(float)


@pytest.mark.parametrize("benches", [None, np.arange(12) // 6, np.arange(12) % 2], ids=["one", "then", "by turns"])
def test_no_curve_goes_below_zero_and_it_is_the_best_that_does_not(benches):
    """scipy.optimize.nnls at rates 4.6 % apart, over the two forms of a curve without a negative part.

    A standard deviation is not below 0, nor is what a learner comes down to.
    """
    bench = np.zeros(12, dtype=int) if benches is None else benches
    bound = 0
    for seed in range(30):
        at, figures, weights = wild_days(seed)
        ours = practice_curve(at, figures, weights, benches)
        assert ours.floor >= 0
        assert np.all(ours.figure >= 0)
        assert np.all((ours.low >= 0) & (ours.low <= ours.figure) & (ours.figure <= ours.high))
        each = (bench[:, None] == np.unique(bench)).astype(float)
        root = np.sqrt(weights)
        span = np.ptp(at)
        best = min(
            (optimize.nnls(np.column_stack([wave, each]) * root[:, None], figures * root)[1], rate, falls)
            for rate in np.geomspace(1 / (3 * span), 30 / span, 100)
            for falls, wave in ((1, np.exp(-rate * (at - at[0]))), (0, 1 - np.exp(-rate * (at - at[0]))))
        )
        # The floors of the other benches are not told; given rate and gain they follow.
        rest = figures - ours.gain * np.exp(-ours.rate * at)
        least = max(0.0, -ours.gain * np.exp(-ours.rate * at[0]))
        floors = np.array([max(least, np.average(rest[bench == b], weights=weights[bench == b])) for b in bench])
        assert ours.floor == pytest.approx(floors[-1], abs=1e-6)
        assert np.sum(weights * (rest - floors) ** 2) <= best[0] ** 2 * (1 + 1e-6)
        bound += bool(ours.floor < 1e-6)
    assert bound  # some of them lie at the bound


def test_days_that_count_only_after_much_practice_give_the_same_curve():
    """The same days, after so many trials that exp(c n) would be no number any more."""
    at, _, weights = wild_days(0)
    figures = np.where(np.arange(12) < 2, 90.0, np.linspace(6, 0.5, 12))
    near, far = (practice_curve(at + before, figures, weights) for before in (0, 1000))
    assert near.figure[-1] < 5
    assert far.figure == pytest.approx(near.figure, abs=1e-6)
    assert np.isfinite(far.gain)


def test_the_curve_goes_on_across_a_change_of_headphones():
    """Under an offset of 15 ms."""
    figures = day_means(np.random.default_rng(4)) + 15.0 * (np.arange(DAYS) >= 25)
    found = curve(figures, benches=np.arange(DAYS) // 25)
    assert found.rate == pytest.approx(RATE, rel=0.5)


def test_it_is_too_early_to_tell_at_first():
    few = LEAST_DAYS - 1
    assert practice_curve(AT[:few], np.linspace(50, 20, few), np.full(few, 10.0)) is None
    assert practice_curve(AT[: few + 1], np.linspace(50, 20, few + 1), np.full(few + 1, 1.0)) is None
    assert practice_curve([], [], []) is None


def test_days_on_a_bench_used_once_do_not_count():
    benches = np.arange(DAYS)
    assert curve(day_means(np.random.default_rng(6)), benches=benches) is None


def test_ten_years_of_days_are_put_together_and_tell_the_same():
    rng = np.random.default_rng(9)
    at = 6.0 * np.arange(3000)
    figures = 20 + 25 * np.exp(-at / 400) + rng.normal(0, 5, len(at))
    found = practice_curve(at, figures, np.full(len(at), 6.0))
    assert len(at) > MOST_DAYS
    assert found.floor == pytest.approx(20, abs=1)


@pytest.mark.parametrize(
    "wrong",
    [([1, 2], [1], [1, 1]), ([1, 2], [1, 2], [1, 0]), ([1, 2], [1, np.nan], [1, 1]), ([1, 2], [1, -1], [1, 1])],
    ids=str,
)
def test_rows_that_make_no_sense_are_refused(wrong):
    with pytest.raises(ValueError, match=r"rows|weights"):
        practice_curve(*wrong)
