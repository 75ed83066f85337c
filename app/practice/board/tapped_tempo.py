"""A tempo tapped in: the median of the latest intervals, in whole BPM."""

from collections import deque
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

# After this many seconds without a tap another tempo begins; and taps that count, eight intervals.
PAUSE_S, MOST_TAPS = 2.0, 9


@dataclass(slots=True)
class TappedTempo:
    """Times of the taps in s, the latest last."""

    taps_s: deque[float] = field(default_factory=lambda: deque(maxlen=MOST_TAPS))

    def tap(self, at_s: float) -> int | None:
        """Take a tap; the tempo so far, or None for the first tap."""
        if self.taps_s and at_s - self.taps_s[-1] > PAUSE_S:
            self.taps_s.clear()
        self.taps_s.append(at_s)
        gaps_s = [later - earlier for earlier, later in pairwise(self.taps_s) if later > earlier]
        return round(60.0 / median(gaps_s)) if gaps_s else None
