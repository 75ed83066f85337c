"""The drill `turn`: presses on the turns of phrases whose length nobody has told."""

import numpy as np
import pytest

from app.demo.simulated import at_random
from exercises.drills import drill
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.trial import Answer

pytestmark = pytest.mark.sampled(3)

TURN = drill("turn")
RUNGS = range(1, len(TURN.rungs) + 1)


def mark(trial, presses_s):
    return TURN.mark(trial, Answer(np.sort(presses_s)))


def made(rung, bars, seeds=range(60)):
    """The first trial of the rung whose phrases have so many bars."""
    return next(t for t in (TURN.make(rung, seed) for seed in seeds) if t.truth().phrase_bars == bars)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_targets_are_the_turns_after_the_first_and_a_perfect_learner_has_them_all(rung, quiet):
    """A turn is the one of a phrase's first bar, whole phrases apart: 240 / BPM seconds a bar of 4/4 (facts, 11)."""
    drawn = set()
    for seed in range(12):
        trial = TURN.make(rung, seed)
        bars = trial.truth().phrase_bars
        drawn.add(bars)
        assert np.diff(trial.targets_s) == pytest.approx(bars * 4 * trial.period_s)
        heard = trial.count.phrase_starts_s[trial.count.phrase_starts_s > trial.count.beats_s[0]]
        assert trial.targets_s == pytest.approx(heard[1:])
        result = mark(trial, trial.targets_s)
        assert (result.right, result.score) == (True, 1.0)
        assert "You caught" in result.text
    assert drawn <= set(TURN.rungs[rung - 1].lengths)


@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.proof
def test_every_length_is_drawn_and_only_the_drums_tell_which(rung, quiet):
    """In one tempo all sounds and questions of a rung are alike, whatever the phrases."""
    trials = [TURN.make(rung, seed, tempo_bpm=125) for seed in range(40)]
    assert {trial.truth().phrase_bars for trial in trials} == set(TURN.rungs[rung - 1].lengths)
    assert (
        len({(round(t.duration_s, 9), len(t.count), str(t.question), float(t.count.beats_s[0])) for t in trials}) == 1
    )


@pytest.mark.proof
def test_presses_at_random_and_presses_on_every_fourth_bar_come_to_nothing(quiet):
    """Of 250 as many as the drill's own chance says, within four SDs, and that is below 1 in 50.

    That it is so on every rung of every drill is held in ``test_leaks.py`` on 300 trials more.
    """
    trials = [TURN.make(2 + seed % (len(RUNGS) - 1), seed) for seed in range(250)]
    rng = np.random.default_rng(3)
    expected = sum(map(TURN.chance, trials))
    assert expected < 250 / 50
    assert sum(TURN.mark(trial, at_random(trial, rng)).right for trial in trials) <= expected + 4 * expected**0.5
    trial = made(6, 16)
    assert not mark(trial, trial.count.ones_s[::4]).right


def test_a_window_of_beats_and_no_more():
    trial, window = made(8, 8), TURN.rungs[7].window_beats
    inside, outside = 0.9 * window * trial.period_s, 1.1 * window * trial.period_s
    for sign in (-1, 1):
        assert mark(trial, trial.targets_s + sign * inside).right
        assert not mark(trial, trial.targets_s + sign * outside).right


def test_off_is_told_in_bars_beats_and_milliseconds():
    trial = made(2, 8)
    beat = trial.period_s
    figures = mark(trial, trial.targets_s + beat - 0.014).figures
    assert (figures["off_bars"], figures["off_beats"], figures["off_ms"]) == (0, 1, pytest.approx(-14))
    figures = mark(trial, trial.targets_s - 6 * beat + 0.02).figures
    assert (figures["off_bars"], figures["off_beats"], figures["off_ms"]) == (-1, -2, pytest.approx(20))


def test_a_press_at_the_false_fill_is_named():
    trial = made(4, 8)
    (odd,) = trial.truth().exceptions
    end_s = trial.count.ones_s[trial.count.ones_s > odd.start_s][0]
    from_s = trial.count.phrase_starts_s[1]
    trial = trial if odd.start_s > from_s else made(4, 8, range(60, 200))
    result = mark(trial, np.append(trial.targets_s[:1], end_s))
    assert result.figures["false_fill_presses"] == 1
    assert "You pressed at the fill: it was in mid-phrase." in result.text
    assert "mid-phrase" not in mark(trial, trial.targets_s).text


def test_a_press_at_a_false_turn_is_named():
    trial = made(7, 8)
    at_s = next(odd.start_s for odd in trial.truth().exceptions if odd.kind == "false turn")
    result = mark(trial, np.sort(np.append(trial.targets_s[:1], at_s)))
    assert "You pressed at the crash: it was in mid-phrase." in result.text


def test_a_turn_without_a_sign_that_was_missed_is_named():
    trial = made(8, 4)
    at_s = next(odd.start_s for odd in trial.truth().exceptions)
    others = trial.targets_s[np.abs(trial.targets_s - at_s) > 1e-6]
    assert "One turn came without a sign." in mark(trial, others).text


def test_ways_of_pressing_are_named():
    trial = made(2, 8)
    turns, beat, count = trial.targets_s, trial.period_s, trial.count
    told = {
        "No press came in.": turns[:0],
        "You pressed every 4 bars. These phrases are 8 bars long": count.ones_s[::4],
        "You pressed in every bar.": count.ones_s,
        "You pressed far more often": count.beats_s,
        "You were one bar early": turns - 4 * beat,
        "You were one beat late.": turns + beat,
        "Your presses came before the turns that count.": count.phrase_starts_s[1:2],
        "Your presses came when the music had stopped.": np.array([count.end_s + 5]),
    }
    for sentence, presses_s in told.items():
        assert sentence in mark(trial, presses_s).text
    several = made(2, 4)
    assert "Count the bars, a number on every one" in mark(several, several.targets_s[:1]).text
    told = {"mostly 2 beats early": -2, "mostly 3 beats early": -3, "about one beat late": 1}
    for words, off in told.items():
        assert words in mark(several, several.targets_s + off * several.period_s).text


def test_presses_too_many_are_told():
    trial = made(2, 8)
    said = mark(trial, np.sort(np.append(trial.targets_s, trial.targets_s[:1] + 5 * trial.period_s)))
    assert not said.right
    assert said.text.startswith("You caught the turn, with one press too many.")
    several = made(2, 4)
    said = mark(several, np.sort(np.append(several.targets_s, several.targets_s[:1] + 5 * several.period_s)))
    assert said.text.startswith(f"You met all {len(several.targets_s)}, with one press too many.")


def test_of_a_single_press_no_average_is_told():
    trial = next(
        t for t in (TURN.make(6, seed) for seed in range(60)) if len(t.targets_s) == 1 or len(t.targets_s) == 2
    )
    said = mark(trial, trial.targets_s[:1] + 2 * trial.period_s).text
    assert "You were 2 beats late." in said


def test_presses_before_the_first_turn_count_neither_way():
    trial = made(2, 8)
    early = np.linspace(trial.count.beats_s[0], trial.count.phrase_starts_s[1], 9)
    assert mark(trial, np.append(early, trial.targets_s)).score == 1.0


def test_a_trial_read_from_its_file_is_marked_the_same():
    trial = made(9, 8)
    presses_s = trial.targets_s + 0.3
    again = trial_from_json(trial.to_json())
    assert mark(again, presses_s).to_json() == mark(trial, presses_s).to_json()
