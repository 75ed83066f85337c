"""A trial's own truth in short form: what is marked from it is marked as the trial itself."""

import json
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.demo.simulated import at_random, counting_late, perfect, shifted
from exercises.drills import drill, drills
from exercises.trial.kept.grid import pack_numbers, pack_rows, pack_times, unpack_count, unpack_rows, unpack_times
from exercises.trial.kept.record import kept
from exercises.trial.kept.truth import kept_truth, truth_of
from exercises.trial.side_task import Key, Task, mark_side, side_task
from exercises.trial.trial import NO_TAPS, Answer
from synth.base.border import Unfit
from synth.base.errors import Trouble
from synth.score.metre import Count

pytestmark = pytest.mark.sampled(3)

# One of each learner; over the rungs of a drill what goes wrong in one trial of twenty is found with 0.91 or more.
SEEDS = 6
COUNT = ("beats_s", "beat_in_bar", "bar_number", "bar_in_phrase", "phrase_number")


def half(trial, rng):
    """Taps the first half of the targets."""
    return Answer(trial.targets_s[: len(trial.targets_s) // 2], trial.expected)


def nobody(trial, rng):
    """Taps nothing."""
    return Answer(NO_TAPS, trial.expected)


LEARNERS = (perfect, shifted(-40.0, 25.0), counting_late(1), at_random, half, nobody)


def again(trial):
    """The trial by way of its kept truth as text."""
    read = kept_truth(json.loads(json.dumps(truth_of(trial).to_json())))
    return read.trial(trial.drill, trial.rung, trial.seed, trial.version, trial.groove)


@lru_cache(maxsize=4)
def written(name):
    """The truth of a trial as it is kept."""
    return truth_of(drill(name).make(1, 11)).to_json()


@pytest.mark.proof
@pytest.mark.parametrize("name", drills())
def test_it_is_marked_as_the_trial_that_was_made(name, quiet):
    """Right, wrong, partly and not at all."""
    one, rng = drill(name), np.random.default_rng(1)
    for rung in range(1, len(one.rungs) + 1):
        for seed in range(SEEDS):
            made = one.make(rung, seed)
            back = again(made)
            for column in COUNT:
                assert np.array_equal(getattr(back.count, column), getattr(made.count, column))
            assert np.array_equal(back.targets_s, made.targets_s)
            shared = ("question", "period_s", "kind", "then", "choices", "expected", "help", "rules", "kit_seed")
            assert all(getattr(back, each) == getattr(made, each) for each in (*shared, "contrast", "groove"))
            assert [(each.time_s, each.signals) for each in back.truth().turns] == [
                (pytest.approx(each.time_s, abs=1e-6), each.signals) for each in made.truth().turns
            ]
            for own, other in zip(back.counts_beside, made.counts_beside, strict=True):
                assert all(np.array_equal(getattr(own, column), getattr(other, column)) for column in COUNT)
            answer = LEARNERS[seed % len(LEARNERS)](made, rng)
            results = [one.mark(each, answer, uncertainty_ms=1.5) for each in (made, back)]
            assert kept(made, results[0]) == kept(back, results[1])
            assert results[0].to_json() == results[1].to_json()


def test_it_is_short():
    """Most below 1 000 characters, whatever the drill; the beats of 208 in a row are three numbers."""
    turn = drill("turn").make(9, 0)
    assert len(turn.count) == 208
    assert len(json.dumps(truth_of(turn).to_json())) < 600


def test_a_rung_that_is_another_one_by_now_changes_no_mark(monkeypatch):
    """The columns that marking reads go with the trial."""
    through = drill("through")
    made = through.make(9, 4)
    answer = perfect(made, np.random.default_rng(0))
    before = through.mark(again(made), answer)
    monkeypatch.setattr(type(through), "rungs", through.rungs[:3])
    assert through.mark(again(made), answer).to_json() == before.to_json()
    assert before.right


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("through", {"taps": "sometimes"}),
        ("through", {"silent_bars": 0}),
        ("turn", {"window_beats": 0.0}),
        ("outro", {"within_beats": 0}),
        ("tempo", {"tolerance_percent": 0.0}),
    ],
)
def test_a_rule_of_another_kind_or_of_nothing_is_trouble(name, rule):
    made = drill(name).make(2, 4)
    made = replace(made, rules=made.rules | rule)
    with pytest.raises(Trouble, match="rules"):
        drill(name).mark(made, perfect(made, np.random.default_rng(0)))


def test_wishes_and_the_answers_to_a_side_task_are_kept():
    made = drill("one").make(2, 9, tempo_bpm=101.5, groove="half-time")
    side = side_task(made, Task.COLOUR)
    given = [(thing.at_s + 0.5, thing.key) for thing in side.things[1:]] + [(0.5, Key.LEFT)]
    truth = kept_truth(json.loads(json.dumps(truth_of(made, side, given).to_json())))
    assert (truth.tempo_wish, truth.groove_wish) == (101.5, "half-time")
    assert truth.side.marks() == mark_side(side, given)


def test_rows_without_a_drum_are_known():
    made = drill("through").make(2, 3)
    rests = unpack_rows(truth_of(made).rests)
    back_s = made.targets_s[-1]
    row = int(np.searchsorted(made.count.beats_s, back_s))
    assert rests.tolist() == list(range(row - 8, row + 1))  # the drums return a beat after the one to tap


@given(
    st.lists(st.floats(0.001, 3.0), min_size=1, max_size=40),
    st.floats(-5.0, 50.0),
    st.floats(0.1, 3.0),
    st.integers(0, 80),
)
def test_any_times_come_back_to_the_last_bit(steps_s, start_s, period_s, n):
    free_s = start_s + np.cumsum(steps_s)
    times_s = np.concatenate([free_s, free_s[-1] + 0.01 + period_s * np.arange(n)])
    assert np.array_equal(unpack_times(pack_times(times_s, (period_s,))), times_s)


@given(st.sets(st.integers(0, 300)))
def test_any_rows_come_back(rows):
    rising = np.array(sorted(rows), dtype=np.int64)
    assert np.array_equal(unpack_rows(pack_rows(rising)), rising)


@pytest.mark.proof
@given(st.lists(st.tuples(*[st.integers(0, 5)] * 3, st.integers(1, 32)), min_size=1, max_size=30))
def test_any_numbers_come_back(columns):
    phrase, bar, in_phrase, beat = np.array(columns, dtype=np.int64).T
    times_s = 1.0 + np.arange(len(beat))
    count = Count(times_s, beat, bar, in_phrase, phrase, float(len(beat)) + 1)
    back = unpack_count(pack_times(times_s), pack_numbers(count, 4, 4), count.end_s)
    for column in COUNT:
        assert np.array_equal(getattr(back, column), getattr(count, column))


NO_TRIALS = [
    ("one", "numbers", []),
    ("one", "beats_s", [1.0, 1.0]),
    ("one", "beats_s", [[1.0, 0.0, 0, 40, ""]]),
    ("one", "beats_s", [[1.0, 0.5, 0, 20_001, ""]]),
    ("one", "beats_s", [[1.0, 0.5, 0, 40, "4"]]),
    ("one", "beats_s", [float("nan")]),
    ("one", "numbers", [[1, 1, 1, 1, 4, 4, 4]]),
    ("one", "numbers", [[1, 1, 1, 9, 40, 4, 4]]),
    ("one", "end_s", 1.0),
    ("one", "targets", []),
    ("one", "targets", [[39, 4, 8]]),
    ("one", "targets", [[4, 1, 2], [4, 1, 2]]),
    ("one", "targets_s", [2.0, 1.0]),
    ("one", "period_s", 500.0),
    ("one", "metre", "four"),
    ("one", "kind", "singing"),
    ("one", "question", None),
    ("one", "rules", {"window": []}),
    ("one", "side", {"task": "parity", "shown_s": [1.0], "keys": "lr"}),
    ("stopped-beat", "expected", "9"),
    ("stopped-bar", "expected", "bar three"),
    ("intro", "expected", None),
]


def test_what_cannot_be_a_trial_is_named(subtests):
    for name, key, wrong in NO_TRIALS:
        with subtests.test(name=name, key=key, wrong=wrong):
            data = written(name)
            kept_truth(data)
            with pytest.raises(Unfit, match=key.replace("_s", "")) as caught:
                kept_truth(data | {key: wrong})
            assert str(caught.value).isprintable()


ODD = (0, -1, 1, 32, 20_000, 10**12, 0.5, 1e-9, -1e6, "", "4", "zz", None, [], [0.5, 0.5, 0, 4, ""], [1, 1, 1])


def places(data, way=()):
    """The ways to every value within plain values."""
    for key in data if isinstance(data, dict) else range(len(data)) if isinstance(data, list) else ():
        yield (*way, key)
        yield from places(data[key], (*way, key))


@pytest.mark.proof
def test_of_whatever_passes_a_trial_can_be_made():
    rng = np.random.default_rng(3)
    passed = 0
    for name in ("one", "through", "turn", "feel", "faster", "drum", "land") * 40:
        data = truth_of(drill_made(name)).to_json()
        *way, last = (every := [*places(data)])[int(rng.integers(len(every)))]
        within = data
        for key in way:
            within = within[key]
        within[last] = ODD[int(rng.integers(len(ODD)))]
        try:
            truth = kept_truth(data)
        except Unfit:
            continue
        truth.trial(name, 1, 3, 1, "")
        passed += 1
    assert 5 < passed < 200


@lru_cache
def drill_made(name):
    """A trial of the drill."""
    return drill(name).make(2, 3)
