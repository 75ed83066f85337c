"""Trials, answers and results as values and as files."""

import json
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill, drills
from exercises.trial.kept.trial_file import read_trial, trial_from_json
from exercises.trial.trial import Answer, Part
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)


@pytest.fixture(scope="module")
def trial():
    return drill("one").make(3, 11)


@pytest.fixture
def file(trial, tmp_path):
    path = tmp_path / "trial.json"
    path.write_text(json.dumps(trial.to_json()), encoding="utf-8")
    return path


def test_a_trial_from_its_file_is_marked_like_the_trial_itself(trial, file):
    answer = simulate("beginner", trial, 2)
    marked = drill("one").mark(read_trial(file), answer, uncertainty_ms=1.5)
    assert marked.to_json() == drill("one").mark(trial, answer, uncertainty_ms=1.5).to_json()


def test_a_trial_goes_through_its_file_unchanged(trial, file):
    assert read_trial(file).to_json() == trial.to_json()


def test_the_file_holds_the_truth_under_its_usual_names(trial):
    data = trial.to_json(44_100)
    assert data["sample_rate_hz"] == 44_100
    assert data["ones_s"] == trial.count.ones_s.tolist()
    assert set(data["targets_s"]) <= set(data["ones_s"])
    assert (data["seed"], data["drill"], data["rung"]) == (11, "one", 3)


def test_a_trial_from_a_file_cannot_be_heard(file):
    with pytest.raises(ValueError, match="make it again"):
        read_trial(file).samples()


NEEDED = (
    *("drill", "rung", "seed", "version", "kind", "then", "question", "choices", "expected", "targets_s", "period_s"),
    *(
        "help",
        "kit_seed",
        "groove",
        "beats_s",
        "beat_in_bar",
        "bar_number",
        "bar_in_phrase",
        "phrase_number",
        "end_s",
    ),
    *("tempo_bpm", "metre", "sections"),
)


def test_a_missing_value_is_trouble_that_names_it(trial, subtests):
    for key in NEEDED:
        with subtests.test(key=key):
            data = trial.to_json()
            del data[key]
            with pytest.raises(Trouble, match=f"{key}.*missing"):
                trial_from_json(data)


OF_A_KIND = ["rung", "kind", "question", "choices", "targets_s", "period_s", "beats_s", "metre"]


def test_a_value_of_the_wrong_kind_is_trouble_in_one_line(trial, subtests):
    for key, wrong in product(OF_A_KIND, [None, {"?": []}, [["x"]], "many"]):
        with subtests.test(key=key, wrong=wrong):
            with pytest.raises(Trouble) as caught:
                trial_from_json(trial.to_json() | {key: wrong})
            assert str(caught.value).isprintable()


WRONG_FIELDS = [
    ("stopped-bar", "expected", None),
    ("stopped-bar", "expected", "bar three"),
    ("stopped-beat", "expected", "9"),
    ("intro", "expected", float("nan")),
    ("stopped-bar", "phrase_bars", 0),
    ("one", "targets_s", [1.0, float("nan")]),
    ("one", "targets_s", [2.0, 1.0]),
    ("one", "beats_s", [1.0, float("nan"), 3.0]),
    ("one", "beats_s", []),
    ("one", "beat_in_bar", [1]),
    ("one", "end_s", 0.0),
    ("one", "tempo_bpm", -3),
    ("one", "rung", "third"),
    ("one", "rung", -1),
    ("one", "question", None),
    ("one", "choices", [None]),
    ("one", "help", None),
    ("one", "metre", None),
    ("one", "sections", None),
    ("one", "seed", True),
    ("one", "kind", "singing"),
    ("one", "period_s", 500.0),
]


def test_the_field_that_is_wrong_is_named_in_plain_words(subtests):
    for drill_id, key, wrong in WRONG_FIELDS:
        with subtests.test(drill_id=drill_id, key=key, wrong=wrong):
            data = json.loads(json.dumps(drill(drill_id).make(1, 11).to_json()))
            trial_from_json(data)
            with pytest.raises(Trouble, match=key) as caught:
                trial_from_json(data | {key: wrong})
            assert str(caught.value).isprintable()
            assert not any(
                word in str(caught.value) for word in ("NoneType", "attribute", "literal", "object", "subscript")
            )


@pytest.mark.sweep
@pytest.mark.parametrize("each", drills().values(), ids=drills())
def test_a_file_of_any_drill_and_rung_is_read(each):
    for rung in range(1, len(each.rungs) + 1):
        data = json.loads(json.dumps(each.make(rung, 11).to_json()))
        read = trial_from_json(data)
        assert read.to_json() == data
        assert read.kind is each.kind


@pytest.mark.parametrize("text", ["[" + "9" * 5000 + "]", "", "{", "[]", "3", "[" * 100_000, "\udcff"])
def test_a_file_that_is_no_trial_is_named(tmp_path, text):
    path = tmp_path / "trial.json"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    with pytest.raises(Trouble, match=r"trial\.json"):
        read_trial(path)
    with pytest.raises(Trouble, match="cannot be read"):
        read_trial(tmp_path)


def test_targets_must_increase_and_the_beat_be_in_seconds(trial):
    with pytest.raises(ValueError, match="increasing"):
        replace(trial, targets_s=np.array([2.0, 1.0]))
    with pytest.raises(ValueError, match="milliseconds"):
        replace(trial, period_s=500.0)
    with pytest.raises(ValueError, match="arrangement"):
        replace(trial, arrangement=None)


def test_the_sound_is_as_long_as_the_trial_says(trial):
    sound = trial.samples(44_100)
    assert sound.dtype == np.float32
    assert sound.shape == (round(trial.duration_s * 44_100), 2)
    assert np.abs(sound).max() <= 1


@pytest.mark.proof
def test_a_second_record_sounds_along(trial):
    together = replace(trial, beside=(Part(trial.arrangement, 1, start_s=2.0),))
    assert len(together.samples(44_100)) == len(trial.samples(44_100)) + 88_200


@pytest.mark.parametrize("taps", [[2.0, 1.0], [np.nan], [[1.0]]])
def test_taps_that_are_no_sorted_row_are_refused(taps):
    with pytest.raises(ValueError, match="taps"):
        Answer(np.array(taps))


def test_values_cannot_be_changed_afterwards(trial):
    for row in (trial.targets_s, Answer(np.array([1.0])).taps_s):
        with pytest.raises(ValueError, match="read-only"):
            row[0] = 0
