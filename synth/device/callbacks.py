"""The callbacks of a sound stream, as noted by the sound thread."""

import numpy as np
import numpy.typing as npt

# Flag of a note: the host reported an output underrun before this block.
UNDERFLOW = 1


class Notes:
    """The latest ``size`` callbacks of one stream in a ring: first frame, time of arrival, lead to the ear, flags.

    ``note`` is called from the sound thread and writes into preallocated arrays; everything else is called from one
    other thread. Note number n stands at n modulo ``size``.
    """

    def __init__(self, size: int) -> None:
        self.size = size
        self.frame = np.zeros(size, np.int64)
        self.arrived_s = np.zeros(size)
        self.lead_s = np.zeros(size)
        self.flags = np.zeros(size, np.int32)
        self.count = 0  # written so far; by the sound thread alone

    def note(self, frame: int, arrived_s: float, lead_s: float, flags: int) -> None:
        """Store one callback: its first frame, time of arrival, lead to the ear, and flags."""
        at = self.count % self.size
        self.frame[at] = frame
        self.arrived_s[at] = arrived_s
        self.lead_s[at] = lead_s
        self.flags[at] = flags
        self.count += 1

    def span(self, first: int, count: int) -> npt.NDArray[np.intp]:
        """Where the notes from the first on stand in the ring, as far as they are kept, where there are so many."""
        first = max(first, count - self.size + 64)  # the oldest may be overwritten while being read
        return np.arange(max(first, 0), count) % self.size

    def served_within(self, now_s: float, within_s: float) -> bool:
        """Whether a callback came within the last ``within_s`` seconds."""
        return self.count > 0 and bool(now_s - self.arrived_s[(self.count - 1) % self.size] <= within_s)
