"""By what the one is told: read off the hits, and there in groove file and sound."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.signal import butter, sosfiltfilt

from synth.score.arranging.arrangement import arrange
from synth.score.arranging.cues import ALL_CUES, DRUMS, MUSIC, Cue, cues
from synth.score.evened import evened
from synth.score.grooves import groove, groove_files
from synth.score.hits import SHARP_DRUMS
from synth.sound.kit import Kit
from synth.sound.mixdown import mixdown

NAMES = sorted(groove_files([]))
RATE = 16_000
KIT = Kit(0, RATE)
LOW = butter(4, 120.0, "lowpass", fs=RATE, output="sos")


def record(pattern, seed=1, **more):
    return arrange(
        pattern, **{"tempo_bpm": pattern.usual_tempo_bpm, "form": "verse:24", "signals": ("crash",)} | more, seed=seed
    )


def written(pattern, drums):
    """Share of the bars with a loud hit of one of the drums on each beat, by the groove's file."""
    step = pattern.steps_per_bar // pattern.metre.beats_per_bar
    bars = [
        [any(pattern.bar_of(drum, bar)[at : at + 1] > (0.5,) for drum in drums) for at in range(0, len(of), step)]
        for bar in range(pattern.bars)
        for of in [pattern.bar_of(next(iter(pattern.lines)), bar)]
    ]
    return np.mean(bars, axis=0)


@pytest.mark.sweep
@pytest.mark.parametrize("name", NAMES)
def test_kick_and_backbeat_tell_the_one_where_the_file_has_them_so(name):
    pattern = groove(name, [])
    kick, sharp = written(pattern, ["kick"]), written(pattern, SHARP_DRUMS[:2])
    for beat, told in enumerate(cues(record(pattern)), 2):
        assert (Cue.KICK in told) == (kick[0] == 1 and kick[beat - 1] == 0), beat
        if sharp.any():
            assert (Cue.BACKBEAT in told) >= (sharp[0] == 0 and sharp[beat - 1] == 1), beat
        assert not told & MUSIC


@pytest.mark.proof
@pytest.mark.parametrize("name", NAMES)
def test_the_deep_drum_is_deeper_in_the_sound_where_it_tells(name):
    """Energy below 120 Hz in 100 ms from the one and from each other beat on, bars with a crash left out."""
    pattern = groove(name, [])
    made = record(pattern, form="verse:8")
    low = sosfiltfilt(LOW, mixdown(made, KIT).mean(axis=1))
    count, hits = made.count, made.hits
    crashed = np.searchsorted(count.beats_s, hits.only("crash").grid_s + 0.01) - 1
    plain = ~np.isin(count.bar_number, [*count.bar_number[crashed], count.bar_number[-1]])

    def energy(beat):
        at = [int(s * RATE) for s in count.beats_s[plain & (count.beat_in_bar == beat)]]
        return np.median([np.sum(low[frame : frame + RATE // 10] ** 2) for frame in at])

    for beat, told in enumerate(cues(made), 2):
        over_db = 10 * np.log10(energy(1) / energy(beat))
        if Cue.KICK in told:
            assert over_db > 6
        elif written(pattern, ["kick"])[beat - 1] == 1:
            assert abs(over_db) < 1.5


@pytest.mark.parametrize("name", ["four-on-the-floor", "backbeat", "shuffle"])
def test_even_drums_tell_nothing_of_half_a_bar_and_the_music_does(name):
    drums, music = (record(evened(groove(name, [])), song=song) for song in ((), ("bass", "stab", "pad")))
    assert not cues(drums)[1] & (DRUMS | MUSIC)
    assert cues(drums)[1] == Cue.CRASH | Cue.TURN
    assert not cues(music)[1] & DRUMS
    assert Cue.CHORDS in cues(music)[1]
    assert Cue.TUNE not in cues(music)[1]


def test_a_crash_tells_where_it_is_heard():
    made = record(groove("backbeat", []), song=())
    assert all(Cue.CRASH in told for told in cues(made))
    assert not any(told & (Cue.CRASH | Cue.TURN) for told in cues(made.excerpt(4, 8)))
    assert not any(Cue.CRASH in told for told in cues(made.only("kick", "snare")))


def test_a_drum_of_its_own_tells():
    """A cowbell on the one alone."""
    text = groove("backbeat", [])
    bell = ((0.78, *[0.0] * 15),)
    own = replace(text, lines={**{drum: text.lines[drum] for drum in ("kick", "snare")}, "cowbell": bell})
    assert all(Cue.DRUM in told for told in cues(record(own, form="verse:8", phrase_bars=8)))


def test_a_record_without_a_hit_tells_by_its_turns_alone():
    made = record(groove("waltz", [])).only()
    assert cues(made) == (Cue.TURN, Cue.TURN)


def test_the_numbers_are_those_that_trials_keep():
    """They stand in logbooks."""
    assert [cue.value for cue in Cue] == [2**at for at in range(len(Cue))]
    assert [cue.name for cue in Cue] == [
        "KICK",
        "DRUM",
        "BACKBEAT",
        "PATTERN",
        "BASS",
        "CHORDS",
        "TUNE",
        "CRASH",
        "TURN",
    ]
    assert 2 ** len(Cue) - 1 == ALL_CUES
