"""Staircases come to rest where their papers say: checked by simulated listeners of known threshold."""

import math

import numpy as np
import pytest

from exercises.drills import drill
from exercises.learner.level import expected
from exercises.learner.staircase import Staircase, along, climb, nearest_rung


def share_right(staircase, rng, trials=20_000):
    """Share of right answers of a listener whose chance of a right answer rises with the log of the value."""
    right = []
    for _ in range(trials):
        answer = rng.random() < 1 / (1 + math.exp(-4 * math.log(staircase.value)))
        right.append(answer)
        staircase = staircase.after(bool(answer))
        if len(staircase.turns) > 4:
            staircase = Staircase(
                staircase.value,
                staircase.step_down,
                staircase.step_up,
                staircase.rights_to_go_down,
                in_a_row=staircase.in_a_row,
                going=staircase.going,
            )
    return float(np.mean(right))


@pytest.mark.parametrize(("rights", "share"), [(2, 0.7071), (3, 0.7937)])
def test_levitts_staircases(rights, share):
    """1-up 2-down rests at .7071 and 1-up 3-down at .7937 (Levitt 1971; p^n = 1/2).

    A small step, since the rest is that of a level, not of the share averaged over the staircase's wandering.
    """
    staircase = Staircase.transformed(2.0, rights=rights, step=0.02)
    assert staircase.rests_at == pytest.approx(share, abs=5e-5)
    assert share_right(staircase, np.random.default_rng(7)) == pytest.approx(share, abs=0.012)


@pytest.mark.proof
@pytest.mark.parametrize("aim", [0.75, 0.8, 0.9])
def test_kaernbachs_weighted_staircase(aim):
    """Step up / step down = p / (1 - p): 3 at .75, 4 at .8 (Kaernbach 1991). Steps balance exactly at p."""
    staircase = Staircase.weighted(2.0, aim=aim, step_down=0.02)
    assert staircase.step_up / staircase.step_down == pytest.approx(aim / (1 - aim))
    assert staircase.rests_at == pytest.approx(aim)
    assert share_right(staircase, np.random.default_rng(8)) == pytest.approx(aim, abs=0.012)


def test_it_finds_the_threshold_of_a_listener():
    """Over 60 runs the mean threshold is where the listener is right in 80 %: ln x = ln 4 / 4, x = 1.414."""
    rng = np.random.default_rng(9)
    found = []
    for _ in range(60):
        staircase = Staircase.weighted(3.0, step_down=0.06)
        for _ in range(120):
            staircase = staircase.after(bool(rng.random() < 1 / (1 + math.exp(-4 * math.log(staircase.value)))))
        found.append(staircase.threshold()[0])
    assert np.exp(np.mean(np.log(found))) == pytest.approx(4**0.25, rel=0.06)


def test_right_goes_down_and_wrong_goes_up():
    start = Staircase.weighted(10.0, step_down=0.1)
    assert start.after(True).value == pytest.approx(10 * math.exp(-0.1))
    assert start.after(False).value == pytest.approx(10 * math.exp(0.4))
    two = Staircase.transformed(10.0, rights=2)
    assert two.after(True).value == 10.0
    assert two.after(True).after(False).value == pytest.approx(10 * math.exp(0.1))


def test_turns_are_where_the_direction_changes():
    done = climb(Staircase.weighted(10.0), [True, True, False, False, True])
    assert done.turns == (pytest.approx(10 * math.exp(-0.2)), pytest.approx(10 * math.exp(0.6)))


def test_no_threshold_from_too_few_turns():
    assert climb(Staircase.weighted(10.0), [True, False] * 2).threshold() is None


def test_it_stays_within_its_bounds():
    done = climb(Staircase.weighted(10.0, low=9.0, high=11.0), [True] * 50)
    assert done.value == 9.0
    assert climb(done, [False] * 3).value == 11.0


def test_slips_are_named():
    with pytest.raises(ValueError, match="percentage"):
        Staircase.weighted(3.0, aim=80)
    with pytest.raises(ValueError, match="value -1"):
        Staircase.weighted(-1.0)


def test_the_rungs_of_faster_narrow_to_the_threshold():
    """Somebody whose chance of hearing which is faster is .8 at 4 %: the staircase stays about there.

    Over many answers given on the rung that it asks for; the tempo JND of 1.5 to 6 % (Drake & Botte 1993) is within
    the rungs.
    """
    values = [rung.gap_percent for rung in drill("faster").rungs]
    assert values[0] > 6 > values[-1] >= 1.5
    rng, answers, asked = np.random.default_rng(2), [], []
    for _ in range(400):
        rung = nearest_rung(along(values, answers[-60:]), values)
        # .5 + .5 sigma(3 ln(gap / 4) + ln 1.5) is .8 at 4 %.
        share = expected(3 * np.log(values[rung - 1] / 4) + np.log(1.5), 0.0, 0.5)
        answers.append((rung, bool(rng.random() < share)))
        asked.append(values[rung - 1])
    assert 2.5 < np.exp(np.mean(np.log(asked[50:]))) < 7
    assert np.mean([right for _, right in answers[50:]]) == pytest.approx(0.8, abs=0.06)


def test_a_rung_chosen_by_hand_is_where_it_goes_on():
    values = (20.0, 10.0, 5.0, 2.5)
    assert nearest_rung(along(values, []), values) == 1
    assert nearest_rung(along(values, [(4, True)]), values) == 4
    assert nearest_rung(along(values, [(4, False)]), values) < 4
