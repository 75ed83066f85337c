"""Filter sweep: a record darkens towards a turn and is open again on it, as under a low-pass filter that closes."""

import numpy as np

from synth.base.arrays import Samples

# First zeros, in Hz, of the two low-pass filters through which the sweep goes: means over a power of two of frames.
ZEROS_HZ = (3000.0, 750.0)
OPEN_S = 0.005  # opens within this before the turn


def reach(sample_rate_hz: int) -> int:
    """Frames on either side of a stretch that ``darken`` needs to know."""
    return 1 << _doublings(ZEROS_HZ[-1], sample_rate_hz)


def darken(out: Samples, first: int, begin: int, end: int, sample_rate_hz: int) -> None:
    """Sweep from frame ``begin`` to ``end``, in place: ``out`` (frames, 2) begins with frame ``first`` of the record.

    Correct but for ``reach`` frames at either end; the result does not depend on where ``out`` begins.
    """
    low, high = max(begin, first), min(end, first + len(out))
    if low >= high:
        return
    at = np.arange(low, high)
    open_frames = max(1, round(OPEN_S * sample_rate_hz))
    way = ((at - begin) / (end - begin)).astype(np.float32)[:, None]
    shut = np.minimum((end - at) / open_frames, 1.0).astype(np.float32)[:, None]
    middle, dark = (_mean(out, _doublings(hz, sample_rate_hz))[low - first : high - first] for hz in ZEROS_HZ)
    dry = out[low - first : high - first]
    darker = dry + np.minimum(2 * way, 1) * (middle - dry) + np.maximum(2 * way - 1, 0) * (dark - middle)
    dry += shut * (darker - dry)


def _doublings(zero_hz: float, sample_rate_hz: int) -> int:
    return max(1, round(float(np.log2(sample_rate_hz / zero_hz))))


def _mean(sound: Samples, doublings: int) -> Samples:
    """Running mean over 2 ** ``doublings`` frames, forwards and back: a triangle around each frame.

    By sums of sums, so that no frame depends on those far away.
    """
    total = sound
    for by in (1 << np.arange(doublings)).tolist():
        total = np.concatenate([total[:by], total[by:] + total[:-by]])
    for by in (1 << np.arange(doublings)).tolist():
        total = np.concatenate([total[:-by] + total[by:], total[-by:]])
    return np.asarray(total * np.float32(0.25**doublings), dtype=np.float32)
