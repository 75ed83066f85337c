"""Ducking: bass and pads give way to the kick, as under a compressor that listens to it."""

from dataclasses import dataclass

import numpy as np

from synth.base.arrays import Ints, Samples

# Seconds: falls until the kick's first frame, stays down while the kick speaks, comes back within half a fast beat.
FALL_S, HOLD_S, RISE_S = 0.010, 0.040, 0.140


@dataclass(frozen=True, slots=True, eq=False)
class Duck:
    """Gain around the kicks: ``curve`` float32 (frames, 2) from each of ``begins`` (n,), sorted frames, on."""

    begins: Ints
    curve: Samples
    fall: int

    @classmethod
    def of(cls, kicks: Ints, depth_db: float, sample_rate_hz: int, hold_s: float = HOLD_S) -> "Duck":
        """``kicks`` (n,) are the sorted first frames of the kicks or words, ``depth_db`` is positive."""
        fall, hold, rise = (round(seconds * sample_rate_hz) for seconds in (FALL_S, hold_s, RISE_S))
        down = np.concatenate(
            [
                0.5 - 0.5 * np.cos(np.pi * (np.arange(fall) + 0.5) / fall),
                np.ones(hold),
                0.5 + 0.5 * np.cos(np.pi * (np.arange(rise) + 0.5) / rise),
            ]
        )
        gain = (10 ** (-depth_db * down / 20)).astype(np.float32)
        apart = np.diff(kicks, prepend=np.iinfo(np.int64).min // 2) > fall
        return cls(kicks[apart] - fall, np.repeat(gain[:, None], 2, axis=1), fall)

    def apply(self, out: Samples, first: int) -> None:
        """Turn ``out`` (frames, 2) down in place; its first frame is frame ``first`` of the record.

        Where kicks follow each other closely the lower gain holds.
        """
        last, begins = first + len(out), self.begins
        for at in range(*np.searchsorted(begins, (first - len(self.curve), last)).tolist()):
            begin = int(begins[at])
            gain = self.curve[: begins[at + 1] - begin] if at + 1 < len(begins) else self.curve
            before = self.curve[begin - begins[at - 1] :][: self.fall] if at else self.curve[:0]
            if len(before):
                gain = gain.copy()
                np.minimum(gain[: len(before)], before, out=gain[: len(before)])
            low, high = max(begin, first), min(begin + len(gain), last)
            if low < high:
                out[low - first : high - first] *= gain[low - begin : high - begin]
