"""Where in the beat its attack begins, to the millisecond.

The power of the first difference, which lifts what is sharp, is folded around the beats in cells of 0.5 ms as the
logarithm of its share. Of the rises near the beat the first counts that is at least ``RISE`` as steep as the
steepest: lossy codecs put an echo before an attack, which moves the peak of a plain difference up to 8 ms ahead.
"""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Seconds
from synth.recording.finding.onsets import CELL, RATE_HZ

# Seconds around a beat that are folded, and between which its attack is looked for.
HALF_S, EARLIEST_S, LATEST_S = 0.045, -0.016, 0.012
# Cells of the Hann window that smooths the fold.
SMOOTH = 9
COMPRESSION = 10.0
RISE = 0.65
FEWEST = 8
CELL_S = CELL / RATE_HZ


def attack(edges: npt.NDArray[np.float16], beats_s: Seconds) -> float:
    """Seconds from the beats (n,) to where their attack begins, minus is earlier; 0 with too few beats.

    ``edges`` (cells,): root mean square of the first difference in cells of 0.5 ms.
    """
    across = int(2 * HALF_S / CELL_S)
    first = (beats_s - HALF_S) / CELL_S
    first = first[(first > across) & (first < len(edges) - 2 * across)]
    if len(first) < FEWEST:
        return 0.0
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
    smooth = np.convolve(total, window / window.sum(), "same")
    rise = np.diff(smooth)
    at_s = np.arange(1, across) * CELL_S - HALF_S
    rise = np.where((at_s > EARLIEST_S) & (at_s < LATEST_S), rise, 0)
    best = int(np.argmax(rise >= RISE * rise.max()))
    while best + 1 < len(rise) and rise[best + 1] > rise[best]:
        best += 1
    return float(at_s[best])
