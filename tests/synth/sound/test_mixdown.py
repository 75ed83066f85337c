"""The mixdown: where hits fall, how sounds add up, how loud the whole is."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.grooves import groove
from synth.score.hits import Hits
from synth.score.metre import to_frames
from synth.sound.kit import Kit
from synth.sound.mix import Mix
from synth.sound.mixdown import _FADE_OUT_S, Layer, _fade, duration_frames, mixdown, mixdown_blocks, mixdown_together
from tests.synth.sound.measures import loudness_lufs, true_peak_dbtp

pytestmark = pytest.mark.sampled(3)

RATE = 48_000
kit_of = cache(Kit)
KIT = kit_of(3)


def record(
    name: str = "backbeat", tempo_bpm: float = 120, form: str = "intro:4", seed: int = 0, **more: object
) -> Arrangement:
    return arrange(groove(name), tempo_bpm=tempo_bpm, form=form, seed=seed, **more)  # type: ignore[arg-type]


def of_hits(onset_s: list[float], voices: list[str], velocity: float = 0.9) -> Arrangement:
    """A record with hits of our own."""
    names = tuple(dict.fromkeys(voices))
    hits = Hits.of(onset_s, [names.index(voice) for voice in voices], np.full(len(voices), velocity), names)
    return replace(record(), hits=hits)


def raw(hits: Hits, frames: int, kit: Kit = KIT) -> np.ndarray:
    """The bare sum, neither levelled nor limited."""
    return Mix.of(hits, kit).frames(0, frames)


def test_a_mixdown_is_float32_stereo_within_bounds_of_the_length_asked_for() -> None:
    """(frames, 2), finite, within [-1, 1], as long as the arrangement says, silent at both ends."""
    arrangement = record(seed=1)
    sound = mixdown(arrangement, KIT)
    assert sound.dtype == np.float32
    assert sound.shape == (duration_frames(arrangement, RATE), 2)
    assert np.isfinite(sound).all()
    assert np.abs(sound).max() <= 1
    assert not sound[0].any()
    assert not sound[-1].any()


def test_eight_bars_at_120_last_16_seconds() -> None:
    """Bar of 4/4 = 240 / BPM s: the ninth bar's one would fall on frame 768 000 (design arithmetic)."""
    arrangement = record(form="intro:8")
    assert int(to_frames(arrangement.count.end_s, RATE)) == 768_000
    assert len(mixdown(arrangement, KIT)) >= 768_000


@pytest.mark.parametrize("onset_s", [0.0, 0.1, 1.0 / 3, 0.75 + 0.49 / RATE])
def test_a_hit_stands_on_its_exact_frame(onset_s: float) -> None:
    """The shot, scaled by its velocity, begins on the frame nearest to the onset and nowhere else."""
    hits = of_hits([onset_s], ["snare"], 0.5).hits
    shot = KIT.take("snare", velocity=0.5).samples
    first = round(onset_s * RATE)
    expected = np.zeros((RATE * 2, 2), dtype=np.float32)
    expected[first : first + len(shot)] = shot * np.float32(0.5)
    np.testing.assert_array_equal(raw(hits, RATE * 2), expected)


def test_mixing_adds() -> None:
    """The sum of two records mixed apart is the record of both."""
    one, two = of_hits([0.0, 0.5, 1.0], ["kick"] * 3).hits, of_hits([0.25, 0.5], ["clap", "clap"]).hits
    both = of_hits([0.0, 0.5, 1.0, 0.25, 0.5], ["kick"] * 3 + ["clap"] * 2).hits
    np.testing.assert_allclose(raw(both, 2 * RATE), raw(one, 2 * RATE) + raw(two, 2 * RATE), atol=1e-6)


def test_what_is_played_again_and_again_is_the_plain_sum() -> None:
    """Sounds that are kept at their gain, and those that are not, in blocks and choked at their edges."""
    at_s = np.arange(600) / 37
    voice, velocity = np.arange(600) % 3, np.where(np.arange(600) % 7 == 0, np.linspace(0.5, 0.9, 600), 0.8)
    mix = Mix.of(Hits.of(at_s, voice, velocity, ("kick", "closed_hat", "open_hat")), KIT)
    frames = 21 * KIT.sample_rate_hz
    plain = np.zeros((frames, 2), dtype=np.float32)
    for take, start, end, gain in zip(mix.take, mix.start, mix.end, mix.gain, strict=True):
        sound = mix.takes[take].samples[: end - start] * (gain * np.float32(0.5))
        if end - start < len(mix.takes[take].samples):
            fall = np.linspace(1, 0, 288, dtype=np.float32)[-len(sound) :, None]
            sound[-len(fall) :] *= fall
        plain[start:end] += sound
    assert np.array_equal(mix.frames(0, frames, 0.5), plain)


def test_shifting_all_hits_shifts_the_sound() -> None:
    """By a whole number of frames, across the blocks in which the mix is made."""
    hits = record(form="intro:1").hits
    by = 70_001
    later = replace(hits, onset_s=hits.onset_s + by / RATE)
    np.testing.assert_allclose(raw(later, 5 * RATE)[by:], raw(hits, 5 * RATE - by), atol=1e-6)


def test_the_same_seed_gives_the_same_samples_and_another_seed_others() -> None:
    """Bit for bit."""
    np.testing.assert_array_equal(mixdown(record(), Kit(5)), mixdown(record(), Kit(5)))
    assert not np.array_equal(mixdown(record(), Kit(5)), mixdown(record(), Kit(6)))


def test_a_closed_hat_silences_the_open_one() -> None:
    """6 ms after the closed hat nothing is left of the open one; before it nothing has changed."""
    voices = ("open_hat", "closed_hat")
    alone = raw(Hits.of([0.1], [0], [1.0], voices), RATE)
    both = raw(Hits.of([0.1, 0.2], [0, 1], [1.0, 1.0], voices), RATE)
    closed = raw(Hits.of([0.2], [1], [1.0], voices), RATE)
    cut, gone = round(0.2 * RATE), round(0.206 * RATE)
    np.testing.assert_array_equal(both[:cut], alone[:cut])
    np.testing.assert_allclose(both[gone:], closed[gone:], atol=1e-7)
    assert np.abs(alone[gone:]).max() > 0.01


@pytest.mark.proof
@pytest.mark.parametrize(
    ("name", "tempo_bpm", "song", "spoken"),
    [
        ("four-on-the-floor", 60, False, None),
        ("backbeat", 124, True, "bars"),
        ("half-time", 140, False, "letters"),
        ("trap", 75, True, None),
        ("drum-and-bass", 174, True, "letters"),
        ("waltz", 200, False, "bars"),
    ],
)
@pytest.mark.parametrize("seed", [1, 3])
def test_every_record_is_as_loud_as_the_others(
    name: str, tempo_bpm: float, song: bool, spoken: str | None, seed: int
) -> None:
    """-18 LUFS within 0.5 LU by pyloudnorm 0.2.0, true peak at most -1 dBTP at fourfold oversampling (EBU R 128)."""
    sound = mixdown(record(name, tempo_bpm, "intro:2,verse:2", seed, song=song), kit_of(seed), spoken=spoken)
    assert loudness_lufs(sound, RATE) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(sound) <= -1


@pytest.mark.proof
@pytest.mark.parametrize("voices", [["kick"], ["rim"], ["snare"], ["kick", "clap"]])
def test_a_bare_trial_has_the_same_loudness(voices: list[str]) -> None:
    """One or two drums a second, where the limiter has most to do: still -18 LUFS within 0.5 LU, at most -1 dBTP."""
    onset_s = [float(second) for second in range(8)]
    sound = mixdown(of_hits(onset_s, [voices[at % len(voices)] for at in range(8)]), KIT)
    assert loudness_lufs(sound, RATE) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(sound) <= -1


def test_silence_stays_silence() -> None:
    """An arrangement without hits is mixed down to zeros."""
    assert not mixdown(of_hits([], []), KIT).any()


@pytest.mark.proof
@pytest.mark.parametrize("seed", [1, 3])
def test_blocks_are_the_whole_in_pieces(seed: int) -> None:
    """Level and limiter give the same samples whether the record is made at once or in short blocks."""
    arrangement, kit = record("techno", 60, "intro:1,drop:1", seed, song=True), kit_of(seed)
    whole = mixdown(arrangement, kit, spoken="bars")
    for block_s in (0.7, 5.0):
        pieces = np.concatenate(list(mixdown_blocks(arrangement, kit, spoken="bars", block_s=block_s)))
        np.testing.assert_allclose(pieces, whole, atol=2e-6)


@pytest.mark.parametrize("frames", [100_000, 2**24 + 5_001, 2**25 + 5_001])
def test_the_end_fades_as_evenly_after_hours_as_after_seconds(frames: int) -> None:
    """A straight line to 0 on the last frame: 2**24 whole numbers fit into a float32, six minutes of frames."""
    fall = round(_FADE_OUT_S * RATE)
    out = np.ones((2 * fall, 2), np.float32)
    _fade(out, frames - 2 * fall, frames, RATE)
    expected = np.minimum(np.arange(2 * fall - 1, -1, -1) / fall, 1.0)
    np.testing.assert_allclose(out, np.stack([expected, expected], 1), atol=1e-6)


def test_layers_sound_together_and_are_limited_as_one() -> None:
    """Two records over each other, the second late and louder: one loudness, one ceiling, the length of both."""
    layers = [Layer(record(seed=1), KIT), Layer(record("disco", 126, seed=2), kit_of(1), start_s=3.0, level_db=2.0)]
    sound = mixdown_together(layers)
    assert len(sound) == max(
        duration_frames(layers[0].arrangement, RATE), 3 * RATE + duration_frames(layers[1].arrangement, RATE)
    )
    assert loudness_lufs(sound, RATE) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(sound) <= -1
    with pytest.raises(ValueError, match="one rate"):
        mixdown_together([Layer(record(), KIT), Layer(record(), Kit(0, 44_100))])


def test_no_step_is_louder_than_the_material() -> None:
    """Nowhere do two neighbouring samples differ by more than they do within a drum's own attack."""
    arrangement = record("disco", 124, "intro:4", 3, song=True)
    sound = mixdown(arrangement, KIT)
    steps = np.abs(np.diff(sound, axis=0)).max(axis=1)
    onset = to_frames(arrangement.hits.onset_s, RATE)
    near_hit = np.zeros(len(steps), dtype=bool)
    for first in onset:
        near_hit[max(0, first - 2) : first + RATE // 50] = True
    assert steps[~near_hit].max() <= steps[near_hit].max()
