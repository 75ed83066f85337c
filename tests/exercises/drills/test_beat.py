"""The beat: every beat of the count is a target, whatever the bar; half and double time are named."""

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.score.grooves import groove

pytestmark = pytest.mark.sampled(3)

DRILL = drill("beat")
RUNGS = range(1, len(DRILL.rungs) + 1)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_every_beat_after_listening_is_a_target_and_a_perfect_learner_has_them_all(rung):
    """Distances of 60 / BPM, to the last beat that sounds."""
    for seed in range(3):
        trial = DRILL.make(rung, seed)
        row = DRILL.rungs[rung - 1]
        assert np.diff(trial.targets_s) == pytest.approx(60 / trial.arrangement.tempo_bpm)
        assert len(trial.targets_s) == row.bars * trial.arrangement.metre.beats_per_bar
        assert trial.targets_s[-1] == trial.count.beats_s[-1]
        result = DRILL.mark(trial, Answer(trial.targets_s))
        assert result.right
        assert result.text.startswith("You had every beat")


@pytest.mark.parametrize("rung", [1, 2, 3, 4, 5])
def test_drums_stand_on_the_beats_of_lower_rungs(rung):
    """Kick, backbeat or a tom of a fill, from the groove files, within 30 ms of four beats in five."""
    trial = DRILL.make(rung, 4)
    hits = trial.arrangement.hits
    strong = hits.only("kick", "snare", "clap", "low_tom", "mid_tom", "high_tom").onset_s
    off_s = np.abs(strong[:, None] - trial.targets_s).min(axis=0)
    assert np.mean(off_s < 0.03) > 0.8


@pytest.mark.parametrize("rung", RUNGS)
def test_no_groove_of_the_drill_invites_half_or_double_time(rung):
    """Some music is tapped at half or double its rate (McKinney & Moelants 2006); that a backbeat on the three, or a
    tempo beyond 150, invites it is common practice."""
    row = DRILL.rungs[rung - 1]
    assert row.tempo_bpm[1] <= 150
    assert all(groove(name).backbeat_on != (3.0,) for name in row.grooves)


def test_half_and_double_time_are_named():
    trial = DRILL.make(3, 5)
    beats = trial.targets_s
    half = DRILL.mark(trial, simulate("half-time", trial))
    assert not half.right
    assert "in half time" in half.text
    double = np.sort(np.append(beats, beats + trial.period_s / 2))
    assert "double time" in DRILL.mark(trial, Answer(double)).text
    assert "some beats had no tap" in DRILL.mark(trial, Answer(beats[::3])).text
    assert "between the beats" in DRILL.mark(trial, Answer(beats + trial.period_s / 2)).text
    assert "No tap came in" in DRILL.mark(trial, Answer()).text


def test_coming_in_late_or_leaving_early_is_named():
    trial = DRILL.make(3, 6)
    assert "The first 4 beats went by" in DRILL.mark(trial, Answer(trial.targets_s[4:])).text
    assert "27 of 32. You stopped 5 beats before the end." in DRILL.mark(trial, Answer(trial.targets_s[:-5])).text
    assert "16 of 32. You stopped 16 beats before the end." in DRILL.mark(trial, Answer(trial.targets_s[:16])).text
    lost = np.append(trial.targets_s[:-5], trial.targets_s[-5:-1] + trial.period_s / 2)
    assert "You lost it for the last 5 beats" in DRILL.mark(trial, Answer(lost)).text


def test_who_met_too_few_is_told_what_counts_and_not_praised():
    """In time from the seventh beat to the 27th of 32, three of them left out: wrong, however steady."""
    trial = DRILL.make(3, 6)
    part = np.delete(np.arange(6, 27), [4, 9, 14])
    missed = DRILL.mark(trial, Answer(trial.targets_s[part]))
    assert not missed.right
    assert missed.text == (
        "You had the beat: 18 of 32. You stopped 5 beats before the end. "
        "It counts as right when three in four are met. Leave none out."
    )
    most = DRILL.mark(trial, Answer(np.delete(trial.targets_s, [3, 9, 16, 27])))
    assert most.right
    assert "counts as right" not in most.text


@pytest.mark.parametrize("calibrated", [True, False])
@pytest.mark.parametrize("end", [24, 22])
def test_a_straight_line_from_early_to_late_is_told_as_a_tempo_of_ones_own(calibrated, end):
    """From -38 to +38 ms in six bars are 76 ms in 23 beats, 13 ms a bar: too little to notice as a tempo (1.5 %,
    Drake & Botte 1993), enough to be heard as a shift at the end. A stop before the end is told beside it."""
    trial = DRILL.make(2, 5)
    taps_s = (trial.targets_s + np.linspace(-0.038, 0.038, 24))[:end]
    for sign, says in (
        (1, "You were a little slower than the music: about 13 ms a bar later."),
        (-1, "You were a little faster than the music: about 13 ms a bar earlier."),
    ):
        shown = trial.targets_s[:end] + sign * (taps_s - trial.targets_s[:end])
        result = DRILL.mark(trial, Answer(shown), calibrated=calibrated)
        assert result.text.endswith(says)
        assert ("You stopped 2 beats before the end." in result.text) is (end == 22)


@pytest.mark.parametrize("per_beat", [1.5, 2.4, 2.8, 3.0])
def test_double_time_is_claimed_of_twice_the_beat_alone(per_beat):
    trial = DRILL.make(2, 5)
    taps_s = trial.targets_s[0] + np.arange(40) * trial.period_s / per_beat
    result = DRILL.mark(trial, Answer(taps_s[taps_s < trial.targets_s[-1]]))
    assert result.text.startswith("You tapped faster than the beat.")


def test_double_time_of_an_uneven_hand_is_still_double_time():
    """An SD of 30 ms, as untrained people have (20 to 40 ms; from memory)."""
    trial, rng = DRILL.make(2, 5), np.random.default_rng(1)
    for _ in range(50):
        halves = np.arange(trial.targets_s[0], trial.targets_s[-1], trial.period_s / 2)
        taps_s = np.sort(halves + 0.03 * rng.standard_normal(len(halves)))
        assert "in double time" in DRILL.mark(trial, Answer(taps_s)).text


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_early_by_thirty_ms_is_right_and_said(rung):
    trial = DRILL.make(rung, 7)
    result = DRILL.mark(trial, simulate("early", trial))
    assert result.right
    assert "about 30 ms early" in result.text


def test_the_sound_starts_anywhere_and_is_as_long_whatever_the_beat(quiet):
    trials = [DRILL.make(3, seed) for seed in range(80)]
    assert {int(trial.count.beat_in_bar[0]) for trial in trials} == {1, 2, 3, 4}
    assert {(len(trial.count), float(trial.count.beats_s[0])) for trial in trials} == {(40, 1.0)}
