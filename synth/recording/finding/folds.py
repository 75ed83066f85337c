"""Onset strength folded at a period: what recurs adds up, what does not is spread evenly.

Folding is epoch folding as in the search for pulsars (Leahy et al. 1983, ApJ 266, 160-170, from memory). The shift of
one fold against another is the peak of their circular cross-correlation, summed over the bands.
"""

import numpy as np

from synth.base.arrays import Floats
from synth.recording.finding.onsets import FRAMES_PER_S, Bands

# Smoothing of a folded beat: a Hann window of so many cells.
SMOOTH = 7
# Frames that are folded at a time (13 minutes).
BLOCK = 1 << 17


def folded_parts(onsets: Bands, period_s: float, phase_s: float, cells: int, part: int) -> tuple[Floats, Floats]:
    """Sums (bands, parts, cells) and counts (parts, cells) of onset strength by its place in the period.

    A part is ``part`` frames; each frame is shared between the two cells next to it. Cell 0 is at ``phase_s``.
    """
    frames = onsets.shape[1]
    parts = -(-frames // part)
    sums, counts = np.zeros((len(onsets), parts * cells)), np.zeros(parts * cells)
    for start in range(0, frames, BLOCK):  # to spare memory
        some = onsets[:, start : start + BLOCK]
        at = np.arange(start, start + some.shape[1])
        place = (at / FRAMES_PER_S - phase_s) / period_s
        place = (place - np.floor(place)) * cells
        low = np.floor(place).astype(np.int64)
        share = place - low
        for by, weight in ((0, 1 - share), (1, share)):
            cell = at // part * cells + (low + by) % cells
            counts += np.bincount(cell, weight, len(counts))
            for summed, band in zip(sums, some, strict=True):
                summed += np.bincount(cell, band * weight, len(counts))
    return sums.reshape(-1, parts, cells), counts.reshape(parts, cells)


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


def vertex(before: Floats, top: Floats, after: Floats) -> Floats:
    """The vertices (n,) of the parabolas through peaks and their neighbours, relative to the peaks."""
    found: Floats = 0.5 * (before - after) / (before - 2 * top + after - 1e-12)
    return found


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
    shift = best + vertex(before, top, after)
    return np.where(shift > cells / 2, shift - cells, shift), top / power
