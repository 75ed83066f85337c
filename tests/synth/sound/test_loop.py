"""A phrase as a loop: no seam, the right length, each beat by itself."""

from dataclasses import replace

import numpy as np
import pytest

from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove, grooves
from synth.score.hits import SHARP_DRUMS, Hits
from synth.score.metre import steady_count
from synth.sound.kit import Kit
from synth.sound.loop import LEAD_S, PHRASE_BARS, Loop, Second, loop, loop_phrase
from synth.sound.mixdown import mixdown

pytestmark = pytest.mark.sampled(3)

RATE_HZ = 48_000


@pytest.fixture(scope="module")
def kit() -> Kit:
    return Kit(0)


def played(made: Loop, rounds: int) -> np.ndarray:
    """What a player makes of a loop: the samples, then their last round again and again."""
    return np.concatenate([made.samples] + [made.samples[-made.round_frames :]] * rounds)


@pytest.mark.proof
@pytest.mark.parametrize(
    ("name", "voices", "spoken"),
    [("shuffle", ("kick", *SHARP_DRUMS), None), ("backbeat", (), "bars"), ("six-eight", (), "letters")],
)
def test_a_round_runs_on_into_the_next_as_if_it_had_been_mixed_in_one_piece(kit, name, voices, spoken):
    """Against the mixdown of the same hits written out so many times: every frame, the seams above all."""
    made = loop(groove(name), kit, tempo_bpm=127, phrase_bars=4, voices=voices, spoken=spoken, seed=3)
    rounds = (len(made.samples) - made.lead_frames) // made.round_frames + 2
    hits, round_s = made.phrase.hits, made.round_frames / RATE_HZ
    tiled = Hits.of(
        np.concatenate([hits.onset_s + number * round_s for number in range(rounds)]),
        np.tile(hits.voice, rounds),
        np.tile(hits.velocity, rounds),
        hits.voices,
        np.tile(hits.pitch, rounds),
        np.tile(hits.duration_s, rounds),
        np.tile(hits.take, rounds),
    )
    count = steady_count(made.phrase.tempo_bpm, [4] * rounds, made.phrase.metre, start_s=LEAD_S)
    whole = mixdown(replace(made.phrase, hits=tiled, count=count), kit, spoken=spoken)
    heard = played(made, 2)
    whole = whole[: len(heard)]
    # One factor for all: the two measure their loudness over different lengths, each within 0.5 LU (ITU-R BS.1770).
    factor = float((whole * heard).sum() / np.square(whole).sum())
    assert abs(20 * np.log10(factor)) < 0.5
    # What the limiter does at the two levels remains; at a seam there is no step in it.
    off = heard - factor * whole
    assert np.abs(off).mean() < 0.02 * np.abs(whole).mean()
    for seam in (len(made.samples), len(made.samples) + made.round_frames):
        assert np.abs(off[seam - 4_800 : seam + 480]).max() < 0.02
        assert np.abs(np.diff(off[seam - 2 : seam + 2], axis=0)).max() < 1e-4


# Every length and every tempo; a fault of one length at one tempo alone would be found in half of all pairs.
PAIRS = [*((127, bars) for bars in PHRASE_BARS), (40, 4), (133.7, 4), (133.7, 16), (240, 32)]


@pytest.mark.sweep
@pytest.mark.parametrize(("tempo_bpm", "bars"), PAIRS)
def test_a_round_lasts_as_long_as_its_bars(kit, tempo_bpm, bars):
    """240 / BPM seconds a bar of four (arithmetic), within 0.01 %; the beats stand evenly in it."""
    made = loop(groove("four-on-the-floor"), kit, tempo_bpm=tempo_bpm, phrase_bars=bars, voices=("kick",))
    assert made.round_frames / RATE_HZ == pytest.approx(bars * 240 / tempo_bpm, rel=1e-4)
    assert len(made.count) == 4 * bars
    assert made.count.end_s == pytest.approx(made.round_frames / RATE_HZ, abs=1e-9)
    np.testing.assert_allclose(np.diff(made.count.beats_s), 60 / made.phrase.tempo_bpm, atol=1e-9)
    assert np.abs(made.samples).max() <= 10 ** (-1 / 20)


def test_the_beat_that_sounds_is_told_in_every_round(kit):
    """On the first frame of a beat it is that one, a frame before it still the last; before the one there is none."""
    made = loop(groove("waltz"), kit, tempo_bpm=150, phrase_bars=4)
    frames = np.rint(made.count.beats_s * RATE_HZ).astype(int) + made.lead_frames
    for rounds in (0, 1, 7):
        at = frames + rounds * made.round_frames
        assert [made.beat_at(frame) for frame in at] == list(range(12))
        assert [made.beat_at(frame - 1) for frame in at[1:]] == list(range(11))
    assert made.beat_at(made.lead_frames - 1) is None
    assert made.beat_at(frames[0] + 3 * made.round_frames - 1) == 11


def test_playback_begins_on_any_beat_without_a_click(kit):
    """From the fourth bar on: silence rises into what rings, and the kick on the beat is whole."""
    made = loop(groove("four-on-the-floor"), kit, tempo_bpm=120, phrase_bars=4)
    part = made.samples_from(12)
    beat = made.lead_frames + round(made.count.beats_s[12] * RATE_HZ) - made.start_frame(12)
    assert not part[0].any()
    assert np.array_equal(part[beat:], made.samples[-len(part) + beat :])
    assert beat > 480
    assert made.samples_from(0) is made.samples


def test_a_beat_by_itself_sounds_as_it_does_in_the_loop(kit):
    """Kick alone: the beat's own hit, at the loop's level, and none of the next; on the two there is silence."""
    made = loop(groove("backbeat"), kit, tempo_bpm=60, phrase_bars=4, voices=("kick",))
    one = made.beat_sound(0)
    lead = round(made.phrase.hits.onset_s[0] * RATE_HZ) - made.lead_frames
    begin = int(np.flatnonzero(np.abs(one).max(axis=1) > 1e-4)[0])
    inside = made.samples[made.lead_frames + lead : made.lead_frames + lead + 4_800]
    first = int(np.flatnonzero(np.abs(inside).max(axis=1) > 1e-4)[0])
    np.testing.assert_allclose(one[begin : begin + 4_000], inside[first : first + 4_000], atol=1e-5)
    assert not made.beat_sound(1).any()
    assert np.abs(one[-1]).max() < 1e-6


def test_a_spoken_beat_has_its_word(kit):
    """On a beat without a kick the voice alone is heard."""
    made = loop(groove("backbeat"), kit, tempo_bpm=90, phrase_bars=4, voices=("kick",), spoken="letters")
    assert np.abs(made.beat_sound(1)).max() > 0.05


@pytest.mark.proof
def test_every_groove_has_both_parts_on_the_board():
    """Kick alone and backbeat alone: no groove falls silent."""
    for found in grooves().values():
        for voices in (("kick",), SHARP_DRUMS):
            hits = loop_phrase(found, found.usual_tempo_bpm, 4, voices=voices).hits
            assert len(hits)
            assert {hits.voices[v] for v in hits.voice} <= set(voices)


def test_wrong_lengths_and_ways_are_refused(kit):
    """The board offers 4, 8 and 16 bars, and two ways of counting."""
    with pytest.raises(ValueError, match="16"):
        loop(groove("backbeat"), kit, tempo_bpm=100, phrase_bars=5)
    with pytest.raises(ValueError, match="letters"):
        loop(groove("backbeat"), kit, tempo_bpm=100, spoken="latin")
    with pytest.raises(ValueError, match="240"):
        loop(groove("backbeat"), kit, tempo_bpm=300)


def test_a_second_record_goes_round_with_the_first_from_its_own_beat(kit):
    """Without the first record's drums the loop is the second's, moved by its beats, round after round."""
    made = loop(
        groove("four-on-the-floor"), kit, tempo_bpm=240, voices=("kick",), second=Second(Kit(1), 3), phrase_bars=4
    )
    alone = loop(groove("four-on-the-floor"), kit, tempo_bpm=240, voices=("kick",), phrase_bars=4)
    assert (made.round_frames, made.lead_frames) == (alone.round_frames, alone.lead_frames)
    other = made.samples / made.scale - alone.samples / alone.scale
    assert np.abs(other).max() > 0.01
    assert made.beside.beats == 3
    # Each beat by itself has the second record's beat of three before.
    plain, both = alone.beat_sound(5), made.beat_sound(5)
    assert len(plain) == len(both)
    assert not np.allclose(plain / alone.scale, both / made.scale)


def test_a_second_record_begins_inside_the_phrase(kit):
    with pytest.raises(ValueError, match="0 to 15 expected"):
        loop(groove("four-on-the-floor"), kit, tempo_bpm=120, second=Second(kit, 16))


def test_a_song_has_bass_and_chords_and_the_same_drums(kit):
    plain = loop(groove("deep-house"), kit, tempo_bpm=240)
    song = loop(groove("deep-house"), kit, tempo_bpm=240, song=True)
    pitched = song.phrase.hits.pitch > 0
    assert not (plain.phrase.hits.pitch > 0).any()
    assert pitched.any()
    np.testing.assert_array_equal(np.sort(song.phrase.hits.onset_s[~pitched]), np.sort(plain.phrase.hits.onset_s))


def test_a_record_is_played_from_its_first_bar_at_an_even_tempo(kit):
    record = arrange(groove("waltz"), tempo_bpm=130, form="verse:8", song=True)
    made = loop(record, kit, tempo_bpm=240, phrase_bars=8)
    assert len(made.count) == 24
    assert made.round_frames == pytest.approx(24 * RATE_HZ / 4, rel=1e-4)
    assert not (made.phrase.hits.pitch > 0).any()
    assert (loop(record, kit, tempo_bpm=240, phrase_bars=8, song=True).phrase.hits.pitch > 0).any()
