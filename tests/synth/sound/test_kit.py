"""The kit: every instrument is a clean, varied sound of its own kind."""

import numpy as np
import pytest

from synth.base.bins import BIN_S
from synth.score.hits import DRUMS, FILTER, PITCHED, VOICE_NAMES
from synth.sound.kit import VOICES, Kit
from synth.sound.kit.kick import CHARACTERS, character
from synth.sound.kit.stroke import Stroke
from synth.sound.loudness import k_weighted

pytestmark = pytest.mark.sampled(3)

RATE = 48_000
SEEDS = (0, 1, 5)
KITS = {seed: Kit(seed) for seed in SEEDS}


def centroid_hz(kit: Kit, voice: str) -> float:
    """Mean spectral centroid over frames of 2048 samples, 512 apart, padded at both ends.

    ``test_heard`` checks that this is librosa's `spectral_centroid`, whose import and compilation take seconds.
    """
    mono = np.pad(kit.take(voice).samples.mean(axis=1), 1024)
    frames = np.lib.stride_tricks.sliding_window_view(mono, 2048)[::512]
    size = np.abs(np.fft.rfft(frames * np.hanning(2049)[:-1], axis=1))
    total = size.sum(axis=1)
    per_frame = size @ np.fft.rfftfreq(2048, 1 / kit.sample_rate_hz) / np.where(total > 0, total, 1)
    return float(per_frame.mean())


def test_every_name_of_a_record_has_an_instrument() -> None:
    """What an arrangement may ask for is what the kit has."""
    assert set(VOICE_NAMES) - {FILTER} == set(VOICES)


@pytest.mark.sweep
@pytest.mark.parametrize("voice", VOICES)
def test_a_sound_is_finite_stereo_and_ends_in_silence(voice: str) -> None:
    """float32 (frames, 2) within [-1, 1], nothing at the last frame, and no step at either end."""
    for kit in KITS.values():
        shot = kit.take(voice).samples
        assert shot.dtype == np.float32
        assert shot.ndim == 2
        assert shot.shape[1] == 2
        assert np.isfinite(shot).all()
        assert 0.02 < np.abs(shot).max() <= 1
        assert not shot[-1].any()
        assert np.abs(shot[0]).max() < 0.25 * np.abs(shot).max()
        assert not shot.flags.writeable


@pytest.mark.sweep
@pytest.mark.parametrize("voice", [*DRUMS, "impact", "down_sweep"])
def test_a_drum_begins_at_frame_0(voice: str) -> None:
    """A third of the peak is passed within the first millisecond, so that the frame of a hit is its onset."""
    for kit in KITS.values():
        loud = np.abs(kit.take(voice).samples).max(axis=1)
        assert loud[: RATE // 1000].max() > 0.33 * loud.max()


@pytest.mark.parametrize("voice", ["riser", "reversed_crash"])
@pytest.mark.parametrize("duration_s", [0.5, 2.0])
def test_what_leads_into_a_turn_ends_on_it(voice: str, duration_s: float) -> None:
    """Riser and reversed crash last as long as they are told, are loudest towards the end, and stop there."""
    shot = KITS[0].take(voice, duration_s=duration_s).samples
    assert len(shot) == duration_s * RATE
    quarters = [float(np.square(part).mean()) for part in np.array_split(shot, 4)]
    assert quarters == sorted(quarters)


@pytest.mark.sweep
@pytest.mark.parametrize("voice", PITCHED)
@pytest.mark.parametrize("pitch", [45, 64])
def test_a_held_note_has_its_pitch(voice: str, pitch: int) -> None:
    """The strongest line below 1.5 times its frequency is within a third of a semitone of it (A4: 440 Hz)."""
    shot = KITS[1].take(voice, pitch, 0.8).samples.sum(axis=1)
    spectrum = np.abs(np.fft.rfft(shot * np.hanning(len(shot)), 1 << 18))
    wanted_hz = 440 * 2 ** ((pitch - 69) / 12)
    lines = round(1.5 * wanted_hz * (1 << 18) / RATE)
    found_hz = spectrum[:lines].argmax() * RATE / (1 << 18)
    assert abs(12 * np.log2(found_hz / wanted_hz)) < 0.33


@pytest.mark.parametrize("seed", SEEDS)
def test_the_kick_is_deep_and_snare_clap_and_rim_are_sharp(seed: int) -> None:
    """Centroid of the kick below 700 Hz, of the others at least four times as high (common practice, no source)."""
    kick = centroid_hz(KITS[seed], "kick")
    assert kick < 700
    assert all(centroid_hz(KITS[seed], voice) > max(1500, 4 * kick) for voice in ("snare", "clap", "rim"))


def test_contrast_brings_kick_and_snare_closer_but_never_swaps_them() -> None:
    """The centroids' distance in octaves shrinks with the contrast and keeps its sign."""
    for seed in SEEDS:
        octaves = [
            np.log2(centroid_hz(kit, "snare") / centroid_hz(kit, "kick"))
            for kit in (Kit(seed, contrast=1.0), Kit(seed, contrast=0.5), Kit(seed, contrast=0.0))
        ]
        assert octaves == sorted(octaves, reverse=True)
        assert octaves[2] > 1
        for sharp in ("clap", "rim"):
            narrow = Kit(seed, contrast=0.0)
            assert centroid_hz(narrow, sharp) > 2 * centroid_hz(narrow, "kick")


def test_the_same_seed_gives_the_same_samples_in_any_order() -> None:
    """A voice does not depend on what was rendered before it."""
    one, other = Kit(7), Kit(7)
    one.take("snare")
    for voice in ("kick", "snare", "open_hat", "pad"):
        np.testing.assert_array_equal(one.take(voice).samples, other.take(voice).samples)
    assert one.take("kick").samples is one.take("kick").samples


@pytest.mark.sweep
@pytest.mark.parametrize("voice", [voice for voice in VOICES if voice not in PITCHED])
def test_no_two_kits_sound_the_same(voice: str) -> None:
    """The sounds of two seeds are far from copies of each other: correlation below 0.9."""
    first, second = (KITS[seed].take(voice).samples[:, 0] for seed in (0, 1))
    length = min(len(first), len(second))
    assert abs(np.corrcoef(first[:length], second[:length])[0, 1]) < 0.9


@pytest.mark.parametrize("voice", PITCHED)
def test_no_two_kits_sing_the_same(voice: str) -> None:
    """The first eight harmonics of the same note differ by 1 dB or more (root mean square) between two seeds."""
    levels_db = []
    for seed in (0, 1):
        shot = KITS[seed].take(voice, 57, 0.5).samples.sum(axis=1)
        spectrum = np.abs(np.fft.rfft(shot * np.hanning(len(shot)), RATE))
        harmonics = [spectrum[220 * order - 12 : 220 * order + 13].max() for order in range(1, 9)]
        levels_db.append(20 * np.log10(np.array(harmonics) / harmonics[0] + 1e-3))
    assert np.sqrt(np.mean(np.square(levels_db[0] - levels_db[1]))) > 1


def test_all_three_characters_of_the_kick_turn_up() -> None:
    """Round, punchy and long are drawn by the seed, and the long one is the longest."""
    found: dict[str, list[int]] = {name: [] for name in CHARACTERS}
    for seed in range(24):
        rng = np.random.default_rng([seed, 0])
        name, render = character(np.random.default_rng([seed, 0])), VOICES["kick"].render
        assert render is not None
        found[name].append(len(render(Stroke(rng, rng, RATE, family="machine"))))
    assert all(found.values())
    assert min(found["long"]) > max(found["punchy"])


def test_a_voice_has_its_level_whatever_the_seed() -> None:
    """K-weighted power of the loudest 100 ms differs between two voices as their levels say, within 0.1 dB."""

    def power_db(kit: Kit, voice: str) -> float:
        heard = np.square(k_weighted(kit.take(voice).samples, RATE)).sum(axis=1)
        return 10 * float(np.log10(np.convolve(heard, np.ones(RATE // 10), mode="full").max()))

    for kit in KITS.values():
        snare = power_db(kit, "snare")
        for voice in ("kick", "closed_hat", "conga"):
            assert power_db(kit, voice) - snare == pytest.approx(VOICES[voice].level_db, abs=0.1)


@pytest.mark.parametrize("rate", [22_050, 44_100, 96_000])
def test_a_kit_can_be_had_at_any_usual_rate(rate: int) -> None:
    """A drum lasts as long at another rate, within what its noise changes at the faint end."""
    kit = Kit(0, rate)
    for voice in ("kick", "snare", "closed_hat", "pad"):
        assert len(kit.take(voice).samples) / rate == pytest.approx(len(KITS[0].take(voice).samples) / RATE, rel=0.1)


@pytest.mark.proof
@pytest.mark.parametrize("rate", [8_000, 11_025, 192_000])
def test_every_voice_can_be_had_at_the_lowest_and_highest_rates(rate: int) -> None:
    """Every rate that the kit accepts gives finite sounds that are not silent, whatever the seed."""
    for voice in VOICES:
        for kit in (Kit(seed, rate) for seed in ((0, 1, 5) if rate < 100_000 else (0,))):
            shot = kit.take(voice).samples
            assert np.isfinite(shot).all()
            assert np.abs(shot).max() > 0.02


def test_a_wrong_kit_is_refused_with_the_likely_slip() -> None:
    """Unknown voice, negative seed, a rate in kHz, a contrast in per cent."""
    with pytest.raises(ValueError, match=r"snair.*snare"):
        KITS[0].take("snair")
    with pytest.raises(ValueError, match="seed -1"):
        Kit(-1)
    with pytest.raises(ValueError, match="kHz"):
        Kit(0, 48)
    with pytest.raises(ValueError, match="contrast 50"):
        Kit(0, contrast=50)


@pytest.mark.parametrize("voice", ["crash", "ride", "pad", "impact"])
def test_the_energy_of_a_long_sound_is_that_of_its_k_weighted_frames(voice: str) -> None:
    """Blocks weighted in their spectra, after 0.6 s, against the filter over all frames: 0.3 dB at most, at 40 Hz."""
    take = Kit(4).take(voice, duration_s=2.0)
    exact = np.square(k_weighted(take.samples, RATE)).sum(axis=1, dtype=np.float64)
    from_s = round(0.6 * RATE)
    later = 10 * np.log10(take.energy[round(0.6 / BIN_S) :].sum() / exact[from_s:].sum())
    assert len(take.energy) == -(-len(take.samples) // round(BIN_S * RATE))
    assert abs(later) < 0.3
    np.testing.assert_allclose(take.energy[:30].sum(), exact[:from_s].sum(), rtol=1e-3)


@pytest.mark.parametrize(("voice", "pitch"), [("bass", 36.0), ("stab", 64.0), ("pad", 60.0), ("voice", 67.0)])
def test_a_note_dies_away_rather_than_stops(voice: str, pitch: float) -> None:
    """30 to 60 ms after its end a note is still there, less than 30 dB softer; it ends in silence."""
    sound = Kit(1).take(voice, pitch, 0.5).samples
    end, part = round(0.5 * RATE), round(0.03 * RATE)
    before, after = (np.mean(np.square(sound[at : at + part])) for at in (end - part, end + part))
    assert 10 * np.log10(before / after) < 30
    assert not sound[-1].any()
