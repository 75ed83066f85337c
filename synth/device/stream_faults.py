"""What interrupted a sound stream, found in the notes of its callbacks: an underrun, a long gap, silence, a step."""

import numpy as np
import numpy.typing as npt

from synth.device.callbacks import UNDERFLOW
from synth.device.faults import Fault, FaultKind
from synth.device.quantiles import median
from synth.device.stream_clock import FIRST_BLOCKS, StreamClock

# Seconds. A fault when every block of the latest stretch arrives later than the line by more than this.
MOVED_S = 0.008
# Seconds. A fault when the lead and the resulting output time both step by more within a second: the output was
# rerouted (headphones plugged in). On an overloaded computer the median of half a second stayed within 1 ms of the
# line for four minutes, so normal wander is no step.
LEAD_STEP_S = 0.03
# Seconds without a callback after which the sound has stopped.
SILENCE_S = 0.5
# Seconds that a stream may take to its first callback (wireless devices wake up slowly).
START_S = 3.0


class StreamFaults:
    """Watches the callbacks of one stream, from the thread of its clock."""

    def __init__(self, clock: StreamClock) -> None:
        self.clock, self._notes = clock, clock.notes
        self._read = 0  # notes checked so far
        self._silent = False

    def look(self, now_s: float, buffer_s: float | None = None) -> tuple[Fault, ...]:
        """Interruptions since the last look; the line restarts after each.

        ``buffer_s``: a longer gap between two callbacks has emptied the device's buffer, whether or not the host
        reports an underrun (138 ms against a buffer of 100 ms came without a flag). Default: the latency.
        """
        clock, notes = self.clock, self._notes
        limit_s = clock.latency_s if buffer_s is None else buffer_s
        count, found = notes.count, list[Fault]()
        if count > self._read:
            if self._read and count - self._read >= notes.size - 64:
                frame = int(notes.frame[(count - 1) % notes.size])
                found.append(Fault(FaultKind.LOST, frame=frame))
                clock.restart(count - 1)
                self._read = count - 1
            at = notes.span(max(self._read - 1, 0), count)
            offset = count - len(at)
            arrived_s, gap_s = notes.arrived_s[at], np.zeros(len(at))
            np.subtract(arrived_s[1:], arrived_s[:-1], out=gap_s[1:])
            dry = (notes.flags[at] & UNDERFLOW) != 0
            dry[0] &= self._read == 0  # already checked, needed for the difference
            for i in np.flatnonzero(dry | (gap_s > limit_s)):
                if offset + i < FIRST_BLOCKS:
                    continue  # stream is starting
                frame = int(notes.frame[at[i]])
                if gap_s[i] > limit_s:
                    found.append(Fault(FaultKind.STALL, f"{gap_s[i] * 1e3:.0f}", frame))
                else:
                    found.append(Fault(FaultKind.UNDERFLOW, frame=frame))
                clock.restart(offset + int(i))
            self._read = count
            self._silent = False
            found += self._moved(count)
        last_s = float(notes.arrived_s[(count - 1) % notes.size]) if count else clock.started_s
        limit_s = SILENCE_S if count > FIRST_BLOCKS else START_S
        if last_s is not None and not self._silent and now_s - last_s > limit_s:
            self._silent = True
            last = int(notes.frame[(count - 1) % notes.size]) if count else -1
            found.append(Fault(FaultKind.SILENCE, frame=last + 1))
        return tuple(found)

    def _moved(self, count: int) -> list[Fault]:
        """A lasting step of arrivals or lead without a flag or a long gap."""
        clock, notes, line = self.clock, self._notes, self.clock.fitted
        if line is None or count - clock.first < FIRST_BLOCKS + 96:
            return []
        at = notes.span(count - 48, count)
        due_s = line.origin_s + (notes.frame[at] - line.origin_frame) * line.s_per_frame
        late_s = notes.arrived_s[at] - due_s
        # A server that changes its portions is late too, but then with more lead.
        heard_late_s = late_s if line.estimated else late_s + notes.lead_s[at] - line.lead_s
        if min(float(np.min(late_s)), float(np.min(heard_late_s))) <= MOVED_S and not self._lead_stepped(count):
            return []
        frame = int(notes.frame[at[0]])
        clock.restart(count - 48)
        return [Fault(FaultKind.MOVED, frame=frame)]

    def _lead_stepped(self, count: int) -> bool:
        """Whether lead and output time of the latest half second differ from those a second before."""
        notes = self._notes
        if count - self.clock.first < FIRST_BLOCKS + 144:
            return False
        before, now = notes.span(count - 144, count - 96), notes.span(count - 48, count)
        lead_s = median(notes.lead_s[now]) - median(notes.lead_s[before])
        if abs(lead_s) <= LEAD_STEP_S:
            return False
        return abs(self._heard_in_the_middle(now) - self._heard_in_the_middle(before)) > LEAD_STEP_S

    def _heard_in_the_middle(self, at: npt.NDArray[np.intp]) -> float:
        """Median of the output times extrapolated to frame 0."""
        notes = self._notes
        return median(notes.arrived_s[at] + notes.lead_s[at] - notes.frame[at] / self.clock.sample_rate_hz)
