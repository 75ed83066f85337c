"""The drill `bring-in`: presses in bars, beats and milliseconds, their truth in the sound, and the blend."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.answers import read_answer
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.trial import Answer, Kind

pytestmark = pytest.mark.sampled(3)

BRING_IN = drill("bring-in")
RUNGS = range(1, len(BRING_IN.rungs) + 1)


def pressed(trial, at_s, **more):
    return BRING_IN.mark(trial, Answer(np.atleast_1d(np.asarray(at_s, dtype=float))), **more)


@pytest.fixture(scope="module")
def trial():
    return BRING_IN.make(3, 5, tempo_bpm=120)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_targets_are_the_turns_of_the_record(rung, quiet):
    """As the arranger itself has written them down, all but one on the very first beat and those at the end."""
    for seed in range(6):
        made = BRING_IN.make(rung, seed)
        turns_s = np.array([turn.time_s for turn in made.arrangement.turns])
        assert made.kind is Kind.PRESS
        assert len(made.targets_s) == BRING_IN.rungs[rung - 1].turns
        assert np.abs(turns_s[:, None] - made.targets_s).min(axis=0).max() < 1e-6
        assert made.targets_s[0] > made.count.beats_s[0]
        assert made.entry.arrangement.tempo_bpm == made.arrangement.tempo_bpm
        assert made.entry.arrangement.count.beat_in_bar[0] == made.entry.arrangement.count.bar_in_phrase[0] == 1


@pytest.mark.parametrize(
    ("late_s", "says", "right", "score"),
    [
        (0.0, "You brought it in on the one of the phrase.", True, 1),
        (0.009, "You brought it in on the one of the phrase, 9 ms late. Dancers will hardly notice", True, 1),
        (-0.03, "You brought it in on the one of the phrase, 30 ms early. The two records can be heard", True, 1),
        (0.486, "You came in one beat late, then 14 ms early.", False, 0.25),
        (-1.0, "You came in 2 beats early. That was not a one.", False, 0.25),
        (2.03, "You came in one bar late, and 30 ms more. That was a one, but not", False, 0.5),
        (-2.5, "You came in one bar and one beat early.", False, 0.25),
        (0.75, "Your press fell between two beats, about 2 beats late.", False, 0),
        (0.22, "Your press fell between two beats.", False, 0),
    ],
)
def test_presses_are_told_in_words(trial, late_s, says, right, score):
    result = pressed(trial, trial.targets_s[1] + late_s)
    assert result.text.startswith(says)
    assert (result.right, result.score) == (right, score)
    assert 1 <= len(result.verdict) <= 2


def test_without_calibration_no_milliseconds_are_told(trial):
    assert "ms" not in pressed(trial, trial.targets_s[0] + 0.04, calibrated=False).text
    assert "ms" not in pressed(trial, trial.targets_s[0] + 0.04, uncertainty_ms=60).text


def test_the_first_press_counts(trial):
    """The second record has started: a second press changes nothing."""
    result = pressed(trial, [trial.targets_s[0], trial.targets_s[0] + 0.7])
    assert result.right
    assert result.figures["off_bars"] == result.figures["off_beats"] == 0


def test_no_press_is_said(trial):
    result = BRING_IN.mark(trial, Answer())
    assert result.text.startswith("No press came in.")
    assert (result.right, result.score) == (False, 0)


def test_it_is_marked_from_its_file_as_well(trial, tmp_path):
    path = tmp_path / "press.txt"
    path.write_text(f"{trial.targets_s[0] + 0.5:.6f}\n")
    read = trial_from_json(trial.to_json())
    assert BRING_IN.mark(read, read_answer(path, read)).text.startswith("You came in one beat late.")


@pytest.mark.proof
@pytest.mark.parametrize("off_s", [0.0, 0.5, -0.08])
def test_the_blend_begins_the_second_record_on_the_press(trial, off_s):
    """What the blend holds beyond the first record alone begins two bars in, on the very frame of the press."""
    rate = 16_000
    press_s = float(trial.targets_s[0]) + off_s
    blend = trial.blend(press_s, rate)
    first_s = float(trial.count.beats_s[max(0, np.argmin(np.abs(trial.count.beats_s - press_s)) - 8)])
    start = round((press_s - first_s) * rate)
    entry = trial.entry.arrangement
    expected_s = press_s - first_s + entry.duration_s
    assert len(blend) / rate >= expected_s - 1e-3
    # The entry has a kick on its first frame; where both records would sound alike, two presses still differ there.
    later = trial.blend(press_s + 0.1 * trial.period_s, rate)
    later = later * (np.linalg.norm(blend[: start - 33]) / np.linalg.norm(later[: start - 33]))
    differ = np.flatnonzero(np.abs(blend[: len(later)] - later[: len(blend)]).max(axis=1) > 0.02)
    assert abs(int(differ[0]) - start) < 0.002 * rate
    assert np.abs(blend).max() <= 1


def test_a_press_before_the_first_beat_or_after_the_end_has_a_blend_too(trial):
    for press_s in (0.1, trial.count.end_s + 5):
        assert np.abs(trial.blend(press_s, 16_000)).max() > 0.1


def test_a_trial_without_a_second_record_has_no_blend():
    with pytest.raises(ValueError, match="no second record"):
        drill("one").make(1, 1).blend(3.0)


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_the_first_turn_comes_after_many_different_lengths(rung, quiet):
    made = [BRING_IN.make(rung, seed) for seed in range(40)]
    assert len({round((each.targets_s[0] - 1) / each.period_s) for each in made}) > 3


def test_either_of_the_phrases_between_the_turns_may_be_the_short_one(quiet):
    """Six bars of 4/4 are 24 beats, eight are 32; each of the two comes in at least a quarter of 60 trials."""
    gaps = [
        tuple(np.rint(np.diff(trial.targets_s) / trial.period_s).astype(int).tolist())
        for trial in (BRING_IN.make(9, seed) for seed in range(60))
    ]
    assert set(gaps) == {(24, 32), (32, 24)}
    assert 15 <= gaps.count((24, 32)) <= 45


def test_a_press_is_measured_against_the_nearest_of_its_targets_and_says_which():
    trial = BRING_IN.make(1, 3)
    for row in (0, len(trial.targets_s) - 1):
        result = BRING_IN.mark(trial, Answer([trial.targets_s[row] + trial.period_s]))
        assert not result.right
        assert result.figures["target_s"] == pytest.approx(trial.targets_s[row], abs=1e-6)
