"""Count along: sheet and voice follow the count, nothing is marked."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer, Kind

pytestmark = pytest.mark.sampled(3)

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


def test_the_first_rung_has_kick_and_snare_alone():
    first = DRILL.make(1, 1).arrangement.hits
    assert {first.voices[v] for v in first.voice} == {"kick", "snare"}
