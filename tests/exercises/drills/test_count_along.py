"""Count along: sheet and voice follow the count, nothing is marked; closer listening cuts what is heard."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.listening import one_beat, one_phrase, with_voices
from exercises.trial.trial import Answer, Kind
from exercises.trial.trial_file import trial_from_json

DRILL = drill("count-along")
RUNGS = range(1, len(DRILL.rungs) + 1)
RATE = 16_000


@pytest.mark.parametrize("rung", RUNGS)
def test_it_starts_on_the_one_and_is_made_of_whole_phrases(rung):
    trial, row = DRILL.make(rung, 1), DRILL.rungs[rung - 1]
    count = trial.count
    assert (trial.kind, trial.expected, len(trial.targets_s)) == (Kind.NONE, None, 0)
    assert (count.bar_number[0], count.beat_in_bar[0]) == (1, 1)
    assert count.bar_number[-1] == row.phrases * row.phrase_bars
    assert len(count.phrase_starts_s) == row.phrases


def test_there_is_no_mark_whatever_was_done():
    trial = DRILL.make(1, 1)
    for answer in (Answer(), Answer(trial.count.beats_s), Answer(value="3")):
        result = DRILL.mark(trial, answer)
        assert result.right is None
        assert "Nothing is marked here" in result.text


def test_both_ways_of_counting_are_spoken_and_differ_but_on_the_one():
    """Same drums under both: with "1 2 3 4" and with "1 A B C" the sound differs after the one, and in every bar."""
    trial = DRILL.make(1, 1)
    bars, letters = (trial.samples(RATE, way=way) for way in ("bars", "letters"))
    beats = (trial.count.beats_s[:16] * RATE).astype(int)
    differs = [bool(np.abs(bars[at : at + 4000] - letters[at : at + 4000]).max() > 0.01) for at in beats]
    assert all(differs[at] for at in range(16) if at % 4 in (1, 2, 3))


def test_the_voice_falls_silent_after_the_first_phrase_of_its_rung():
    """What is left of the sound when the drums alone are taken away: words in the first phrase, none in the last."""
    from dataclasses import replace

    from synth.score.hits import Hits

    trial = DRILL.make(5, 1)
    hits = trial.arrangement.hits
    nothing = Hits.of([], [], [], hits.voices)
    voice = replace(trial, arrangement=replace(trial.arrangement, hits=nothing)).samples(RATE)
    turn = int(trial.count.phrase_starts_s[1] * RATE)
    assert np.abs(voice[: turn - RATE // 2]).max() > 0.05
    assert np.abs(voice[turn + RATE :]).max() == 0


def test_help_fades_as_rungs_rise():
    help = [rung.help for rung in DRILL.rungs]
    assert (help[0].sheet, help[0].voice, help[-1].sheet, help[-1].voice) == (True, True, False, False)


def test_only_some_drums_are_heard_where_asked():
    trial = DRILL.make(2, 1)
    kicks = with_voices(trial, "kick")
    assert {kicks.arrangement.hits.voices[v] for v in kicks.arrangement.hits.voice} == {"kick"}
    assert np.array_equal(kicks.count.beats_s, trial.count.beats_s)
    first = DRILL.make(1, 1).arrangement.hits
    assert {first.voices[v] for v in first.voice} == {"kick", "snare"}


def test_a_phrase_can_be_heard_round_and_round():
    """It starts with its one, lasts exactly its bars and keeps its numbers, so that it can follow on itself."""
    trial = DRILL.make(2, 1)
    part = one_phrase(trial, 2)
    assert part.duration_s == pytest.approx(16 * trial.period_s)
    assert part.count.beats_s[0] == 0
    assert part.count.bar_number.tolist() == np.repeat([5, 6, 7, 8], 4).tolist()
    assert len(part.samples(RATE)) == round(part.duration_s * RATE)
    with pytest.raises(ValueError, match="phrase 9"):
        one_phrase(trial, 9)


def test_the_count_can_be_stepped_through_beat_by_beat():
    trial = DRILL.make(2, 1)
    for row in (0, 5, len(trial.count) - 1):
        step = one_beat(trial, row)
        assert len(step.count) == 1
        assert step.count.beat_in_bar[0] == trial.count.beat_in_bar[row]
        assert step.arrangement.hits.onset_s.max() <= 0.3 + trial.period_s
    with pytest.raises(ValueError, match="beat 999"):
        one_beat(trial, 999)
    with pytest.raises(ValueError, match="no sound"):
        one_beat(trial_from_json(trial.to_json()), 0)
