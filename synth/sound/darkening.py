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
    # In pairs, one for each channel: numpy is slow where it repeats a column.
    at = np.repeat(np.arange(low, high), 2).reshape(-1, 2)
    way = ((at - begin) / (end - begin)).astype(np.float32)
    few, many = (_doublings(hz, sample_rate_hz) for hz in ZEROS_HZ)
    around = 1 << many
    heard = slice(min(low - first, around), min(low - first, around) + high - low)
    dry = out[low - first : high - first]
    forwards = _doubled(out[max(0, low - first - around) : high - first + around], range(few))
    middle = _doubled(forwards, range(few), back=True)[heard] * np.float32(0.25**few)
    darker = np.minimum(2 * way, 1) * (middle - dry)
    if way[-1, 0] > 0.5:
        dark = _doubled(_doubled(forwards, range(few, many)), range(many), back=True)[heard]
        darker += np.maximum(2 * way - 1, 0) * (dark * np.float32(0.25**many) - middle)
    opening = max(1, round(OPEN_S * sample_rate_hz))
    last = slice(max(0, end - opening - low), None)
    darker[last] *= ((end - at[last]) / opening).astype(np.float32)
    dry += darker


def _doublings(zero_hz: float, sample_rate_hz: int) -> int:
    return max(1, round(float(np.log2(sample_rate_hz / zero_hz))))


def _doubled(total: Samples, doublings: range, *, back: bool = False) -> Samples:
    """``total`` summed with itself 2 ** n frames before (``back``: after) for each n of ``doublings``.

    For all n from 0 on that is a running sum; forwards and back, one under a triangle around each frame. By sums of
    sums no frame depends on those far away.
    """
    for by in (1 << np.array(doublings)).tolist():
        more = np.empty_like(total)
        edge, whole = (slice(-by, None), slice(None, -by)) if back else (slice(None, by), slice(by, None))
        more[edge] = total[edge]
        np.add(total[by:], total[:-by], more[whole])
        total = more
    return total
