"""The drill `outro`: one press, as bass and chords go and the drums stay."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.score.hits import PITCHED

pytestmark = pytest.mark.sampled(3)

OUTRO = drill("outro")
RUNGS = range(1, len(OUTRO.rungs) + 1)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_song_goes_at_the_target_and_the_kick_stays(rung):
    """Read off the hits: chords before, none after it, and a kick in the first bar."""
    for seed in range(6):
        trial = OUTRO.make(rung, seed)
        (target_s,) = trial.targets_s
        hits, bar_s = trial.arrangement.hits, 4 * trial.period_s
        chords = [voice for voice in PITCHED if voice != "bass"]
        at_s = np.concatenate([hits.only(voice).grid_s for voice in chords])
        assert ((at_s > target_s - 4 * bar_s) & (at_s < target_s - 1e-6)).any()
        assert not (at_s > target_s - 1e-6).any()
        kicks_s = hits.only("kick").grid_s
        assert ((kicks_s > target_s - 1e-6) & (kicks_s < target_s + bar_s)).any()
        assert trial.count.end_s - target_s >= 2 * bar_s - 1e-6
        assert OUTRO.mark(trial, Answer(trial.targets_s)).right


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_the_bar_of_the_outro_is_spread_alike_whatever_the_last_part_is(rung, quiet):
    trials = [OUTRO.make(rung, seed) for seed in range(60)]
    assert len({len(trial.count) for trial in trials}) == 1
    bars = [round((trial.targets_s[0] - 1) / trial.period_s / 4) for trial in trials]
    assert len(set(bars)) == OUTRO.rungs[rung - 1].later_bars + 1


@pytest.mark.parametrize(
    ("rung", "beats", "right", "says"),
    [
        (1, 4, True, "You had the outro, one bar late. It can be foreseen"),
        (1, 5, False, "You pressed one bar and one beat late: the outro had begun."),
        (4, 0.2, True, "You had the outro, on its one."),
        (4, 3, False, "You pressed 3 beats late"),
        (6, 2, False, "You pressed 2 beats late"),
        (6, -1, False, "You pressed one beat early: the song went on."),
    ],
)
def test_presses_are_told_in_beats(rung, beats, right, says):
    trial = OUTRO.make(rung, 2)
    result = OUTRO.mark(trial, Answer(trial.targets_s + beats * trial.period_s))
    assert result.right is right
    assert result.text.startswith(says)


def test_a_press_at_the_break_is_told_as_that():
    trial = next(
        trial
        for trial in (OUTRO.make(4, seed) for seed in range(20))
        if any(each.name == "break" and each.start_s > 1.5 for each in trial.arrangement.sections)
    )
    break_s = next(each.start_s for each in trial.arrangement.sections if each.name == "break")
    assert OUTRO.mark(trial, Answer(np.array([break_s + 0.2]))).text.startswith("You pressed at the break")


def test_no_press_is_told():
    assert "No press came in." in OUTRO.mark(OUTRO.make(1, 1), Answer()).text
