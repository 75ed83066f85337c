"""Where in the beat its attack begins, to the millisecond.

The power of the first difference, which lifts what is sharp, is folded around the beats in cells of 0.5 ms as the
logarithm of its share. Of the rises near the beat the first counts that is at least ``RISE`` as steep as the
steepest: lossy codecs put an echo before an attack, which moves the peak of a plain difference up to 8 ms ahead.
Where players are not together the rise is wide, and its middle counts; kick and backbeat, which may lie apart, are
folded by themselves.
"""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Seconds
from synth.recording.finding.onsets import CELL, RATE_HZ

# Seconds around a beat that are folded, and between which its attack is looked for.
HALF_S, EARLIEST_S, LATEST_S = 0.045, -0.016, 0.012
# Cells of the Hann window that smooths the fold.
SMOOTH = 9
COMPRESSION = 1.0
# Share of the steepest rise from which one counts; down to which it is the same one.
RISE, SAME = 0.65, 0.35
FEWEST = 8
CELL_S = CELL / RATE_HZ


def attack(edges: npt.NDArray[np.float16], beats_s: Seconds) -> float:
    """Seconds from the beats (n,) to where their attack begins, minus is earlier; 0 with too few beats.

    ``edges`` (cells,): root mean square of the first difference in cells of 0.5 ms. Odd and even beats weigh by the
    square of how steeply they rise.
    """
    found = [_rise(edges, beats_s[by::2]) for by in (0, 1)]
    weight = sum(steep**2 for _, steep in found)
    return sum(at_s * steep**2 for at_s, steep in found) / weight if weight else 0.0


def _rise(edges: npt.NDArray[np.float16], beats_s: Seconds) -> tuple[float, float]:
    """Seconds from the beats to the middle of their rise, and how steep it is."""
    across = int(2 * HALF_S / CELL_S)
    first = (beats_s - HALF_S) / CELL_S
    first = first[(first > across) & (first < len(edges) - 2 * across)]
    if len(first) < FEWEST:
        return 0.0, 0.0
    low = np.floor(first).astype(np.int64)
    share = (first - low)[:, None]
    total = np.zeros(across)
    for start in range(0, len(low), 1024):
        rows = slice(start, start + 1024)
        at = low[rows, None] + np.arange(across + 1)
        cells = np.square(edges[at].astype(np.float64))
        mixed = cells[:, :-1] * (1 - share[rows]) + cells[:, 1:] * share[rows]
        total += np.log1p(COMPRESSION * mixed / (mixed.mean(axis=1, keepdims=True) + 1e-12)).sum(axis=0)
    window = np.hanning(SMOOTH)
    rise = np.diff(np.convolve(total / len(low), window / window.sum(), "same"))
    at_s = np.arange(1, across) * CELL_S - HALF_S
    rise = np.where((at_s > EARLIEST_S) & (at_s < LATEST_S), rise, 0)
    steepest = float(rise.max())
    if steepest <= 0:
        return 0.0, 0.0
    first_one = int(np.argmax(rise >= RISE * steepest))
    less = np.flatnonzero(rise < SAME * steepest)  # the ends are zero
    same = slice(less[less < first_one].max() + 1, less[less > first_one].min())
    weight = np.square(rise[same])
    return float((weight * at_s[same]).sum() / weight.sum()), steepest
