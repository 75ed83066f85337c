"""Trials on records whose grid was wrong, and is set right: marked again as the songs really are.

The songs are those of ``tests.recordings.arranged``, whose beats, ones, phrases and intros were written down with
their notes; learners here answer by those times alone, never by a grid or a trial's own truth.
"""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from app.practice.records.trials_again import marked_say, trials_on
from exercises.drills import drills
from exercises.logbook.old_trials.remark import NO_ANSWER, remark
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from synth.recording.grid import Grid
from synth.recording.source import of_file
from synth.score.recorded import EARLY_S
from tests.recordings.arranged import arranged
from tests.synth.catalogue.made import recording

pytestmark = pytest.mark.sampled(3)

WHEN = datetime(2030, 5, 1, 18, tzinfo=UTC)
SONGS = {"1" * 32: arranged("folk", 6), "2" * 32: arranged("disco", 4)}
FIRST, SECOND = SONGS
BAR_BEATS = 4


def true_grid(song) -> Grid:
    """The grid of a song, from what was written down with its notes."""
    return Grid(
        tempo_bpm=song.tempo_bpm,
        one_s=float(song.phrases_s[0]),
        start_s=float(song.phrases_s[0]),
        steady_until_s=float(song.beats_s[-1]),
        duration_s=float(song.beats_s[-1]) + 2.0,
        phrase_bars=4,
        phrase_first=0,
        intro_bars=song.intro_bars,
        uncertainty_ms=3.0,
        tempo_confidence=1.0,
        one_confidence=1.0,
        phrase_confidence=1.0,
        sure=True,
    )


RIGHT = {print: true_grid(song) for print, song in SONGS.items()}
BEAT_S = {print: 60 / song.tempo_bpm for print, song in SONGS.items()}


def sources(grids, version):
    """The songs with their grids, of which the first goes with the second."""
    other = of_file("second.wav", grids[SECOND], print=SECOND, title="Second", grid_version=version)
    first = of_file("first.wav", grids[FIRST], print=FIRST, title="First", grid_version=version, other=other)
    return {FIRST: first, SECOND: other}


def heard(recorded, times_s):
    """Times of a song as they are heard in a trial, from its first sound to its last."""
    at_s = (np.asarray(times_s) - recorded.from_s) / recorded.speed
    return at_s[(at_s >= recorded.start_s - 1e-6) & (at_s < recorded.end_s)]


def first_bars(trial):
    """Ones of the first song that are heard, its turns, and a bar in s."""
    song, recorded = SONGS[FIRST], trial.recorded
    bar_s = BAR_BEATS * BEAT_S[FIRST] / recorded.speed
    return heard(recorded, song.ones_s), heard(recorded, song.phrases_s), bar_s


def taps_the_return(trial, rung):
    """The true one nearest to so many bars after the silence began."""
    ones_s, _, bar_s = first_bars(trial)
    began_s = trial.recorded.silences[0][0] + EARLY_S
    return Answer(np.array([ones_s[np.argmin(np.abs(ones_s - began_s - rung.silent_bars * bar_s))]]))


def counts_what_is_left(trial, rung):
    ones_s, _, _ = first_bars(trial)
    song = SONGS[FIRST]
    ends_s = float(heard(trial.recorded, [song.phrases_s[0] + song.intro_bars * BAR_BEATS * BEAT_S[FIRST]])[0])
    return Answer(value=str(int(np.sum(ones_s < ends_s - 0.01))))


def presses_before_the_second_turn(trial, rung):
    _, turns_s, bar_s = first_bars(trial)
    later_s = turns_s[turns_s > trial.recorded.start_s + 0.1]
    return Answer(np.array([later_s[1] - rung.before_bars * bar_s]))


def presses_on_the_next_turn(trial, rung):
    _, turns_s, _ = first_bars(trial)
    return Answer(turns_s[turns_s > trial.recorded.start_s + 0.1][:1])


def lands_on_a_turn(trial, rung):
    _, turns_s, bar_s = first_bars(trial)
    at_s = turns_s - trial.question.values["intro"] * bar_s
    return Answer(at_s[at_s > trial.recorded.start_s][:1])


def says_how_far_apart(trial, rung):
    """Beats from the first song's one to the second's, where the second comes in."""
    late = []
    for recorded, song in ((trial.recorded, SONGS[FIRST]), (trial.second_recorded, SONGS[SECOND])):
        ones_s = (song.ones_s - recorded.from_s) / recorded.speed
        late.append(float(ones_s[ones_s > trial.second_recorded.start_s][0]))
    return Answer(value=str(round((late[1] - late[0]) / trial.period_s) % BAR_BEATS))


def says_what_it_was(trial, rung):
    return Answer(value=trial.expected)


def bars_late(grid, bars):
    """With its phrases so many bars late."""
    return replace(grid, phrase_first=bars)


def beats_late(grid, beats):
    return replace(grid, one_s=grid.one_s + beats * 60 / grid.tempo_bpm)


def practised_again(tmp_path, drill, rung, seed, wrong, answers):
    """A trial answered while a grid was ``wrong``, and marked again: result before, the run, result and truth after.

    ``wrong``: id of the song -> its grid.
    """
    one = drills()[drill]
    trial = one.make(rung, seed, recording=sources(RIGHT | wrong, 1)[FIRST])
    answer = answers(trial, one.rungs[rung - 1])
    with Logbook.open(tmp_path / f"{drill}-{rung}-{seed}.sqlite3") as logbook:
        logbook.add(record(trial, answer, one.mark(trial, answer), when=WHEN))
        before = next(iter(logbook.all()))
        right = sources(RIGHT, 1)
        right = {
            print: replace(each, sound=replace(each.sound, grid_version=2 if print in wrong else 1))
            for print, each in right.items()
        }
        found = remark(logbook, sources=right.get)
        after = next(iter(logbook.all()))
        assert remark(logbook, sources=right.get).changed.total() == 0
    return before, found, after


@pytest.mark.parametrize(
    ("drill", "rung", "wrong", "answers"),
    [
        ("intro", 2, replace(RIGHT[FIRST], intro_bars=9), counts_what_is_left),
        ("before-turn", 4, bars_late(RIGHT[FIRST], 1), presses_before_the_second_turn),
        ("bring-in", 3, bars_late(RIGHT[FIRST], 2), presses_on_the_next_turn),
        ("land", 4, bars_late(RIGHT[FIRST], 1), lands_on_a_turn),
        ("in-line", 5, beats_late(RIGHT[FIRST], 1), says_how_far_apart),
    ],
)
@pytest.mark.parametrize("seed", range(3))
def test_who_counted_the_song_as_it_is_was_right_once_the_grid_is(drill, rung, wrong, answers, seed, tmp_path):
    before, found, after = practised_again(tmp_path, drill, rung, seed, {FIRST: wrong}, answers)
    assert before.result["right"] is False
    assert (found.counted_anew, found.unasked) == (1, 0)
    assert after.result["right"] is True
    assert after.truth.recorded.grid_version == 2


@pytest.mark.parametrize("rung", [1, 4, 8])
@pytest.mark.parametrize("seed", range(3))
def test_an_intro_lands_where_the_songs_say(rung, seed):
    """A press with which the second song's intro ends as the first one turns is right, and a bar later it is not."""
    one = drills()["land"]
    trial = one.make(rung, seed, recording=sources(RIGHT, 1)[FIRST])
    song, entry = SONGS[SECOND], trial.second_recorded
    ends_s = heard(entry, [song.phrases_s[0] + song.intro_bars * BAR_BEATS * BEAT_S[SECOND]])[0]
    press_s = heard(trial.recorded, SONGS[FIRST].phrases_s)[-1] - (ends_s - entry.start_s - EARLY_S)
    while press_s > trial.count.end_s - 1:
        press_s -= 16 * BEAT_S[FIRST]
    assert one.mark(trial, Answer(np.array([press_s]))).right
    assert not one.mark(trial, Answer(np.array([press_s - 4 * BEAT_S[FIRST]]))).right


@pytest.mark.parametrize("seed", range(3))
def test_two_records_are_told_apart_by_the_grid_of_the_second_as_well(seed, tmp_path):
    wrong = {SECOND: beats_late(RIGHT[SECOND], 1)}
    before, found, after = practised_again(tmp_path, "in-line", 5, seed, wrong, says_how_far_apart)
    assert (before.result["right"], after.result["right"]) == (False, True)
    assert (found.counted_anew, found.unasked) == (1, 0)
    assert (after.truth.recorded.grid_version, after.truth.second.grid_version) == (1, 2)


def test_trials_that_a_second_record_was_heard_in_are_among_those_to_count_again(tmp_path):
    one = drills()["bring-in"]
    trial = one.make(3, 1, recording=sources(RIGHT, 1)[FIRST])
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        answer = Answer(trial.targets_s[:1])
        logbook.add(record(trial, answer, one.mark(trial, answer), when=WHEN))
        asked = ((FIRST, 1, 0), (FIRST, 2, 1), (SECOND, 1, 0), (SECOND, 2, 1), ("3" * 32, 9, 0))
        for print, version, expected in asked:
            assert trials_on(logbook, replace(recording(), print=print, grid_version=version)) == expected


def test_an_answer_that_nobody_could_give_leaves_the_trial(tmp_path):
    """Half a bar apart is not among the choices of rung 4: a beat earlier, a beat later or none."""
    left = 0
    for seed in range(4):
        wrong = {FIRST: beats_late(RIGHT[FIRST], 1)}
        before, found, after = practised_again(tmp_path, "in-line", 4, seed, wrong, says_what_it_was)
        assert found.counted_anew + found.unasked == 1
        if found.unasked:
            left += 1
            assert after.result == before.result
            assert after.truth == before.truth
    assert left


def test_a_return_is_measured_against_the_beat_where_it_is(tmp_path):
    """60 ms late in the grid is as early in the taps; a phrase that turns elsewhere changes nothing."""
    late = replace(RIGHT[FIRST], one_s=RIGHT[FIRST].one_s + 0.06)
    before, found, after = practised_again(tmp_path, "through", 4, 1, {FIRST: late}, taps_the_return)
    assert before.result["return_error_ms"] == pytest.approx(-60, abs=1)
    assert after.result["return_error_ms"] == pytest.approx(0, abs=1)
    assert found.counted_anew == 1
    before, found, after = practised_again(
        tmp_path, "through", 7, 1, {FIRST: bars_late(RIGHT[FIRST], 1)}, lambda trial, _: Answer(trial.targets_s)
    )
    assert (before.result["right"], after.result["right"], found.counted_anew) == (True, True, 1)


@pytest.mark.parametrize(
    ("drill", "rung", "wrong", "answers"),
    [
        ("through", 4, beats_late(RIGHT[FIRST], 1), taps_the_return),
        ("through", 4, replace(RIGHT[FIRST], tempo_bpm=RIGHT[FIRST].tempo_bpm / 2), lambda *_: Answer(np.ones(1))),
        ("intro", 2, beats_late(RIGHT[FIRST], 1), lambda *_: Answer(value="5")),
        ("before-turn", 4, replace(RIGHT[FIRST], phrase_bars=8), lambda *_: Answer(np.ones(1))),
    ],
)
def test_what_was_asked_has_no_answer_where_the_silence_or_the_bar_began_elsewhere(
    drill, rung, wrong, answers, tmp_path
):
    """It stays as it was counted, and the closing line says how many did."""
    before, found, after = practised_again(tmp_path, drill, rung, 2, {FIRST: wrong}, answers)
    assert (found.counted_anew, found.unasked) == (0, 1)
    assert (after.result, after.truth) == (before.result, before.truth)
    assert NO_ANSWER(n=1) in found.says()
    assert str(marked_say(found)).endswith("has no answer by the new count: 1.")


def test_every_beat_of_a_silence_is_a_beat_whichever_is_the_one(tmp_path):
    wrong = {FIRST: beats_late(RIGHT[FIRST], 1)}
    _, found, after = practised_again(tmp_path, "through", 10, 1, wrong, lambda trial, _: Answer(trial.targets_s))
    assert (found.counted_anew, after.result["right"]) == (1, True)


@pytest.mark.parametrize(
    ("drill", "wrong"),
    [
        ("ahead", beats_late(RIGHT[FIRST], 1)),
        ("faster", beats_late(RIGHT[FIRST], 1)),
        ("faster", replace(RIGHT[FIRST], tempo_bpm=RIGHT[FIRST].tempo_bpm / 2)),
    ],
)
def test_which_is_faster_does_not_hang_on_the_count(drill, wrong, tmp_path):
    before, found, after = practised_again(tmp_path, drill, 3, 2, {FIRST: wrong}, says_what_it_was)
    assert (before.result["right"], after.result["right"], found.counted_anew) == (True, True, 1)
    if drill == "faster" and wrong.tempo_bpm < RIGHT[FIRST].tempo_bpm:
        told = [float(each.result["verdict"][0]["with"]["fast"]) for each in (before, after)]
        assert told[1] == pytest.approx(2 * told[0], abs=0.2)
