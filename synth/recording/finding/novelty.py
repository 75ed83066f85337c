"""Where music changes, and on which place of a phrase its changes fall.

Novelty is the distance between the means of what was before and what comes after (Foote 2000, Proc. ICME, 452-455,
the corner of a checkerboard kernel, from memory).
"""

import numpy as np

from synth.base.arrays import Floats


def novelty(rows: Floats, reach: int) -> Floats:
    """Distance (n,) between the means of the ``reach`` rows of (n, features) before each and from it on.

    Nearer to the ends fewer rows are compared, below half of ``reach`` none: 0.
    """
    n = len(rows)
    sums = np.concatenate([np.zeros((1, rows.shape[1])), np.cumsum(rows, axis=0)])
    at = np.arange(n)
    size = np.minimum(reach, np.minimum(at, n - at))
    use = size >= max(1, reach // 2)
    width = np.maximum(size, 1)[:, None]
    before, after = sums[at] - sums[at - size], sums[at + size] - sums[at]
    return np.where(use, np.linalg.norm((after - before) / width, axis=1), 0.0)


def standardised(values: Floats) -> Floats:
    """Mean 0, standard deviation 1."""
    unit: Floats = (values - values.mean()) / (values.std() + 1e-9)
    return unit


def peaks(values: Floats, reach: int) -> Floats:
    """The values (n,) that are the greatest within ``reach`` places on either side, zero elsewhere."""
    padded = np.pad(values, reach, constant_values=-np.inf)
    greatest = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1).max(axis=1)
    return np.where(values >= greatest, values, 0.0)


def by_place(values: Floats, places: int) -> Floats:
    """Sums (places,) of the values (n,) whose index has each remainder."""
    sums: Floats = np.bincount(np.arange(len(values)) % places, values, places).astype(np.float64)
    return sums
