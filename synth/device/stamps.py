"""The stamps of input events on the one clock: from when something happened, not from when it was handled.

Windows, MIDI and others stamp their events by clocks of their own, whose epochs differ from host to host; only where
Linux shows that stamps and clock count from the same moment is that believed (``SAME_S``).
"""

import sys
from collections import deque

import numpy as np
import numpy.typing as npt

from synth.device.clock import DRIFT_LIMIT

# An event stamp that seems older than this, or newer than now, belongs to another clock.
STALE_S = 1.0
# On Linux screens stamp by the clock that Python reads: events that seem no older than this show that it is so.
#
# Else the way from stamps to clock is learnt from events that happen to be handled at once, and these are rare on a
# busy computer: the first dozen taps were told up to 1.2 ms late, less and less, with both cores kept busy.
SAME_S = 0.02
# The earliest event of each stretch leads from stamps to clock; from so few on they also tell how the two run apart.
#
# With stamps 50 ppm slow (two crystals' worth) the smallest difference ever seen would tell taps 180 ms early after an
# hour. Letting it rise by an allowance instead would tell them a millisecond late where nothing runs apart.
STRETCH_S, STRETCHES, FEWEST_STRETCHES = 10.0, 60, 6
# Stale stamps this far apart that lead the same way, within what handlers are late by, are of another clock.
#
# Those of events that waited while the window hung are all handled at once: the further apart, the less alike.
ALIKE_S, APART_MS = 0.05, 100

_WRAP_MS = 2**32


class StampClock:
    """Leads the window system's event stamps (ms, any epoch, possibly of 32 bits) to the one clock.

    The handler of an event runs late by as much as the program was busy; the stamp was set when the event
    happened. The smallest (now - stamp) of the latest stretches, in which the clocks' running apart is allowed for,
    is the way from one clock to the other: measured SD 0.3 ms with a busy window, against 3 ms for the moment when
    the handler runs.

    ``own_epoch``: the stamps are known to count from a moment of their own, so that none is taken for the clock's.
    """

    def __init__(self, *, own_epoch: bool = False) -> None:
        self._may_be_same = not own_epoch and sys.platform.startswith("linux")
        # Of each stretch its start, and moment and shift of its earliest event.
        self._earliest: deque[tuple[float, float, float]] = deque(maxlen=STRETCHES)
        self._slope = 0.0  # by how much the shift grows, seconds a second
        self._least_s = np.inf
        self._last_ms = 0.0
        self._strange = 0  # stale stamps that lead the same way, the latest of them below
        self._strange_ms = self._strange_s = 0.0

    def to_clock(self, stamp_ms: float, now_s: float) -> tuple[float, str]:
        """An event's moment on the one clock, and where it comes from: ``"stamp"`` or ``"handler"``.

        ``stamp_ms`` as the event carries it, ``now_s`` read first thing in its handler. A stamp of zero (events
        made by a test), one that lies in the future, or one older than a second says nothing: then it is
        ``now_s``, marked ``"handler"``.
        """
        if stamp_ms <= 0:
            return now_s, "handler"
        if not self._earliest:
            self._adopt(stamp_ms, now_s)
            return stamp_ms * 1e-3 + self._way_s(now_s), "stamp"
        # X11 stamps wrap after 49.7 days: take the turn that lies nearest to the stamp before.
        stamp_ms += _WRAP_MS * round((self._last_ms - stamp_ms) / _WRAP_MS)
        shift_s = now_s - stamp_ms * 1e-3
        age_s = shift_s - self._way_s(now_s)
        if age_s < -STALE_S:  # from the future: the stamps' clock was changed
            self._adopt(stamp_ms, now_s)
            return now_s, "handler"
        if age_s > STALE_S:
            if self._strange == 0 or abs(shift_s - self._strange_s) > ALIKE_S:
                self._strange, self._strange_ms, self._strange_s = 1, stamp_ms, shift_s
            elif stamp_ms - self._strange_ms >= APART_MS:
                self._strange, self._strange_ms, self._strange_s = self._strange + 1, stamp_ms, shift_s
            if self._strange >= 3:  # not late events but another clock
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
            # The slope is known too little to reach far.
            while self._earliest and now_s - self._earliest[0][0] > STRETCHES * STRETCH_S:
                self._earliest.popleft()
            self._slope = _running_apart(*np.array(self._earliest).T[1:]) if self._earliest else 0.0
            self._earliest.append((now_s, now_s, shift_s))
            return
        start_s, at_s, least_s = self._earliest[-1]
        if shift_s - self._slope * now_s < least_s - self._slope * at_s:
            self._earliest[-1] = (start_s, now_s, shift_s)

    def _way_s(self, now_s: float) -> float:
        """The way from stamps to clock, which is none where both are the same clock."""
        if self._may_be_same and 0 <= self._least_s < SAME_S:
            return 0.0
        return min(shift_s + self._slope * (now_s - at_s) for _, at_s, shift_s in self._earliest)


def _running_apart(at_s: npt.NDArray[np.float64], shift_s: npt.NDArray[np.float64]) -> float:
    """The median slope between stretches at least a third of all apart; 0 where it is lost in their scatter."""
    if len(at_s) < FEWEST_STRETCHES:
        return 0.0
    first, second = np.triu_indices(len(at_s), len(at_s) // 3)
    slope = float(np.median((shift_s[second] - shift_s[first]) / (at_s[second] - at_s[first])))
    rest_s = shift_s - slope * at_s
    scatter_s = 1.4826 * float(np.median(np.abs(rest_s - np.median(rest_s))))
    return slope if 4 * scatter_s < abs(slope) * (at_s[-1] - at_s[0]) and abs(slope) < DRIFT_LIMIT else 0.0
