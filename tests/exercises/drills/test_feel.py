"""The drill `feel`: half time, straight on or double time, and the beat the dancers would tap."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.answers import read_answer
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.trial import Answer
from synth.base.errors import Trouble
from synth.score.metre import Metre

pytestmark = pytest.mark.sampled(3)

FEEL = drill("feel")
RUNGS = range(1, len(FEEL.rungs) + 1)
SHARP = ("snare", "clap", "rim")


def made(rung, feel, seed=0):
    return next(t for t in (FEEL.make(rung, s) for s in range(seed, seed + 80)) if t.expected == feel)


def mark(trial, value, taps_s=None):
    return FEEL.mark(trial, Answer(trial.targets_s if taps_s is None else taps_s, value))


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.parametrize("feel", ["half", "straight", "double"])
def test_every_second_felt_beat_carries_the_backbeat(rung, feel):
    """Backbeat on two and four of the felt bar, as in the standard rock beat (de Clercq 2016, MTO 22(3))."""
    if feel not in FEEL.rungs[rung - 1].feels:
        assert all(FEEL.make(rung, seed).expected != feel for seed in range(20))
        return
    trial = made(rung, feel)
    hits, tempo = trial.arrangement.hits, trial.arrangement.tempo_bpm
    assert trial.period_s == pytest.approx(60 / tempo * {"half": 2, "straight": 1, "double": 0.5}[feel])
    # The two bars of listening hold whole felt bars, so the first target is a felt one; a fill may end the phrase.
    loud = np.isin(hits.voice, [hits.voices.index(name) for name in SHARP]) & (hits.velocity > 0.5)
    last_bar_s = trial.count.ones_s[-1]
    backbeats_s = trial.targets_s[1::2]
    backbeats_s = backbeats_s[backbeats_s < last_bar_s - 0.01]
    away_s = np.abs(hits.onset_s[loud][:, None] - backbeats_s).min(axis=0)
    assert away_s.max() < 0.03
    assert (mark(trial, feel).right, mark(trial, feel).score) == (True, 1.0)


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_length_and_question_are_alike_in_every_feel(rung, quiet):
    """In one tempo and groove: as long a sound, the same words, the same choices, whatever is true."""
    trials = [FEEL.make(rung, seed, tempo_bpm=96, groove="backbeat") for seed in range(40)]
    assert {trial.expected for trial in trials} == set(FEEL.rungs[rung - 1].feels)
    assert len({(round(t.duration_s, 9), len(t.count), str(t.question), t.choices) for t in trials}) == 1


def test_felt_beats_are_ones_that_can_be_tapped():
    """Between 0.25 and 1.5 s on every rung (Repp 2006, Adv. Cogn. Psychol. 2, 163-181)."""
    for row in FEEL.rungs:
        slow, fast = (60 / tempo_bpm for tempo_bpm in row.tempo_bpm)
        assert 2 * slow <= 1.5 or "half" not in row.feels
        assert fast / 2 >= 0.25 or "double" not in row.feels


def test_both_halves_of_the_answer_must_be_right():
    trial = made(3, "half")
    taps_only, choice_only = mark(trial, "double"), mark(trial, "half", trial.targets_s + trial.period_s / 2)
    assert (taps_only.right, choice_only.right) == (False, False)
    assert "Your taps had it, your answer did not: it was half time." in taps_only.text
    assert "Your taps fell between the beats." in choice_only.text


@pytest.mark.parametrize("feel", ["half", "double"])
def test_who_goes_on_with_the_old_beat_is_told_so(feel):
    trial = made(3, feel)
    result = mark(trial, "straight", trial.count.beats_s)
    assert not result.right
    assert "You kept to the beat from before the turn" in result.text
    assert f"It was {feel} time: snare or clap came" in result.text


def test_a_file_holds_taps_and_one_answer(tmp_path):
    trial = made(4, "straight")
    file = tmp_path / "answer.txt"
    taps = [f"{tap_s:.6f}" for tap_s in trial.targets_s]
    file.write_text("\n".join(["# mine", *taps, "Answer: Straight  # sure"]))
    again = trial_from_json(trial.to_json())
    result = FEEL.mark(again, read_answer(file, again))
    assert (result.right, result.given, result.taps.hits) == (True, "straight", len(taps))
    for text, says in (
        ("\n".join(taps), "not 0 such lines"),
        ("answer: half\nanswer: half\n1.0", "not 2 such lines"),
        ("1.0\nanswer: slow", "line 2: 'slow' is none of the answers"),
        ("answer: half\n1.0\nx", "line 3: 'x' is no number"),
    ):
        file.write_text(text)
        with pytest.raises(Trouble, match=says):
            read_answer(file, again)
    file.write_text("answer: straight\n")
    assert "No tap came in." in FEEL.mark(again, read_answer(file, again)).text


def test_no_answer_is_refused():
    with pytest.raises(Trouble, match="asks for one"):
        mark(made(1, "half"), None)


@pytest.mark.parametrize("name", ["waltz", "five-four", "six-eight", "shuffle"])
def test_other_metres_can_be_wished_for(name):
    for seed in range(6):
        trial = FEEL.make(7, seed, groove=name)
        assert trial.arrangement.metre != Metre() or name == "shuffle"
        assert mark(trial, trial.expected).right
