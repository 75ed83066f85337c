"""Building blocks of the instruments: envelopes, sweeps, shaped noise, partials.

Functions return mono float32 of shape (frames,). Frequencies are in Hz, times in seconds.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.loudness import Powers, fast_length

_NOISE = 1 << 19  # values of noise that all sounds share
_ONSET_S = 0.0002  # rise at frame 0: short enough to be an attack, long enough not to be a step


def frames_of(length_s: float, rate: int) -> int:
    return max(8, round(length_s * rate))


def seconds(length_s: float, rate: int) -> Samples:
    """Time of every frame."""
    return np.arange(frames_of(length_s, rate), dtype=np.float32) / np.float32(rate)


def decay(t: Samples, tau_s: float) -> Samples:
    """Exponential decay, 1 at time 0, 1/e at ``tau_s``; 1 before time 0."""
    return np.asarray(np.exp(np.minimum(t * np.float32(-1 / tau_s), np.float32(0))), dtype=np.float32)


def burst(t: Samples, at_s: float, tau_s: float) -> Samples:
    """A decay that starts at ``at_s``, zero before."""
    later = t - np.float32(at_s)
    return np.asarray(np.where(later >= 0, decay(later, tau_s), np.float32(0)), dtype=np.float32)


def swept(t: Samples, from_hz: float, to_hz: float, tau_s: float, phase: float = 0.0) -> Samples:
    """A sine whose frequency moves exponentially from one value towards another."""
    cycles = to_hz * t + (from_hz - to_hz) * tau_s * (1 - np.exp(-t / np.float32(tau_s)))
    return _sine(cycles.astype(np.float32) + np.float32(phase))


def sine(t: Samples, hz: float, phase: float = 0.0) -> Samples:
    """A steady sine; ``phase`` in cycles."""
    return _sine(t * np.float32(hz) + np.float32(phase))


def _sine(cycles: Samples) -> Samples:
    # Remove whole cycles: float32 sine is fast and exact only near zero.
    return np.asarray(np.sin((cycles - np.rint(cycles)) * np.float32(2 * np.pi)), dtype=np.float32)


def partials(rng: Generator, t: Samples, hz: Sequence[float], tau_s: Sequence[float] | float) -> Samples:
    """Sines of equal amplitude at the given frequencies, with random phases and their own decays."""
    taus = [tau_s] * len(hz) if isinstance(tau_s, float) else tau_s
    out = np.zeros_like(t)
    for frequency, tau, phase in zip(hz, taus, rng.random(len(hz)), strict=True):
        out += sine(t, frequency, phase) * decay(t, tau)
    return out / np.float32(np.sqrt(len(hz)))


@lru_cache(maxsize=1)
def _noise() -> Samples:
    table = np.random.default_rng(0).standard_normal(_NOISE, dtype=np.float32)
    table.setflags(write=False)
    return table


def gaussian(rng: Generator, *shape: int) -> Samples:
    """Standard normal values from a random place in a table, whose drawing anew would cost more than their use."""
    size, begin = int(np.prod(shape)), 2 * int(rng.integers(_NOISE // 2))
    table = _noise() if begin + size <= _NOISE else np.resize(_noise(), begin + size)
    return table[begin : begin + size].reshape(shape)


def noise(rng: Generator, frames: int, rate: int, low_hz: float, high_hz: float, order: int = 2) -> Samples:
    """Noise between two frequencies, unit variance, slopes of 6 dB an octave per order."""
    size = fast_length(frames)
    hz = np.fft.rfftfreq(size, 1 / rate).astype(np.float32)
    hz[0] = hz[1]
    shape = 1 / np.sqrt((1 + (low_hz / hz) ** (2 * order)) * (1 + (hz / high_hz) ** (2 * order)))
    lines = gaussian(rng, len(hz), 2).view(np.complex64)[:, 0]
    out = np.fft.irfft(lines * shape.astype(np.float32), size)[:frames].astype(np.float32)
    return out / np.float32(np.sqrt(np.mean(out**2)) + 1e-12)


# Knots of ``wash``.
WASH_HZ = np.array([60, 125, 250, 500, 1000, 2000, 4000, 8000, 14000])
_WASH_OCTAVES = np.log(WASH_HZ)


@lru_cache(maxsize=4)
def _wash_grid(size: int, rate: int) -> tuple[Powers, Powers, Samples]:
    """Frequencies of a frame of ``wash``, their logarithms, and the window."""
    hz = np.maximum(np.fft.rfftfreq(size, 1 / rate), 20.0)
    return hz, np.log(hz), np.sin(np.pi * (np.arange(size) + 0.5) / size).astype(np.float32)


def wash(
    rng: Generator,
    frames: int,
    rate: int,
    levels_db: npt.ArrayLike,
    taus_s: float | Sequence[float],
    modes: Generator | None = None,
) -> Samples:
    """Noise whose level and decay depend on frequency, both given at ``WASH_HZ``.

    ``levels_db`` (9,) is the level of an octave, ``taus_s`` the time to 1/e (9,) or one for all. Made of overlapping
    frames of 21 ms with sine windows, whose squares add up to one. With ``modes``, which draws them, the noise
    gathers in lines 12 Hz wide of random level and decay, as in a sheet of metal; frames last 85 ms then.
    """
    taus = np.broadcast_to(np.asarray(taus_s, dtype=np.float64), WASH_HZ.shape)
    levels = np.asarray(levels_db, dtype=np.float64)
    size = 1 << round(np.log2(rate / (47 if modes is None else 12)))
    hz, octaves, window = _wash_grid(size, rate)
    density = np.interp(octaves, _WASH_OCTAVES, levels) - 10 * np.log10(hz)
    shape = 10 ** ((density - density.max()) / 20) * (hz < 18_000)
    slowness = 1 / np.exp(np.interp(octaves, _WASH_OCTAVES, np.log(taus)))
    if modes is not None:
        lines_db, lasting = modes.standard_normal((2, 1 + 8192))[:, : len(hz)]
        shape *= np.exp(1.1 * lines_db)
        slowness *= np.exp(-0.35 * lasting)
    # What all frequencies have in common is applied sample by sample: an attack stays one.
    common = float(np.average(slowness, weights=shape**2))
    number, hop = -(-2 * frames // size) + 1, size // 2
    at_s = np.arange(number, dtype=np.float32) * np.float32(hop / rate)
    lines = gaussian(rng, number, 2 * len(hz)).view(np.complex64) * shape.astype(np.float32)
    if modes is not None or np.ptp(taus):
        lines *= np.exp(np.clip(np.outer(at_s, (common - slowness).astype(np.float32)), -60, 60))
    parts = np.fft.irfft(lines, size)
    parts *= window
    out = np.empty((number + 1) * hop, dtype=np.float32)
    out[:hop], out[number * hop :] = parts[0, :hop], parts[-1, hop:]
    np.add(parts[1:, :hop], parts[:-1, hop:], out[hop : number * hop].reshape(-1, hop))
    t = np.arange(frames, dtype=np.float32) / np.float32(rate)
    return out[hop : hop + frames] * decay(t, 1 / common)


def unit(x: Samples) -> Samples:
    """``x`` with an energy of one."""
    return x / np.float32(np.sqrt(np.sum(np.square(x), dtype=np.float64)) + 1e-12)


def db(level: float) -> np.float32:
    """Factor of a level."""
    return np.float32(10 ** (level / 20))


def drive(x: npt.NDArray[Any], amount: float) -> Samples:
    """Soft saturation that keeps full-scale peaks; 0 returns the sound unchanged."""
    if amount <= 0:
        return x
    return np.asarray(np.tanh(x * np.float32(amount)) / np.float32(np.tanh(amount)), dtype=np.float32)


def leaning(sound: Samples, rate: int, order: float) -> Samples:
    """Tilt the spectrum of ``sound`` (frames,) or (frames, 2) by 6 dB an octave times ``order``."""
    size = fast_length(len(sound) + 512)
    hz = np.clip(np.fft.rfftfreq(size, 1 / rate), 60, 9000)
    lean = ((hz / 700) ** order).astype(np.float32)
    spectrum = np.fft.rfft(sound.T, size) * lean
    return finish(np.fft.irfft(spectrum, size)[..., : len(sound)].T, rate, fade_s=0.01)


def finish(sound: npt.NDArray[Any], rate: int, fade_s: float = 0.03) -> Samples:
    """``sound`` as float32 with a rise of 0.2 ms at the start and a fade to exact zero at the end."""
    x: Samples = np.array(sound, dtype=np.float32, order="C")
    across = (-1,) if x.ndim == 1 else (-1, 1)
    rise, fade = frames_of(_ONSET_S, rate), min(len(x), frames_of(fade_s, rate))
    x[:rise] *= (np.arange(rise, dtype=np.float32) / rise).reshape(across)
    x[-fade:] *= np.square(np.cos(np.linspace(0, np.pi / 2, fade, dtype=np.float32))).reshape(across)
    x[-1] = 0
    return x


def between(rng: Generator, low: float, high: float) -> float:
    """Draw a value uniformly from a range."""
    return float(rng.uniform(low, high))


def near_value(rng: Generator, value: float, share: float) -> float:
    """Draw a value within ``share`` (0.1: ten per cent) of the given one."""
    return value * float(rng.uniform(1 - share, 1 + share))
