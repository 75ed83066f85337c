"""The judgement on the spread: against scipy's densities, what it must not see, and how often it is right."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from exercises.progress import change
from exercises.progress.change import LEAST_DAYS, MOST_CELLS, SpreadRow, spread_change

DAYS, A_DAY, TEMPO_BPM = 40, 5, 120.0


def learner(rng, falls=0.0, rho=0.0, days=DAYS):
    """Five trials on each day: days scatter by 10 %, trials by 28 %; the spread is 22 ms at first."""
    effects = np.empty(days)
    effects[0] = rng.standard_normal()
    for day in range(1, days):
        effects[day] = rho * effects[day - 1] + math.sqrt(1 - rho**2) * rng.standard_normal()
    return [
        SpreadRow(
            day,
            3,
            0,
            TEMPO_BPM,
            22 * (1 - falls) ** (day / DAYS) * math.exp(0.1 * effects[day] + 0.28 * rng.standard_normal()),
        )
        for day in range(days)
        for _ in range(A_DAY)
    ]


def moved(rows, **by):
    """Rows with columns multiplied."""
    return [
        SpreadRow(
            row.day, row.rung, row.bench, row.tempo_bpm * by.get("tempo", 1.0), row.spread_ms * by.get("spread", 1.0)
        )
        for row in rows
    ]


def test_the_evidence_is_the_ratio_of_two_likelihoods(monkeypatch):
    """One correlation, pace and size: scipy's normal density, integrated over level and variance on a grid."""
    for name, value in {
        "RHOS": (0.6,),
        "RHO_WEIGHTS": ((1.0,), (1.0,)),
        "DAY_VARIANCES": (0.3,),
        "DAY_WEIGHTS": ((1.0,), (1.0,)),
        "PACES": (25.0,),
        "PACE_WEIGHTS": (1.0,),
        "SIZES": (0.3,),
        "SIZE_WEIGHTS": (1.0,),
    }.items():
        monkeypatch.setattr(change, name, value)
    rows = learner(np.random.default_rng(1), falls=0.5, days=LEAST_DAYS)
    day = np.array([row.day for row in rows])
    figure = np.log([row.spread_ms * row.tempo_bpm / 60_000 for row in rows])
    unit = np.eye(len(rows)) + 0.3 * 0.6 ** np.abs(day[:, None] - day)
    done = (1 - np.exp(-day / 25)) / (1 - np.exp(-39 / 25))

    levels, log_sds = np.linspace(-4.2, 1.2, 400), np.linspace(-2.2, 1.5, 120)

    def likelihood(size):
        left = figure - figure.mean() - math.log1p(-0.3) * size * done
        logs = [
            stats.multivariate_normal.logpdf(left - levels[:, None], cov=math.exp(2 * log_sd) * unit)
            for log_sd in log_sds
        ]
        return integrate.trapezoid(integrate.trapezoid(np.exp(logs), levels), log_sds)

    ours = spread_change(rows)
    ratios = [likelihood(size) / likelihood(0) for size in (1, -1)]
    assert ours.evidence == pytest.approx(max(ratios), rel=2e-3)
    assert ours.called == 0


def test_another_device_or_unit_changes_nothing():
    """A factor on all spreads of a bench, or on all tempos, is no change; what is told stays to the last digits."""
    rows = learner(np.random.default_rng(2), falls=0.5)
    rows = [SpreadRow(row.day, row.rung, int(row.day >= 20), row.tempo_bpm, row.spread_ms) for row in rows]
    plain = spread_change(rows)
    other = [*rows[: 20 * A_DAY], *moved(rows[20 * A_DAY :], spread=0.7)]
    for same in (other, moved(rows, spread=3.0), moved(rows, tempo=1.5)):
        found = spread_change(same)
        assert (found.called, found.evidence, found.ratio) == (
            plain.called,
            pytest.approx(plain.evidence),
            pytest.approx(plain.ratio),
        )


def test_a_change_of_device_alone_is_no_change():
    rows = learner(np.random.default_rng(3))
    rows = [SpreadRow(row.day, 3, int(row.day >= 20), row.tempo_bpm, row.spread_ms) for row in rows]
    found = spread_change([*rows[: 20 * A_DAY], *moved(rows[20 * A_DAY :], spread=0.5)])
    assert found.called == 0
    assert found.low < 1 < found.high


def test_a_climb_at_a_constant_share_of_the_beat_is_no_change():
    """From rung 1 at 84 BPM to rung 7 at 144: the spread falls by 42 % in ms and not as a share of the beat."""
    rng = np.random.default_rng(4)
    rows = []
    for row in learner(rng):
        rung = 1 + row.day // 6
        tempo_bpm = 74.0 + 10 * rung
        rows.append(SpreadRow(row.day, rung, 0, tempo_bpm, row.spread_ms * 84 / tempo_bpm))
    assert spread_change(rows).called == 0


def test_a_real_change_is_told_with_its_size():
    rng = np.random.default_rng(5)
    closer, wider = spread_change(learner(rng, falls=0.5)), spread_change(learner(rng, falls=-1.0))
    assert (closer.called, wider.called) == (-1, 1)
    assert closer.low < 0.5 < closer.high < 1
    assert 1 < wider.low < 2 < wider.high
    assert closer.percent == round(100 * (1 - closer.ratio))


@pytest.mark.proof
def test_flat_learners_are_hardly_ever_called_and_changing_ones_are():
    """40 learners each. With 2 % of flat ones called ever, 4 or fewer are with probability .9996; with 20 %, .076.

    Of a fall by half 95 % are called: 34 or more of 40 with probability .997. More: ``bench --only trends``.
    """
    rng = np.random.default_rng(6)
    flat = [learner(rng, rho=0.6) for _ in range(40)]
    ever = [any(spread_change(rows[: A_DAY * days]).called for days in range(10, DAYS + 1, 5)) for rows in flat]
    assert sum(ever) <= 4
    assert sum(spread_change(learner(rng, falls=0.5, rho=0.3)).called == -1 for _ in range(40)) >= 34


def test_it_is_too_early_to_tell_at_first():
    rows = learner(np.random.default_rng(7))
    assert spread_change(rows[: A_DAY * (LEAST_DAYS - 1)]) is None
    assert spread_change(rows[: A_DAY * LEAST_DAYS]) is not None
    assert spread_change([row for at, row in enumerate(rows[: A_DAY * LEAST_DAYS]) if at % 5]) is None
    assert spread_change([]) is None
    # A bench that was used on one day alone tells nothing about a change.
    assert spread_change([SpreadRow(row.day, 3, row.day, TEMPO_BPM, row.spread_ms) for row in rows]) is None


def test_years_are_put_together_and_tell_the_same():
    rng = np.random.default_rng(8)
    days = 4 * MOST_CELLS
    rows = [
        SpreadRow(
            day, 3 + day % 2, 0, TEMPO_BPM, (15 + 20 * math.exp(-day / 60)) * math.exp(0.28 * rng.standard_normal())
        )
        for day in range(days)
    ]
    found = spread_change(rows)
    assert found.called == -1
    assert found.low < 15 / 35 < found.high


def test_spreads_that_make_no_sense_are_refused():
    with pytest.raises(ValueError, match="positive"):
        spread_change([SpreadRow(0, 1, 0, 120.0, 0.0)])
