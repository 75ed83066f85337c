"""Simulated learners through the real path: rung and seed to trial, answer, verdict and level, in every drill."""

from functools import lru_cache

import numpy as np
import pytest

from app.demo.simulated import LEARNERS, at_random, counting_late, shifted, simulate
from exercises.drills import drills
from exercises.learner.level import Level, chance_of, difficulty, expected
from exercises.trial.trial import Kind
from synth.base.errors import Trouble
from tests.exercises.quiet import leave_out_drums

pytestmark = pytest.mark.proof

MARKED = {one.id: one for one in drills().values() if one.kind is not Kind.NONE}
TAPPED = [id for id, one in MARKED.items() if one.kind is Kind.TAPS]


@lru_cache(maxsize=512)
def made(id, rung, seed=3):
    with pytest.MonkeyPatch.context() as patch:
        leave_out_drums(patch)
        return MARKED[id].make(rung, seed)


def answered(learner, id):
    """One result a rung."""
    return [
        MARKED[id].mark(trial, simulate(learner, trial))
        for trial in (made(id, rung) for rung in range(1, len(MARKED[id].rungs) + 1))
    ]


@pytest.mark.parametrize("id", MARKED)
def test_who_can_count_is_right_on_every_rung(id, subtests):
    """On the instant, 30 ms early, or scattered with an SD of 25 ms."""
    for learner in ["perfect", "early", "noisy"]:
        with subtests.test(learner=learner):
            results = answered(learner, id)
            assert [result.rung for result in results if not result.right] == []
            assert all(1 <= len(result.verdict) <= 2 and result.text for result in results)


@pytest.mark.parametrize("id", TAPPED)
def test_a_constant_lead_is_the_bias_and_scatter_is_the_spread(id):
    """-30 ms comes back as -30 ms. An SD of 25 ms comes back within the 99.9 % range of chi (n - 1) over all taps."""
    from scipy.stats import chi2

    assert all(result.taps.bias_ms == pytest.approx(-30, abs=1e-6) for result in answered("early", id))
    marks = [result.taps for result in answered("noisy", id) if result.taps.spread_ms is not None]
    if not marks:
        return
    n = sum(each.hits - 1 for each in marks)
    variance = sum((each.hits - 1) * each.spread_ms**2 for each in marks) / n
    low, high = chi2.ppf([0.0005, 0.9995], n) / n
    assert low * 625 < variance < high * 625


@pytest.mark.parametrize(
    ("id", "rung", "chance"), [("intro", 5, 1 / 9), ("odd-phrase", 5, 1 / 6), ("stopped-bar", 3, 1 / 16)]
)
def test_the_stated_chance_is_one_in_the_answers(id, rung, chance):
    assert MARKED[id].chance(made(id, rung)) == pytest.approx(chance)


@pytest.mark.parametrize("id", ["one", "stopped-beat", "stopped-bar", "bring-in", "land"])
def test_always_on_the_three_is_never_right_where_the_one_matters(id):
    results = answered("on-the-three", id)
    assert not any(result.right for result in results)
    told = {"one": "You were on the three.", "bring-in": "2 beats late", "land": "2 beats late"}
    fours = [r for r in results if made(id, r.rung).count.beat_in_bar.max() == 4]
    assert all(told.get(id, "") in result.text for result in fours)


@pytest.mark.parametrize("id", ["stopped-bar", "intro", "turn", "bring-in", "land"])
def test_off_by_one_bar_is_never_right_where_bars_are_counted(id):
    results = answered("bar-late", id)
    assert not any(result.right for result in results)
    # Where a hint was heard a bar before the song, the count stopped at the hint.
    told = {"intro": ("one bar short", "only a hint"), "bring-in": ("one bar late",), "land": ("one bar late",)}
    assert all(any(each in result.text for each in told.get(id, ("",))) for result in results)


@pytest.mark.parametrize(
    ("id", "says"), [("one", "every second bar"), ("beat", "half time"), ("intro", "half of it"), ("tempo", "half")]
)
def test_half_time_is_named_and_not_right(id, says):
    results = answered("half-time", id)
    assert not any(result.right for result in results)
    # Half of eight bars is one phrase short as well, and half time in bars of five is nothing anybody would name.
    assert np.mean([says in result.text for result in results]) > 0.5


@pytest.mark.parametrize(
    ("learner", "spoils", "spares"),
    [
        ("deaf-to-depth", ("drum", "one", "stopped-beat", "stopped-bar"), ("beat", "tempo", "odd-phrase")),
        (
            "deaf-to-turns",
            ("stopped-bar", "turn", "intro", "odd-phrase", "bring-in"),
            ("beat", "one", "stopped-beat"),
        ),
    ],
)
def test_a_missing_cue_spoils_the_drills_that_need_it_and_no_others(learner, spoils, spares):
    for id in spoils:
        right = [
            MARKED[id].mark(trial, simulate(learner, trial)).right
            for trial in (made(id, 2 + seed % 6, seed) for seed in range(30))
        ]
        assert np.mean(right) < 0.75, id
    for id in spares:
        assert all(result.right for result in answered(learner, id)), id


@pytest.mark.parametrize("id", ["beat", "one"])
@pytest.mark.parametrize(("learner", "says"), [("drifts", ("slower", "slowed down")), ("rushes", ("sped up",))])
def test_a_tempo_of_ones_own_is_told(learner, says, id):
    results = answered(learner, id)
    assert np.mean([any(each in result.text for each in says) for result in results]) > 0.9
    assert not any("steady" in result.text for result in results)


def test_an_unknown_learner_is_refused_with_the_near_ones():
    with pytest.raises(Trouble, match="perfect"):
        simulate("perfekt", made("one", 1))


def test_a_late_count_is_late_by_so_much():
    trial = made("stopped-bar", 1)
    bar, beat = map(int, trial.expected.split("."))
    answer = counting_late(0, bars=1)(trial, np.random.default_rng(0))
    assert answer.value == f"{(bar - 2) % trial.truth().phrase_bars + 1}.{beat}"


@pytest.mark.parametrize("id", ["drum", "stopped-bar", "bring-in"])
def test_learning_over_weeks_is_seen(id):
    """Six weeks, ten trials a day of a growing learner, each on the rung that the level so far leads to.

    One learner's practice curve is exponential (Heathcote, Brown & Mewhort 2000, Psychon. Bull. Rev. 7, 185-207).
    The estimate follows the growth, ends within three standard errors of the truth or at the drill's last rung, and
    about four in five trials come out right on the way, as the choice of rung aims at.
    """
    one, rng = MARKED[id], np.random.default_rng(11)
    known, found, right = Level.about(), [], []
    for day in range(0, 42, 2):
        theta = 0.03 * one.place + 3.5 - 2.5 * np.exp(-day / 20)
        known = known.walked(0.14)
        for _ in range(10):
            rung = known.rung(one)
            trial = made(id, rung, int(rng.integers(12)))
            can = rng.random() < expected(theta, difficulty(one, rung))
            result = one.mark(trial, (shifted(-20.0, 15.0) if can else at_random)(trial, rng))
            known = known.after(bool(result.right), difficulty(one, rung), chance_of(id, rung))
            right.append(result.right)
        found.append((theta, known.theta, known.sd))
    truth, estimate, sd = np.array(found).T
    assert abs(estimate[-1] - truth[-1]) < 3 * sd[-1]
    assert estimate[-5:].mean() - estimate[:3].mean() > 0.8
    assert np.corrcoef(truth, estimate)[0, 1] > 0.6
    assert 0.68 < np.mean(right) < 0.92


def test_every_learner_answers_every_drill():
    """Also those whom a drill cannot catch out; what has no answer is refused in one clear line."""
    for id in MARKED:
        trial = made(id, 1)
        for name in LEARNERS:
            answer = simulate(name, trial)
            if name == "silent" and MARKED[id].answers(trial):
                with pytest.raises(Trouble, match="answer"):
                    MARKED[id].mark(trial, answer)
            else:
                assert 0 <= MARKED[id].mark(trial, answer).score <= 1
