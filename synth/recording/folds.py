"""Onset strength folded at a period: what recurs adds up, what does not is spread evenly.

Folding is epoch folding as in the search for pulsars (Leahy et al. 1983, ApJ 266, 160-170, from memory). The shift of
one fold against another is the peak of their circular cross-correlation, summed over the bands.
"""

import numpy as np
import numpy.typing as npt

from synth.recording.onsets import FRAMES_PER_S, Bands

Floats = npt.NDArray[np.float64]

# Smoothing of a folded beat: a Hann window of so many cells.
SMOOTH = 7


def folded_parts(onsets: Bands, period_s: float, phase_s: float, cells: int, part: int) -> tuple[Floats, Floats]:
    """Sums (bands, parts, cells) and counts (parts, cells) of onset strength by its place in the period.

    A part is ``part`` frames; each frame is shared between the two cells next to it. Cell 0 is at ``phase_s``.
    """
    frames = onsets.shape[1]
    place = (np.arange(frames) / FRAMES_PER_S - phase_s) / period_s
    place = (place - np.floor(place)) * cells
    low = np.floor(place).astype(np.int64)
    share = place - low
    parts = -(-frames // part)
    row = np.arange(frames) // part * cells
    first, second = row + low % cells, row + (low + 1) % cells
    size = parts * cells

    def summed(values: npt.NDArray[np.floating]) -> Floats:
        both = np.bincount(first, values * (1 - share), size) + np.bincount(second, values * share, size)
        return np.asarray(both, np.float64).reshape(parts, cells)

    return np.stack([summed(band) for band in onsets]), summed(np.ones(frames))


def fold(onsets: Bands, period_s: float, phase_s: float, cells: int) -> Floats:
    """Mean onset strength (bands, cells) by its place in the period."""
    sums, counts = folded_parts(onsets, period_s, phase_s, cells, max(1, onsets.shape[1]))
    mean: Floats = sums[:, 0] / (counts[0] + 1e-9)
    return mean


def smoothed(folded: Floats) -> Floats:
    """A fold (bands, cells) smoothed around the circle."""
    window = np.hanning(SMOOTH)
    half = SMOOTH // 2
    shares = window / window.sum()
    smooth: Floats = sum(shares[half + by] * np.roll(folded, by, axis=1) for by in range(-half, half + 1))
    return smooth


def above_median(folded: Floats) -> Floats:
    """What rises above each row's median, along the last axis."""
    above: Floats = np.maximum(0, folded - np.median(folded, axis=-1, keepdims=True))
    return above


def shifts(template: Floats, folds: Floats) -> tuple[Floats, Floats]:
    """How many cells later each fold (n, bands, cells) is than the template (bands, cells), and how alike they are.

    Both (n,): shifts from -cells / 2 to cells / 2, likeness up to about 1.
    """
    cells = template.shape[-1]
    one = np.fft.rfft(template - template.mean(axis=-1, keepdims=True), axis=-1)
    others = np.fft.rfft(folds - folds.mean(axis=-1, keepdims=True), axis=-1)
    cross = np.fft.irfft((np.conj(one) * others).sum(axis=1), cells, axis=-1)
    power = np.sqrt((np.abs(one) ** 2).sum() * (np.abs(others) ** 2).sum(axis=(1, 2))) * 2 / cells + 1e-12
    row, best = np.arange(len(cross)), np.argmax(cross, axis=1)
    before, top, after = (cross[row, (best + by) % cells] for by in (-1, 0, 1))
    shift = best + 0.5 * (before - after) / (before - 2 * top + after - 1e-12)
    return np.where(shift > cells / 2, shift - cells, shift), top / power
