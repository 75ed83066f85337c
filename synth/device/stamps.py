"""Maps the time stamps of input events to the common clock: when they happened, not when they were handled.

Window systems, MIDI and others use clocks of their own with unknown epochs. Only where Linux shows that stamps and
common clock share an epoch is that assumed (``SAME_S``).
"""

import sys
from collections import deque

import numpy as np
import numpy.typing as npt

from synth.device.stream_clock import DRIFT_LIMIT

# Seconds. A stamp that seems older than this, or in the future, belongs to another clock.
STALE_S = 1.0
# Seconds. On Linux, events that seem no older than this show that window stamps and Python share a clock. Otherwise
# the offset is learnt from events that are handled at once, which are rare on a busy computer: the first dozen taps
# were up to 1.2 ms late, decreasing, with both cores busy.
SAME_S = 0.02
# Seconds of a stretch, number kept, and the fewest from which drift is estimated. The earliest event of each stretch
# gives the offset. With stamps 50 ppm slow (two crystals) the smallest difference ever seen would put taps 180 ms
# early after an hour; a fixed allowance would put them a millisecond late where there is no drift.
STRETCH_S, STRETCHES, FEWEST_STRETCHES = 10.0, 60, 6
# Stale stamps this many ms apart whose offsets agree within ``ALIKE_S`` belong to another clock. Events that queued
# up while the window hung are handled at once, so their offsets differ by as much as their stamps.
ALIKE_S, APART_MS = 0.05, 100

_WRAP_MS = 2**32


class StampClock:
    """Maps the window system's event stamps (ms, any epoch, possibly 32 bits) to the common clock.

    A handler runs late while the program is busy; the stamp was set when the event happened. The offset is the
    smallest (now - stamp) of the latest stretches, corrected for drift: SD 0.3 ms with a busy window, against 3 ms
    for the time of handling. ``own_epoch``: the stamps are known to have another epoch than the common clock.
    """

    def __init__(self, *, own_epoch: bool = False) -> None:
        self._may_be_same = not own_epoch and sys.platform.startswith("linux")
        # Start of each stretch, and time and offset of its earliest event.
        self._earliest: deque[tuple[float, float, float]] = deque(maxlen=STRETCHES)
        self._slope = 0.0  # growth of the offset, seconds per second
        self._least_s = np.inf
        self._last_ms = 0.0
        self._strange = 0  # agreeing stale stamps; the latest of them is stored below
        self._strange_ms = self._strange_s = 0.0

    def to_clock(self, stamp_ms: float, now_s: float) -> tuple[float, str]:
        """Time of an event on the common clock, and its source: ``"stamp"`` or ``"handler"``.

        ``stamp_ms`` as in the event, ``now_s`` read first in its handler. A stamp of zero (synthetic events), in the
        future, or older than a second is unusable: then the time is ``now_s`` with source ``"handler"``.
        """
        if stamp_ms <= 0:
            return now_s, "handler"
        if not self._earliest:
            self._adopt(stamp_ms, now_s)
            return stamp_ms * 1e-3 + self._way_s(now_s), "stamp"
        # X11 stamps wrap after 49.7 days: unwrap to the nearest of the previous stamp.
        stamp_ms += _WRAP_MS * round((self._last_ms - stamp_ms) / _WRAP_MS)
        shift_s = now_s - stamp_ms * 1e-3
        age_s = shift_s - self._way_s(now_s)
        if age_s < -STALE_S:  # in the future: the stamp clock was changed
            self._adopt(stamp_ms, now_s)
            return now_s, "handler"
        if age_s > STALE_S:
            if self._strange == 0 or abs(shift_s - self._strange_s) > ALIKE_S:
                self._strange, self._strange_ms, self._strange_s = 1, stamp_ms, shift_s
            elif stamp_ms - self._strange_ms >= APART_MS:
                self._strange, self._strange_ms, self._strange_s = self._strange + 1, stamp_ms, shift_s
            if self._strange >= 3:  # another clock, not late events
                self._adopt(stamp_ms, now_s)
            return now_s, "handler"
        self._strange = 0
        self._last_ms = stamp_ms
        self._learn(shift_s, now_s)
        return stamp_ms * 1e-3 + self._way_s(now_s), "stamp"

    def _adopt(self, stamp_ms: float, now_s: float) -> None:
        self._earliest.clear()
        self._least_s = np.inf
        self._last_ms = stamp_ms
        self._strange = 0
        self._learn(now_s - stamp_ms * 1e-3, now_s)

    def _learn(self, shift_s: float, now_s: float) -> None:
        self._least_s = min(self._least_s, shift_s)
        if not self._earliest or now_s - self._earliest[-1][0] >= STRETCH_S:
            # Forget what the slope is too inaccurate to extrapolate.
            while self._earliest and now_s - self._earliest[0][0] > STRETCHES * STRETCH_S:
                self._earliest.popleft()
            self._slope = _running_apart(*np.array(self._earliest).T[1:]) if self._earliest else 0.0
            self._earliest.append((now_s, now_s, shift_s))
            return
        start_s, at_s, least_s = self._earliest[-1]
        if shift_s - self._slope * now_s < least_s - self._slope * at_s:
            self._earliest[-1] = (start_s, now_s, shift_s)

    def _way_s(self, now_s: float) -> float:
        """Offset from stamps to clock; zero where both are the same clock."""
        if self._may_be_same and 0 <= self._least_s < SAME_S:
            return 0.0
        return min(shift_s + self._slope * (now_s - at_s) for _, at_s, shift_s in self._earliest)


def _running_apart(at_s: npt.NDArray[np.float64], shift_s: npt.NDArray[np.float64]) -> float:
    """Median slope between stretches at least a third of the range apart; 0 where it is within the scatter."""
    if len(at_s) < FEWEST_STRETCHES:
        return 0.0
    first, second = np.triu_indices(len(at_s), len(at_s) // 3)
    slope = float(np.median((shift_s[second] - shift_s[first]) / (at_s[second] - at_s[first])))
    rest_s = shift_s - slope * at_s
    scatter_s = 1.4826 * float(np.median(np.abs(rest_s - np.median(rest_s))))
    return slope if 4 * scatter_s < abs(slope) * (at_s[-1] - at_s[0]) and abs(slope) < DRIFT_LIMIT else 0.0
