"""Loudness by ITU-R BS.1770, computed in the frequency domain.

By Parseval's theorem the mean square of a K-weighted stretch is a weighted sum over its spectrum, so no recursive
filter (slow in plain numpy) is needed. Powers are mean squares summed over the two channels, in full-scale units;
loudness is ``-0.691 + 10 log10(power)`` LUFS.
"""

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples
from synth.base.bins import TOGETHER, frames_of_bin

# What every trial and record is rendered at.
LOUDNESS_LUFS = -18.0

SEGMENT_S = 0.1  # BS.1770 gates blocks of 400 ms that overlap by three quarters: four segments of 100 ms.
ABSOLUTE_GATE_LUFS = -70.0
RELATIVE_GATE_LU = -10.0

Powers = npt.NDArray[np.float64]


def k_response(frequency_hz: npt.ArrayLike, sample_rate_hz: int) -> npt.NDArray[np.complex128]:
    """Complex gain of the K filter (BS.1770-5, annex 1) at the given frequencies, same shape.

    At 48 kHz the two sections have the coefficients of the recommendation; at other rates the same analogue
    prototypes go through the bilinear transform (constants by De Man 2018, "Evaluation of implementations of the EBU
    R128 loudness measurement", AES 145 e-brief; from memory, checked in the tests).
    """
    turn = np.exp(-2j * np.pi * np.asarray(frequency_hz, dtype=np.float64) / sample_rate_hz)
    k = np.tan(np.pi * 1681.974450955533 / sample_rate_hz)
    q, high = 0.7071752369554196, 10 ** (3.999843853973347 / 20)
    band = high**0.4996667741545416
    shelf_b = (high + band * k / q + k * k, 2 * (k * k - high), high - band * k / q + k * k)
    shelf_a = (1 + k / q + k * k, 2 * (k * k - 1), 1 - k / q + k * k)
    k = np.tan(np.pi * 38.13547087602444 / sample_rate_hz)
    q = 0.5003270373238773
    low_a = (1 + k / q + k * k, 2 * (k * k - 1), 1 - k / q + k * k)

    def on_circle(factors: tuple[float, float, float]) -> npt.NDArray[np.complex128]:
        return np.asarray(factors[0] + factors[1] * turn + factors[2] * turn**2, dtype=np.complex128)

    # The recommendation does not normalise the numerator (1, -2, 1) of the second section.
    shelf = on_circle(shelf_b) / on_circle(shelf_a)
    return np.asarray(shelf * on_circle((1.0, -2.0, 1.0)) * low_a[0] / on_circle(low_a), dtype=np.complex128)


def k_weight(frequency_hz: npt.ArrayLike, sample_rate_hz: int) -> Powers:
    """Power gain of the K filter at the given frequencies, same shape."""
    return np.asarray(np.square(np.abs(k_response(frequency_hz, sample_rate_hz))), dtype=np.float64)


@lru_cache(maxsize=16)
def _weights(frames: int, sample_rate_hz: int) -> npt.NDArray[np.float32]:
    weights = k_weight(np.fft.rfftfreq(frames, 1 / sample_rate_hz), sample_rate_hz) * 2.0
    weights[0] *= 0.5
    if frames % 2 == 0:
        weights[-1] *= 0.5
    return np.repeat(weights / frames, 2).astype(np.float32)  # one for the real and one for the imaginary part


@lru_cache(maxsize=16)
def window(frames: int) -> Samples:
    """Flat window with a cosine rise over the first eighth and fall over the last, against spectral leakage."""
    rise = np.sin(np.pi / 2 * (np.arange(frames // 8) + 0.5) / (frames // 8)) ** 2
    return np.concatenate([rise, np.ones(frames - 2 * len(rise)), rise[::-1]]).astype(np.float32)


def windowed_energy(stretch: Samples, sample_rate_hz: int) -> float:
    """Sum of the K-weighted squares of ``stretch`` (frames, 2) under ``window``."""
    weights, energy = _weights(len(stretch), sample_rate_hz), 0.0
    for channel in range(2):  # one at a time: arrays this small come from the heap without a system call
        parts = np.fft.rfft(stretch[:, channel] * window(len(stretch))).view(np.float32)
        energy += float(np.dot(np.square(parts, out=parts), weights))
    return energy


def windows_energy(windows: Samples, sample_rate_hz: int) -> Powers:
    """Sum of the K-weighted squares of each of ``windows`` (..., frames), each as if it came round again."""
    parts = np.fft.rfft(windows).view(np.float32)
    return np.asarray(np.square(parts, out=parts) @ _weights(windows.shape[-1], sample_rate_hz), dtype=np.float64)


def bins_energy(sides: Samples, shares: Samples, sample_rate_hz: int) -> tuple[Powers, Powers]:
    """Sum of the K-weighted squares in every bin, (windows, 5), and in every window of five, (windows,).

    ``sides`` (channels, frames) are whole windows, ``shares`` the channels' factors. A window is weighted in its
    spectrum, and its energy divided among its bins as it is without weights.
    """
    bins = frames_of_bin(sample_rate_hz)
    window = TOGETHER * bins
    weighed = shares @ windows_energy(sides.reshape(len(sides), -1, window), sample_rate_hz)
    plain = shares @ np.square(sides).reshape(len(sides), -1, window // bins, bins).sum(axis=3).reshape(
        len(sides), -1
    )
    plain = plain.reshape(len(weighed), -1).astype(np.float64) + 1e-30
    return plain * (weighed / plain.sum(axis=1))[:, None], weighed


def weigh(samples: Samples, sample_rate_hz: int) -> Samples:
    """Of samples (frames, 2) the K-weighted energy in every bin, and a bound of the true peak, (2, bins)."""
    bins = frames_of_bin(sample_rate_hz)
    window = TOGETHER * bins
    if not len(samples):
        return np.zeros((2, 0), np.float32)
    sides = np.zeros((2, -(-len(samples) // window) * window), np.float32)
    sides[:, : len(samples)] = samples.T
    energy, _ = bins_energy(sides, np.ones(2, np.float32), sample_rate_hz)
    # Between samples a sine at a quarter of the rate rises 3 dB above them.
    peak = np.sqrt(2) * np.abs(sides).reshape(2, -1, bins).max(axis=(0, 2))
    return np.stack([energy.ravel(), peak])[:, : -(-len(samples) // bins)].astype(np.float32)


@lru_cache(maxsize=32)
def _response(frames: int, sample_rate_hz: int) -> npt.NDArray[np.complex64]:
    # The response is smooth: interpolate between one point for twenty lines, denser at low frequencies.
    hz = np.fft.rfftfreq(frames, 1 / sample_rate_hz)
    knots = sample_rate_hz / 2 * np.linspace(0, 1, max(256, frames // 40)) ** 2
    return np.asarray(np.interp(hz, knots, k_response(knots, sample_rate_hz)), dtype=np.complex64)


def k_weighted(samples: Samples, sample_rate_hz: int) -> Samples:
    """Apply the K filter to ``samples`` (frames,) or (frames, 2)."""
    frames = fast_length(len(samples) + round(0.03 * sample_rate_hz))
    spectrum = np.fft.rfft(samples.T, frames)
    spectrum *= _response(frames, sample_rate_hz)
    return np.asarray(np.fft.irfft(spectrum, frames)[..., : len(samples)].T, dtype=np.float32)


def fast_length(frames: int) -> int:
    """Next length of the form 2^k, 3 * 2^k, 5 * 2^k or 9 * 2^k, for a fast transform."""
    return min(m << max(0, int(np.ceil(np.log2(frames / m)))) for m in (1, 3, 5, 9))


def lufs(power: float) -> float:
    """Convert power to LUFS; minus infinity for silence."""
    return -0.691 + 10 * float(np.log10(power)) if power > 0 else float("-inf")


def gated(segments: Powers) -> tuple[Powers, npt.NDArray[np.bool_]]:
    """Powers of the 400 ms blocks (hop 100 ms), and which of them pass both gates of BS.1770.

    Fewer than four segments are taken as one block.
    """
    if len(segments) < 4:
        blocks = np.array([segments.mean()]) if len(segments) else np.zeros(0)
    else:
        blocks = (segments[:-3] + segments[1:-2] + segments[2:-1] + segments[3:]) / 4
    loud = blocks > 10 ** ((ABSOLUTE_GATE_LUFS + 0.691) / 10)
    if loud.any():
        loud &= blocks > blocks[loud].mean() * 10 ** (RELATIVE_GATE_LU / 10)
    return blocks, loud


def integrated_power(segments: Powers) -> float:
    """Mean power of the blocks that pass the gates; 0.0 for silence."""
    blocks, loud = gated(segments)
    return float(blocks[loud].mean()) if loud.any() else 0.0
