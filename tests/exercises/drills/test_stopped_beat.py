"""Stopped beat: the truth lies in the drums and in nothing else, and every answer gets its own words."""

from dataclasses import replace

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.answers import parse_value
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

DRILL = drill("stopped-beat")
RUNGS = range(1, len(DRILL.rungs) + 1)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_a_perfect_learner_is_right_and_every_other_answer_is_wrong(rung):
    for seed in range(4):
        trial = DRILL.make(rung, seed)
        right = [DRILL.mark(trial, Answer(value=choice.key)).right for choice in trial.choices]
        assert right == [choice.key == trial.expected for choice in trial.choices]
        assert trial.expected == str(trial.count.beat_in_bar[-1])


def test_the_last_beat_is_what_the_drums_say():
    """Snare on two and four, kick and no snare on one and three of a backbeat: common practice."""
    heard = set()
    for seed in range(40):
        trial = DRILL.make(3, seed, groove="backbeat")
        hits, last_s = trial.arrangement.hits, trial.count.beats_s[-1]
        if trial.count.bar_in_phrase[-1] == trial.arrangement.phrase_bars:
            continue  # a fill may sound there
        loud = (np.abs(hits.onset_s - last_s) < 0.03) & (hits.velocity > 0.5)
        voices = {hits.voices[voice] for voice in hits.voice[loud]}
        assert ("snare" in voices) == (trial.expected in "24")
        assert ("kick" in voices) == (trial.expected in "13")
        heard.add(trial.expected)
    assert heard == set("1234")


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_the_sound_stops_with_the_last_beat(rung):
    """Not a sample after it, whatever was ringing, and no hit of the beat that would have come."""
    trial = replace(DRILL.make(rung, 3), kit_seed=0)  # one kit for all rungs
    count = trial.count
    sound = trial.samples(16_000)
    assert len(sound) == round(count.end_s * 16_000)
    assert count.end_s == pytest.approx(count.beats_s[-1] + trial.period_s)
    assert np.abs(sound[-1]).max() < 1e-3
    assert trial.arrangement.hits.onset_s.max() < count.end_s - 0.02


def test_the_voice_falls_silent_before_any_stop_and_no_sheet_shows_it():
    for rung in RUNGS:
        for groove in (None, "six-eight"):
            trial = DRILL.make(rung, 1, groove=groove)
            assert not trial.help.sheet
            assert trial.help.voice_beats <= len(trial.count) - trial.count.beat_in_bar.max()


@pytest.mark.parametrize(("seed_beat", "said", "words"), [
    (3, 3, "It stopped on the three."),
    (3, 4, "It stopped on the three; the four would have come next."),
    (3, 2, "It stopped on the three, one beat after your answer."),
    (3, 1, "You were half a bar off: start your count where the pattern starts again."),
    (4, 1, "It stopped on the four; the one would have come next."),
])  # fmt: skip
def test_what_was_taken_for_what_is_said(seed_beat, said, words):
    trial = next(t for t in (DRILL.make(3, seed) for seed in range(60)) if t.expected == str(seed_beat))
    assert words in DRILL.mark(trial, Answer(value=str(said))).text


def test_bars_of_three_and_five_offer_as_many_beats():
    assert [len(DRILL.make(8, 0, groove=name).choices) for name in ("waltz", "five-four", "backbeat")] == [3, 5, 4]
    trial = DRILL.make(8, 0, groove="five-four")
    far = str((int(trial.expected) + 1) % 5 + 1)
    assert "not on" in DRILL.mark(trial, Answer(value=far)).text


def test_answers_that_are_none_are_trouble():
    trial = DRILL.make(1, 0)
    for wrong in ("5", "0", "", "two"):
        with pytest.raises(Trouble, match="none of the answers"):
            parse_value(trial, wrong)
    with pytest.raises(Trouble, match="no answer"):
        DRILL.mark(trial, Answer())


def test_a_trial_read_from_a_file_is_marked_the_same():
    trial = DRILL.make(3, 2)
    again = trial_from_json(trial.to_json())
    for choice in trial.choices:
        answer = Answer(value=choice.key)
        assert DRILL.mark(again, answer).to_json() == DRILL.mark(trial, answer).to_json()
