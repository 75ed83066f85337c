"""The level of a learner: Elo's arithmetic with a chance of guessing, its uncertainty, and the rung it leads to."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy import special, stats

from exercises.drills import drill
from exercises.learner.level import (
    GRID,
    Level,
    Response,
    chance_of,
    difficulty,
    expected,
    information,
    level,
    responses,
)
from exercises.trial.kept.record import TrialRecord
from exercises.trial.modes import Mode
from exercises.trial.trial import Answer

ONE = drill("one")


def test_expected_share_by_elos_formula_with_guessing():
    """P = c + (1 - c) / (1 + e^(d - theta)), worked by hand: Pelanek 2016 (formula from memory).

    In Elo's own units (400 points a factor of ten) 200 points ahead is a share of .7597 (Elo 1978, from memory).
    """
    assert expected(2.0, 2.0) == pytest.approx(0.5)
    assert expected(2.0, 2.0, 1 / 2) == pytest.approx(0.75)
    assert expected(2.0, 2.0, 1 / 4) == pytest.approx(0.625)
    assert expected(np.log(4), 0.0) == pytest.approx(0.8)
    assert expected(200 * np.log(10) / 400, 0.0) == pytest.approx(0.7597, abs=1e-4)
    assert expected(-30.0, 0.0, 0.25) == pytest.approx(0.25)


def test_a_chance_in_per_cent_is_refused():
    with pytest.raises(ValueError, match="percentage"):
        expected(0.0, 0.0, 25)


def test_information_is_the_slope_squared_over_the_variance():
    """Fisher information of one answer, against a numerical derivative; without guessing it is P (1 - P)."""
    for chance in (0.0, 0.25, 0.5):
        step = 1e-5
        share = expected(1.3, 0.9, chance)
        slope = (expected(1.3 + step, 0.9, chance) - expected(1.3 - step, 0.9, chance)) / (2 * step)
        assert information(1.3, 0.9, chance) == pytest.approx(slope**2 / (share * (1 - share)), rel=1e-6)
    assert information(0.4, 0.0) == pytest.approx(expected(0.4, 0.0) * (1 - expected(0.4, 0.0)))


@pytest.mark.parametrize("right", [True, False])
def test_one_answer_moves_a_well_known_level_as_elo_does(right):
    """theta + K (right - P), with K the variance of what is known (Glickman 1999): to first order the same."""
    before = Level.about(2.0, 0.4)
    after = before.after(right, 1.5)
    assert after.theta - before.theta == pytest.approx(before.sd**2 * (right - expected(2.0, 1.5)), rel=0.1)


def test_a_guess_tells_less_than_a_miss():
    """Where half the answers can be guessed, a right one raises the level less than without guessing."""
    assert Level.about(2, 1).after(True, 2.0, 0.5).theta < Level.about(2, 1).after(True, 2.0).theta


def test_an_unsure_difficulty_tells_less():
    """The mean of the logistic over a normal difficulty, by scipy's quadrature, to .01; and the level moves less."""
    for theta, sd in ((-1.0, 0.6), (0.5, 0.6), (2.0, 1.0)):
        exact = stats.norm.expect(lambda hard, theta=theta: special.expit(theta - hard), scale=sd)
        assert expected(theta, 0.0, unsure=sd) == pytest.approx(exact, abs=0.01)
    before = Level.about(2, 1)
    assert before.after(True, 2.0, unsure=1.0).theta < before.after(True, 2.0).theta


def test_blurring_adds_its_variance():
    before = Level.about(3.0, 0.7)
    for walk in (0.05, 0.08, 0.5):
        assert before.walked(walk).sd ** 2 == pytest.approx(0.49 + walk**2, rel=0.02)
        assert before.walked(walk).theta == pytest.approx(3.0, abs=1e-6)


def test_stated_uncertainty_is_honest():
    """Over 200 simulated learners the true level lies within two standard errors in about 95 % of the cases."""
    rng = np.random.default_rng(4)
    inside = []
    for theta in rng.normal(2.0, 1.5, 200):
        known = Level.about(2.0, 1.5)
        for _ in range(30):
            hard = float(np.clip(known.theta - 1.0, -2, 8))
            known = known.after(bool(rng.random() < expected(theta, hard, 0.25)), hard, 0.25)
        inside.append(abs(known.theta - theta) < 2 * known.sd)
    assert 0.90 <= np.mean(inside) <= 1.0


def test_the_next_rung_aims_at_four_right_out_of_five():
    for theta in (2.5, 3.5, 4.5):
        known = Level.about(theta, 0.2)
        rung = known.rung(ONE)
        shares = [known.expects(difficulty(ONE, each), chance_of("one", each)) for each in range(1, 10)]
        assert abs(shares[rung - 1] - 0.8) == min(abs(share - 0.8) for share in shares)
        assert 0.7 < shares[rung - 1] < 0.9


def test_a_level_beyond_the_ladder_keeps_to_its_ends():
    assert Level.about(-5, 0.3).rung(ONE) == 1
    assert Level.about(14, 0.3).rung(ONE) == len(ONE.rungs)


def test_rest_makes_a_level_less_certain():
    rows = [Response(2.0, 0.0, True, 0.0)] * 10
    now, later = level([*rows, Response(2.0, 0.0, True, 0.1)]), level([*rows, Response(2.0, 0.0, True, 30.0)])
    assert later.sd > now.sd
    assert later.answers == now.answers == 11


def record(n, right, **more):
    when = (datetime(2030, 5, 1, tzinfo=UTC) + timedelta(minutes=n)).strftime("%Y-%m-%dT%H:%M:%SZ")
    plain = {"drill": "one", "rung": 2, "seed": n, "version": 1, "groove": "", "tempo_bpm": 120.0}
    result = {"right": right, "score": float(bool(right))}
    return TrialRecord(**(plain | {"when": when, "answer": Answer(), "result": result} | more))


def test_records_become_attempts_oldest_first():
    """Void and busy trials, vanished rungs and drills, and those with nothing to be right about do not count."""
    rows = [
        record(3, False),
        record(1, True),
        record(2, True, result=None, void="the sound stopped"),
        record(4, None),
        record(5, True, mode=Mode.BUSY),
        record(6, True, rung=99),
        record(7, True, drill="no longer there"),
    ]
    found = responses(rows)
    assert [each.right for each in found["one"]] == [True, False]
    assert found["one"][0].difficulty == difficulty(ONE, 2)
    assert list(found) == ["one"]
    assert len(responses(rows, mode=Mode.BUSY)["one"]) == 1


def test_the_grid_is_wide_enough_for_every_rung():
    assert GRID[0] < difficulty(ONE, 1) - 4
    assert GRID[-1] > 0.03 * 160 + 0.6 * 9 + 3
