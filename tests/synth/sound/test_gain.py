"""Loudness and limiter, against ITU-R BS.1770, pyloudnorm and scipy."""

import numpy as np
import pyloudnorm
import pytest
from scipy.signal import freqz, resample_poly

from synth.sound import limiter
from synth.sound.loudness import gated, integrated_power, k_weight, k_weighted, lufs, window, windowed_energy
from tests.synth.sound.measures import true_peak_dbtp

RATE = 48_000


def test_the_k_filter_is_the_one_of_the_recommendation() -> None:
    """Within 0.001 dB of the coefficients printed in ITU-R BS.1770-5, annex 1, tables 1 and 2 (48 kHz)."""
    hz = np.geomspace(20, 20_000, 60)
    _, shelf = freqz(
        [1.53512485958697, -2.69169618940638, 1.19839281085285], [1, -1.69065929318241, 0.73248077421585], hz, fs=RATE
    )
    _, low = freqz([1, -2, 1], [1, -1.99004745483398, 0.99007225036621], hz, fs=RATE)
    np.testing.assert_allclose(10 * np.log10(k_weight(hz, RATE)), 20 * np.log10(np.abs(shelf * low)), atol=0.001)


def test_the_k_filter_hardly_depends_on_the_rate() -> None:
    """Below 10 kHz 44.1 kHz weighs as 48 kHz does, within 0.05 dB."""
    hz = np.geomspace(20, 10_000, 40)
    np.testing.assert_allclose(10 * np.log10(k_weight(hz, 44_100) / k_weight(hz, RATE)), 0, atol=0.05)


def test_a_sine_reads_what_pyloudnorm_reads() -> None:
    """1 kHz, both channels, -23 dBFS: -23.035 LUFS by pyloudnorm 0.2.0; ours within 0.1 LU, by either way."""
    sine = np.sin(2 * np.pi * 1000 * np.arange(4 * RATE) / RATE) * 10 ** (-23 / 20)
    stereo = np.stack([sine, sine], axis=1).astype(np.float32)
    read = pyloudnorm.Meter(RATE).integrated_loudness(stereo.astype(np.float64))
    assert read == pytest.approx(-23.035, abs=0.001)
    heard = float(np.square(k_weighted(stereo, RATE)).sum(axis=1)[RATE : 3 * RATE].mean())
    assert lufs(heard) == pytest.approx(read, abs=0.1)
    stretch = stereo[:19_200]
    energy = windowed_energy(stretch, RATE) / float(np.square(window(len(stretch))).sum())
    assert lufs(energy) == pytest.approx(read, abs=0.1)


def test_silence_and_what_is_far_below_do_not_count() -> None:
    """Gates of BS.1770: absolute at -70 LUFS, relative at -10 LU."""
    loud, quiet, silent = 1e-2, 1e-4, 1e-9
    assert lufs(integrated_power(np.full(20, loud))) == pytest.approx(-20.691)
    mixed = np.concatenate([np.full(40, loud), np.full(40, quiet), np.full(40, silent)])
    assert 10 * np.log10(integrated_power(mixed) / loud) == pytest.approx(0, abs=0.2)
    assert integrated_power(np.full(20, silent)) == 0
    assert lufs(0.0) == float("-inf")
    assert len(gated(np.zeros(0))[0]) == 0
    assert gated(np.array([loud, loud]))[0].tolist() == [loud]


def limited(sound: np.ndarray) -> np.ndarray:
    out = sound.astype(np.float32)
    limiter.limit(out, limiter.loud_cells(out, np.arange(-(-len(out) // limiter.CELL))), RATE)
    return out


def peak_dbtp(sound: np.ndarray) -> float:
    """True peak at fourfold oversampling (BS.1770-5, annex 2) by scipy's resampler."""
    return 20 * float(np.log10(np.abs(resample_poly(sound.astype(np.float64), 4, 1, axis=0)).max()))


@pytest.mark.parametrize("seed", range(4))
def test_no_true_peak_passes_the_ceiling(seed: int) -> None:
    """Loud noise bursts, a sine at a quarter of the rate between its samples, low tones: at most -1 dBTP."""
    rng = np.random.default_rng(seed)
    t = np.arange(RATE // 2)
    noise = rng.standard_normal((len(t), 2)) * np.exp(-t / 3000)[:, None]
    between = (
        1.3 * np.sin(np.pi / 2 * t + np.pi / 4)[:, None] * np.ones(2) * np.exp(-(((t - 12_000) / 4000) ** 2))[:, None]
    )
    low = 1.6 * np.sin(2 * np.pi * 50 * t / RATE)[:, None] * np.array([1.0, 0.5])
    for sound in (noise, between, low):
        assert peak_dbtp(sound) > -1
        assert true_peak_dbtp(sound) == pytest.approx(peak_dbtp(sound), abs=1e-9)
        assert peak_dbtp(limited(sound)) <= -1.0


def test_what_is_below_the_ceiling_is_left_alone() -> None:
    """To the sample: the limiter touches only the surroundings of a peak."""
    rng = np.random.default_rng(0)
    quiet = (0.1 * rng.standard_normal((RATE, 2))).astype(np.float32)
    np.testing.assert_array_equal(limited(quiet), quiet)
    peaky = quiet.copy()
    peaky[RATE // 2 : RATE // 2 + 40] += 1.5
    changed = np.flatnonzero(np.any(limited(peaky) != peaky, axis=1))
    assert changed[0] > RATE // 2 - 0.003 * RATE
    assert changed[-1] < RATE // 2 + 0.065 * RATE


def test_the_gain_moves_without_a_step() -> None:
    """On a loud steady tone the gain between neighbouring frames never jumps by more than 2 per cent."""
    t = np.arange(RATE // 4)
    envelope = np.where((t > 5000) & (t < 6000), 1.8, 0.5)
    sound = (np.cos(2 * np.pi * 3000 * t / RATE) * envelope)[:, None].repeat(2, axis=1).astype(np.float32)
    there = np.abs(sound[:, 0]) > 0.05
    gain = np.where(there, limited(sound)[:, 0] / np.where(there, sound[:, 0], 1), np.nan)
    gain = gain[there]
    assert np.abs(np.diff(gain)).max() < 0.02
