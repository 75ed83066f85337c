"""The regression from the frames of a sound stream to the common clock."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.device.faults import Fault, FaultKind
from synth.device.quantiles import median, quantile

# Flag of a note: the host reported an output underrun before this block.
UNDERFLOW = 1
# Notes ignored at the start of a stream or after a break: the first blocks ramp up (up to twelve were observed).
FIRST_BLOCKS = 16
# Number of segments; the fit uses the earliest arrival in each.
SEGMENTS = 48
# Seconds. A shorter line keeps the nominal rate: its slope would be less accurate than a crystal.
STEADY_S = 4.0
# Leads are trending when they moved by more than this multiple of their scatter. The trend can be extrapolated when
# a step is at most this share of the one before.
CLEARLY, MOST_SHARE = 4.0, 0.75
# Seconds in which a sound server may still adjust its latency estimate.
SETTLES_S = 30.0
# Limit of the relative rate error (crystals stay within about 1e-4); the fitted slope is clipped to it.
DRIFT_LIMIT = 1e-3
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


@dataclass(frozen=True, slots=True)
class Line:
    """Linear map from the frames of a stream to the common clock.

    ``heard = origin_s + (frame - origin_frame) * s_per_frame + lead_s``, where ``lead_s`` is the latency from
    callback to ear as reported by the host. ``residual_ms`` is the standard deviation of the fit. ``estimated``
    means that the host reported no usable lead and the stream's general latency stands in, which may be off by up to
    a buffer's length.
    """

    origin_frame: int
    origin_s: float
    s_per_frame: float
    lead_s: float
    residual_ms: float
    estimated: bool

    def heard_s(self, frame: float) -> float:
        """Time on the common clock at which a frame is heard, seconds."""
        return self.origin_s + (frame - self.origin_frame) * self.s_per_frame + self.lead_s

    def frame_at(self, time_s: float) -> float:
        """Frame (fractional) that is heard at ``time_s`` of the common clock."""
        return self.origin_frame + (time_s - self.lead_s - self.origin_s) / self.s_per_frame


class StreamClock:
    """Notes of one stream's callbacks and the line fitted to them.

    ``note`` is called from the sound thread and writes into preallocated arrays; everything else is called from one
    other thread. Callbacks arrive late but never early, so the line is fitted to the earliest arrival of each
    segment. The lead is the median over the same callbacks: late callbacks have less left, and a server that fetches
    several blocks at once gives each a different one.

    ``sample_rate_hz``: nominal rate. ``latency_s``: latency of the stream as reported by the host, used as a
    fallback and as the length of its buffer. ``started_s``: start of the stream, which stands for the first callback
    until it comes. ``size``: number of notes kept. ``ValueError`` where the rate is not positive.
    """

    def __init__(
        self, sample_rate_hz: float, latency_s: float, started_s: float | None = None, size: int = 16_384
    ) -> None:
        if sample_rate_hz <= 0:
            raise ValueError(f"sample rate {sample_rate_hz} Hz: it must be above zero")
        self.sample_rate_hz = float(sample_rate_hz)
        self.latency_s = float(latency_s)
        self._started_s = started_s
        self._size = size
        self._frame = np.zeros(size, np.int64)
        self._arrived_s = np.zeros(size)
        self._lead_s = np.zeros(size)
        self._flags = np.zeros(size, np.int32)
        self._count = 0  # notes written so far; written by the sound thread alone
        self._read = 0  # notes checked for faults
        self._first = 0  # first note since the last break
        self._line: Line | None = None
        self._line_count = -1
        self._silent = False

    def note(self, frame: int, arrived_s: float, lead_s: float, flags: int) -> None:
        """Store one callback: its first frame, time of arrival, lead to the ear, and flags."""
        at = self._count % self._size
        self._frame[at] = frame
        self._arrived_s[at] = arrived_s
        self._lead_s[at] = lead_s
        self._flags[at] = flags
        self._count += 1

    @property
    def notes(self) -> int:
        """Number of callbacks so far."""
        return self._count

    @property
    def settled(self) -> bool:
        """Whether enough callbacks (about a second at 512 frames) have been seen since the last break."""
        return self._count - self._first >= FIRST_BLOCKS + 64

    def served_within(self, now_s: float, within_s: float) -> bool:
        """Whether a callback came within the last ``within_s`` seconds."""
        return self._count > 0 and bool(now_s - self._arrived_s[(self._count - 1) % self._size] <= within_s)

    @property
    def residual_ms(self) -> float:
        """Standard deviation of the fit in ms."""
        return self.line().residual_ms

    @property
    def drift_ppm(self) -> float:
        """Deviation of the device's sample period from nominal, in ppm."""
        return (self.line().s_per_frame * self.sample_rate_hz - 1) * 1e6

    @property
    def estimated(self) -> bool:
        """Whether the host reported no usable lead."""
        return self.line().estimated

    def heard_s(self, frame: float, lag_s: float = 0.0) -> float:
        """Time on the common clock at which a frame reaches the ear; ``lag_s`` is the calibrated extra latency."""
        return self.line().heard_s(frame) + lag_s

    def line(self) -> Line:
        """The line through the notes so far, refitted after every dozen.

        Before the first note it is a guess from ``started_s``; ``ValueError`` where that is unknown too.
        """
        count = self._count
        if count == 0:
            if self._started_s is None:
                raise ValueError("no callback has been noted yet: is the stream running?")
            return Line(0, self._started_s, 1 / self.sample_rate_hz, self.latency_s, self.latency_s * 1e3, True)
        fresh = count - self._line_count
        if self._line is None or fresh >= 12 or (not self.settled and fresh > 0):
            self._line = self._fit(count)
            self._line_count = count
        return self._line

    def _span(self, first: int, count: int) -> npt.NDArray[np.intp]:
        first = max(first, count - self._size + 64)  # the oldest may be overwritten while being read
        return np.arange(max(first, 0), count) % self._size

    def _fit(self, count: int) -> Line:
        first = self._first + FIRST_BLOCKS
        at = self._span(first if count - first >= 4 else max(self._first, count - 4), count)
        frame, arrived_s, lead_s = self._frame[at], self._arrived_s[at], self._lead_s[at]
        nominal = 1 / self.sample_rate_hz
        origin_frame, origin_s = int(frame[0]), float(arrived_s[0])
        x_s = (frame - origin_frame) * nominal
        late_s = arrived_s - origin_s - x_s

        # Earliest arrival of each segment.
        each = max(8, -(-len(at) // SEGMENTS))
        whole = max(len(at) // each, 1)
        each = min(each, len(at))
        tail = len(at) - whole * each
        pick = tail + np.arange(whole) * each + np.argmin(late_s[tail:].reshape(whole, each), axis=1)
        x, y = x_s[pick], late_s[pick]
        steady = x_s[-1] - x_s[0] >= STEADY_S and whole >= 6
        slope = _slope(x, y) if steady else 0.0
        offset, keep = _lowest(y - slope * x)
        if steady and keep.sum() >= 4 and np.ptp(x[keep]) >= STEADY_S / 2:
            slope = float(np.clip(np.polyfit(x[keep], y[keep], 1)[0], -DRIFT_LIMIT, DRIFT_LIMIT))
            offset, keep = _lowest(y - slope * x)

        # Lead of the same callbacks.
        leads = lead_s[pick[keep]]
        leads = leads[(leads > 0.0) & (leads < 1.0)]
        estimated = bool(len(leads) * 2 <= keep.sum())
        if estimated:
            # Unknown fill level of the buffer: uniform from empty to full.
            lead, scatter = self.latency_s, self.latency_s * 12**-0.5
        else:
            lead, scatter = _settled(leads) if x_s[-1] - x_s[0] < SETTLES_S else _middle(leads)
        rest = (y - slope * x - offset)[keep]
        residual_ms = 1e3 * float(np.hypot(np.sqrt(np.mean(rest**2)), scatter))
        return Line(origin_frame, origin_s + offset, nominal * (1 + slope), lead, residual_ms, estimated)

    def faults(self, now_s: float, buffer_s: float | None = None) -> tuple[Fault, ...]:
        """Interruptions since the last call; the line restarts after each.

        ``buffer_s``: a longer gap between two callbacks has emptied the device's buffer, whether or not the host
        reports an underrun (138 ms against a buffer of 100 ms came without a flag). Default: the latency.
        """
        limit_s = self.latency_s if buffer_s is None else buffer_s
        count, found = self._count, list[Fault]()
        if count > self._read:
            if self._read and count - self._read >= self._size - 64:
                frame = int(self._frame[(count - 1) % self._size])
                found.append(Fault(FaultKind.LOST, frame=frame))
                self._restart(count - 1)
                self._read = count - 1
            at = self._span(max(self._read - 1, 0), count)
            offset = count - len(at)
            arrived_s, gap_s = self._arrived_s[at], np.zeros(len(at))
            np.subtract(arrived_s[1:], arrived_s[:-1], out=gap_s[1:])
            dry = (self._flags[at] & UNDERFLOW) != 0
            dry[0] &= self._read == 0  # already checked, needed for the difference
            for i in np.flatnonzero(dry | (gap_s > limit_s)):
                if offset + i < FIRST_BLOCKS:
                    continue  # stream is starting
                frame = int(self._frame[at[i]])
                if gap_s[i] > limit_s:
                    found.append(Fault(FaultKind.STALL, f"{gap_s[i] * 1e3:.0f}", frame))
                else:
                    found.append(Fault(FaultKind.UNDERFLOW, frame=frame))
                self._restart(offset + int(i))
            self._read = count
            self._silent = False
            found += self._moved(count)
        last_s = float(self._arrived_s[(count - 1) % self._size]) if count else self._started_s
        limit_s = SILENCE_S if count > FIRST_BLOCKS else START_S
        if last_s is not None and not self._silent and now_s - last_s > limit_s:
            self._silent = True
            last = int(self._frame[(count - 1) % self._size]) if count else -1
            found.append(Fault(FaultKind.SILENCE, frame=last + 1))
        return tuple(found)

    def begin_anew(self) -> None:
        """Fit the line to later callbacks alone; until some have come, the latest stands for them."""
        self._restart(max(self._count - 1, 0))

    def _moved(self, count: int) -> list[Fault]:
        """A lasting step of arrivals or lead without a flag or a long gap."""
        if self._line is None or count - self._first < FIRST_BLOCKS + 96 or self._line_count <= self._first:
            return []
        at = self._span(count - 48, count)
        line = self._line
        due_s = line.origin_s + (self._frame[at] - line.origin_frame) * line.s_per_frame
        late_s = self._arrived_s[at] - due_s
        # A server that changes its portions is late too, but then with more lead.
        heard_late_s = late_s if line.estimated else late_s + self._lead_s[at] - line.lead_s
        if min(float(np.min(late_s)), float(np.min(heard_late_s))) <= MOVED_S and not self._lead_stepped(count):
            return []
        frame = int(self._frame[at[0]])
        self._restart(count - 48)
        return [Fault(FaultKind.MOVED, frame=frame)]

    def _lead_stepped(self, count: int) -> bool:
        """Whether lead and output time of the latest half second differ from those a second before."""
        if count - self._first < FIRST_BLOCKS + 144:
            return False
        before, now = self._span(count - 144, count - 96), self._span(count - 48, count)
        lead_s = median(self._lead_s[now]) - median(self._lead_s[before])
        if abs(lead_s) <= LEAD_STEP_S:
            return False
        return abs(self._heard_in_the_middle(now) - self._heard_in_the_middle(before)) > LEAD_STEP_S

    def _heard_in_the_middle(self, at: npt.NDArray[np.intp]) -> float:
        """Median of the output times extrapolated to frame 0."""
        return median(self._arrived_s[at] + self._lead_s[at] - self._frame[at] / self.sample_rate_hz)

    def _restart(self, note: int) -> None:
        self._first = note
        self._line = None


def _slope(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> float:
    """Median slope between points up to a third of the range apart (after Theil and Sen).

    Few of these pairs straddle a step, such as when a server changes its portions.
    """
    first, second = np.triu_indices(len(x), 1)
    near = second - first <= max(len(x) // 3, 2)
    first, second = first[near], second[near]
    slope = median((y[second] - y[first]) / (x[second] - x[first]))
    return min(max(slope, -DRIFT_LIMIT), DRIFT_LIMIT)


def _lowest(y: npt.NDArray[np.float64]) -> tuple[float, npt.NDArray[np.bool_]]:
    """Level of the lowest points (median of the lower half), and a mask of the points that belong to it."""
    level = quantile(y, 0.25)
    keep = y <= level + max(2 * (level - float(np.min(y))), 1e-4)
    return median(y[keep]), keep


def _middle(leads_s: npt.NDArray[np.float64]) -> tuple[float, float]:
    """Median lead and its robust standard deviation (1.4826 median absolute deviations).

    A median, because some servers let the lead wander by milliseconds at a constant latency.
    """
    lead_s = median(leads_s)
    return lead_s, 1.4826 * median(np.abs(leads_s - lead_s))


def _settled(leads_s: npt.NDArray[np.float64]) -> tuple[float, float]:
    """Lead and its scatter for leads that may still converge, each step a fixed share of the one before.

    A server that smooths its estimate starts up to 8 ms off on a busy computer and halves the error in two to four
    seconds (measured with PulseAudio). The limit is extrapolated by Aitken's delta-squared process (A. C. Aitken
    1926, Proc. R. Soc. Edinburgh 46, 289-305). In 21 first trials marked 12 s after the start the error was 1.07 ms
    RMS (at most 3.9) with the median, 0.13 (0.43) with this. The first quarter is ignored: the estimate is unstable
    there.
    """
    n = len(leads_s) // 4
    if n < 3:
        return _middle(leads_s)
    pieces = leads_s[len(leads_s) - 3 * n :].reshape(3, n)
    (first, second, third), (*_, scatter) = zip(*map(_middle, pieces), strict=True)
    before, after = second - first, third - second
    lead, spread = _middle(leads_s)
    if before * after <= 0 or abs(third - first) < CLEARLY * scatter:
        return lead, spread
    if after / before > MOST_SHARE:  # still moving, limit unknown: at least as far again
        return lead, float(np.hypot(spread, 1.5 * (third - first)))
    rest = after**2 / (before - after)
    return third + rest, float(np.hypot(scatter, rest / 2))
