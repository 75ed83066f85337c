"""A sound in parts, as it is kept and sent, and as a whole."""

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples

# Samples of a part of a sound: the frame at which it begins, its scale, and the samples (n, 2) before scaling.
Part = tuple[int, float, npt.NDArray[np.generic]]
# What is told of a sound by bins of 20 ms, (2, bins): an energy, and a bound of the peak. By what, at a rate in Hz.
Bins = npt.NDArray[np.float32]
Weigh = Callable[[Samples, int], Bins]


def joined(parts: Sequence[Part], frames: int) -> Samples:
    """The parts as one sound, (frames, 2) float32; silence between and around them."""
    if len(parts) == 1 and parts[0][:2] == (0, 1.0) and len(parts[0][2]) == frames:
        return parts[0][2].astype(np.float32, copy=False)
    out = np.zeros((frames, 2), np.float32)
    for first, scale, samples in parts:
        np.multiply(samples, np.float32(scale), out[first : first + len(samples)])
    return out
