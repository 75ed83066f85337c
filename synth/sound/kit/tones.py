"""Shared by the pitched instruments: note frequencies, harmonics, envelopes."""

from collections.abc import Sequence

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s


def hz_of(pitch: float) -> float:
    """Equal temperament, A4 (69) at 440 Hz."""
    return float(440.0 * 2 ** ((pitch - 69) / 12))


def harmonics(
    cycles: Samples, strength: Sequence[float], decays_s: Sequence[float] | None = None, rate: int = 48_000
) -> Samples:
    """Sum of harmonics of a tone with the given phase (in cycles); harmonic k + 1 has amplitude ``strength[k]``.

    With ``decays_s`` every harmonic has its own decay. The caller omits harmonics above half the rate.
    """
    out = np.zeros_like(cycles)
    t = np.arange(len(cycles), dtype=np.float32) / np.float32(rate)
    for number, share in enumerate(strength, start=1):
        partial = s.sine(cycles, number) * np.float32(share)
        out += partial if decays_s is None else partial * s.decay(t, decays_s[number - 1])
    return out


def how_many(hz: float, highest_hz: float, rate: int) -> int:
    """Number of harmonics up to a frequency, at least one, none above 0.45 of the rate."""
    return max(1, int(min(highest_hz, 0.45 * rate) // hz))


def held(t: Samples, duration_s: float, attack_s: float, release_s: float) -> Samples:
    """Envelope of a sustained note: attack, sustain, and a decay by 40 dB in ``release_s`` after ``duration_s``."""
    rise = np.sin(np.minimum(t / np.float32(attack_s), 1) * np.float32(np.pi / 2)) ** 2
    return np.asarray(rise * s.decay(t - np.float32(duration_s), release_s / np.log(100)), dtype=np.float32)


def ensemble(rng: Generator, rate: int, hz: float, strength: Sequence[float], width: float, frames: int) -> Samples:
    """Many players on one note, (frames, 2): each harmonic is a narrow band of noise.

    One spectrum with random phases is transformed into a seamless loop (a table as in Nasca 2005, PADsynth; from
    memory). ``width`` is the relative bandwidth.
    """
    size = 1 << 16
    lines = np.arange(size // 2 + 1)
    shape = np.zeros(len(lines), dtype=np.float32)
    for number, share in enumerate(strength, start=1):
        centre = number * hz * size / rate
        spread = max(2.5, centre * width)
        low, high = max(1, int(centre - 4 * spread)), min(len(lines), int(centre + 4 * spread) + 2)
        bell = np.exp(-np.square((lines[low:high] - centre) / spread))
        shape[low:high] += np.float32(share) * bell / np.sqrt(np.sum(bell**2))
    # A Gaussian real and imaginary part: a random phase, and a random strength as noise has it.
    phases = s.gaussian(rng, 2, 2 * len(lines)).view(np.complex64)
    loops = np.fft.irfft(shape * phases, size).astype(np.float32)
    loops /= np.sqrt(np.mean(loops**2)) + np.float32(1e-12)
    around = np.arange(frames) % size
    return np.ascontiguousarray(loops.T[around])


def doubled(left: Samples, right: Samples, apart: float) -> Samples:
    """Two performances of one note as left and right, (frames, 2); ``apart`` 1 keeps them apart, 0 mixes them.

    Their sum to mono keeps both.
    """
    near = np.float32(1 - apart)
    return np.stack([left + near * right, right + near * left], axis=1)
