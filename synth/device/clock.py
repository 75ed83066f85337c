"""The one clock on which sounds and taps are compared, and the lines that lead to it.

Everything that has a moment in this program has it in seconds of ``now_s()``, a clock that only runs forward
and never resets; a trial keeps its start and subtracts. This is the only module that asks the system for a time.

Two other clocks are led to it. A sound stream counts frames: ``StreamClock`` learns at which second a frame is
heard. A window system stamps its events in milliseconds: ``synth.device.stamps`` learns to which second a stamp
belongs. Both use differences, because the epochs of PortAudio, of X11 and of Python differ from host to host.
"""

import time
from dataclasses import dataclass
from datetime import UTC, date, datetime

import numpy as np
import numpy.typing as npt

# Flag of a note: the host reported that the output ran dry before this block.
UNDERFLOW = 1
# Notes left out at the start of a stream or after a break: the first blocks ramp up (up to twelve were seen to).
FIRST_BLOCKS = 16
# The fit looks at the earliest arrival in each of at most this many equal stretches of the notes.
SEGMENTS = 48
# A line shorter than this keeps the nominal rate: its slope would be worse than a crystal's.
STEADY_S = 4.0
# Leads go one way when they went by so many times their scatter; where that leads to can be told when a step is at
# most so large a share of the one before.
CLEARLY, MOST_SHARE = 4.0, 0.75
# For so long a server may still be learning how far its buffer is from the ear.
SETTLES_S = 30.0
# No working sound clock is off by more (crystals are within about 1e-4); a fit beyond it is held here.
DRIFT_LIMIT = 1e-3
# When every block of the latest stretch comes this much later than the line says, the line has moved.
MOVED_S = 0.008
# When the lead and what follows from it change by more within a second, and stay so, the sound goes another way.
#
# As when headphones are plugged in: callbacks come as before. On a sound server with its computer overloaded the median
# of half a second kept within 1 ms of the line for four minutes, and what wanders slowly is no step.
LEAD_STEP_S = 0.03
# No callback for so long: the sound has stopped.
SILENCE_S = 0.5
# A stream may take so long to call for the first time (wireless devices wake up slowly).
START_S = 3.0


def now_s() -> float:
    """Seconds on the one clock (the origin has no meaning)."""
    return time.perf_counter()


def awake_s() -> float:
    """Seconds on a clock that keeps running while the computer sleeps; only its differences mean something.

    ``now_s`` stands still during a suspend on Linux and macOS, so the two drift apart exactly then. Where the
    system offers no such clock the wall clock serves; setting that by hand then looks like a suspend.
    """
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    return time.time()


def utc_now() -> datetime:
    """The date and time, aware of its zone."""
    return datetime.now(UTC)


def today() -> date:
    """The date where the user sits."""
    return datetime.now(UTC).astimezone().date()


@dataclass(frozen=True, slots=True)
class Line:
    """Where the frames of one stream are heard on the one clock.

    ``heard = origin_s + (frame - origin_frame) * s_per_frame + lead_s``, with ``lead_s`` the way from the
    callback to the ear as far as the host knows it. ``residual_ms`` is the standard deviation that the line
    leaves; ``estimated`` says that the host gave no usable lead and its general latency stands in, from which the
    lead may then wander by a buffer's length from one opening to the next.
    """

    origin_frame: int
    origin_s: float
    s_per_frame: float
    lead_s: float
    residual_ms: float
    estimated: bool

    def heard_s(self, frame: float) -> float:
        """Seconds on the one clock at which a frame is heard."""
        return self.origin_s + (frame - self.origin_frame) * self.s_per_frame + self.lead_s

    def frame_at(self, time_s: float) -> float:
        """The frame (with its fraction) that is heard at a moment of the one clock."""
        return self.origin_frame + (time_s - self.lead_s - self.origin_s) / self.s_per_frame


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that broke the sound: ``kind``, the first ``frame`` after the break, ``text`` for a person."""

    kind: str
    frame: int
    text: str


class StreamClock:
    """Notes of one stream's callbacks, and the line through them.

    ``note`` is called from the sound thread and writes into arrays made beforehand; everything else is called
    from one other thread. The arrival of a callback is only ever late, so the line goes through the earliest
    arrival of each stretch of time; the lead is the median over these same callbacks, because a late one has less
    left, and because a server that fetches three blocks at once gives each another.

    ``sample_rate_hz``: frames a second as asked of the device. ``latency_s``: what the host says of the stream
    as a whole; used for lack of better, and as the length of its buffer. ``started_s``: when the stream was started,
    which stands for its first callback until that comes. ``size``: notes kept.
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
        self._count = 0  # notes ever written; only the sound thread writes it
        self._read = 0  # notes looked at for faults
        self._first = 0  # first note of the present unbroken line
        self._line: Line | None = None
        self._line_count = -1
        self._silent = False

    def note(self, frame: int, arrived_s: float, lead_s: float, flags: int) -> None:
        """Write down one callback: its first frame, when it ran, how far ahead of the ear, and its flags."""
        at = self._count % self._size
        self._frame[at] = frame
        self._arrived_s[at] = arrived_s
        self._lead_s[at] = lead_s
        self._flags[at] = flags
        self._count += 1

    @property
    def notes(self) -> int:
        """How many callbacks have been written down."""
        return self._count

    @property
    def settled(self) -> bool:
        """Whether the line stands on enough callbacks (about a second of them at 512 frames) to be believed."""
        return self._count - self._first >= FIRST_BLOCKS + 64

    def served_within(self, now_s: float, within_s: float) -> bool:
        """Whether a callback has come within so many seconds."""
        return self._count > 0 and bool(now_s - self._arrived_s[(self._count - 1) % self._size] <= within_s)

    @property
    def residual_ms(self) -> float:
        """Standard deviation that the line leaves, in ms."""
        return self.line().residual_ms

    @property
    def drift_ppm(self) -> float:
        """How much slower than nominal the device's clock runs, in millionths."""
        return (self.line().s_per_frame * self.sample_rate_hz - 1) * 1e6

    @property
    def estimated(self) -> bool:
        """Whether the host gave no usable lead, so that its general latency stands in for it."""
        return self.line().estimated

    def heard_s(self, frame: float, lag_s: float = 0.0) -> float:
        """Seconds on the one clock at which a frame reaches the ear, ``lag_s`` being what calibration found."""
        return self.line().heard_s(frame) + lag_s

    def line(self) -> Line:
        """The line through the notes so far; found anew when a dozen notes have come.

        Before the first note it is a guess from the start. Raises ValueError when that is unknown, too.
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
        first = max(first, count - self._size + 64)  # the oldest may be overwritten while we read
        return np.arange(max(first, 0), count) % self._size

    def _fit(self, count: int) -> Line:
        first = self._first + FIRST_BLOCKS
        at = self._span(first if count - first >= 4 else max(self._first, count - 4), count)
        frame, arrived_s, lead_s = self._frame[at], self._arrived_s[at], self._lead_s[at]
        nominal = 1 / self.sample_rate_hz
        origin_frame, origin_s = int(frame[0]), float(arrived_s[0])
        x_s = (frame - origin_frame) * nominal
        late_s = arrived_s - origin_s - x_s

        # The earliest arrival of each stretch.
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

        # The lead of these same callbacks: a late one has less left.
        leads = lead_s[pick[keep]]
        leads = leads[(leads > 0.0) & (leads < 1.0)]
        estimated = bool(len(leads) * 2 <= keep.sum())
        if estimated:
            # How full the buffer is at a callback nobody tells then: from empty to full all is alike.
            lead, scatter = self.latency_s, self.latency_s * 12**-0.5
        else:
            lead, scatter = _settled(leads) if x_s[-1] - x_s[0] < SETTLES_S else _middle(leads)
        rest = (y - slope * x - offset)[keep]
        residual_ms = 1e3 * float(np.hypot(np.sqrt(np.mean(rest**2)), scatter))
        return Line(origin_frame, origin_s + offset, nominal * (1 + slope), lead, residual_ms, estimated)

    def faults(self, now_s: float, buffer_s: float | None = None) -> tuple[Fault, ...]:
        """What broke the sound since the last call; the line starts anew after each break.

        ``buffer_s``: a longer time between two callbacks has emptied the device's buffer, whether or not the
        host says so (138 ms against a buffer of 100 ms came without a flag). By default the latency.
        """
        limit_s = self.latency_s if buffer_s is None else buffer_s
        count, found = self._count, list[Fault]()
        if count > self._read:
            if self._read and count - self._read >= self._size - 64:
                frame = int(self._frame[(count - 1) % self._size])
                found.append(Fault("lost", frame, "the program was too busy to watch the sound"))
                self._restart(count - 1)
                self._read = count - 1
            at = self._span(max(self._read - 1, 0), count)
            offset = count - len(at)
            gap_s = np.diff(self._arrived_s[at], prepend=self._arrived_s[at[0]])
            dry = (self._flags[at] & UNDERFLOW) != 0
            dry[0] &= self._read == 0  # looked at before, here only for the difference
            for i in np.flatnonzero(dry | (gap_s > limit_s)):
                if offset + i < FIRST_BLOCKS:
                    continue  # a stream that only just starts
                frame = int(self._frame[at[i]])
                if gap_s[i] > limit_s:
                    text = f"the sound was not served for {gap_s[i] * 1e3:.0f} ms, longer than its buffer"
                    found.append(Fault("stall", frame, text))
                else:
                    found.append(Fault("underflow", frame, "the sound ran dry"))
                self._restart(offset + int(i))
            self._read = count
            self._silent = False
            found += self._moved(count)
        last_s = float(self._arrived_s[(count - 1) % self._size]) if count else self._started_s
        limit_s = SILENCE_S if count > FIRST_BLOCKS else START_S
        if last_s is not None and not self._silent and now_s - last_s > limit_s:
            self._silent = True
            last = int(self._frame[(count - 1) % self._size]) if count else -1
            found.append(Fault("silence", last + 1, "the sound stopped"))
        return tuple(found)

    def _moved(self, count: int) -> list[Fault]:
        """A lasting step of the arrivals against the line, or of the lead alone, without a flag or a long gap."""
        if self._line is None or count - self._first < FIRST_BLOCKS + 96 or self._line_count <= self._first:
            return []
        at = self._span(count - 48, count)
        line = self._line
        due_s = line.origin_s + (self._frame[at] - line.origin_frame) * line.s_per_frame
        late_s = self._arrived_s[at] - due_s
        # A server that fetches in other portions than before is late, too, but then has more lead to make up.
        heard_late_s = late_s if line.estimated else late_s + self._lead_s[at] - line.lead_s
        if min(float(np.min(late_s)), float(np.min(heard_late_s))) <= MOVED_S and not self._lead_stepped(count):
            return []
        frame = int(self._frame[at[0]])
        self._restart(count - 48)
        return [Fault("moved", frame, "the sound's timing shifted")]

    def _lead_stepped(self, count: int) -> bool:
        """Whether the latest half second of leads, and what they lead to, lie apart from those a second before."""
        if count - self._first < FIRST_BLOCKS + 144:
            return False
        before, now = self._span(count - 144, count - 96), self._span(count - 48, count)
        lead_s = float(np.median(self._lead_s[now])) - float(np.median(self._lead_s[before]))
        step_s = self._heard_in_the_middle(now) - self._heard_in_the_middle(before)
        return min(abs(lead_s), abs(step_s)) > LEAD_STEP_S

    def _heard_in_the_middle(self, at: npt.NDArray[np.intp]) -> float:
        """Median of the moments at which frame 0 would be heard."""
        return float(np.median(self._arrived_s[at] + self._lead_s[at] - self._frame[at] / self.sample_rate_hz))

    def _restart(self, note: int) -> None:
        self._first = note
        self._line = None


def _slope(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> float:
    """The median slope between points up to a third of the whole apart (after Theil and Sen).

    A step in the middle, from a server that changes its portions, lies between few of these pairs.
    """
    first, second = np.triu_indices(len(x), 1)
    near = second - first <= max(len(x) // 3, 2)
    first, second = first[near], second[near]
    slope = float(np.median((y[second] - y[first]) / (x[second] - x[first])))
    return min(max(slope, -DRIFT_LIMIT), DRIFT_LIMIT)


def _lowest(y: npt.NDArray[np.float64]) -> tuple[float, npt.NDArray[np.bool_]]:
    """The level of the lowest points (the middle of the lower half), and which points belong to it."""
    level = float(np.quantile(y, 0.25))
    keep = y <= level + max(2 * (level - float(np.min(y))), 1e-4)
    return float(np.median(y[keep])), keep


def _middle(leads_s: npt.NDArray[np.float64]) -> tuple[float, float]:
    """The median lead, and the standard deviation about it (1.4826 median absolute deviations).

    One number for all, because some servers let it wander by milliseconds while the sound runs straight on.
    """
    lead_s = float(np.median(leads_s))
    return lead_s, 1.4826 * float(np.median(np.abs(leads_s - lead_s)))


def _settled(leads_s: npt.NDArray[np.float64]) -> tuple[float, float]:
    """The same of leads that may still approach their value, each step a like share of the one before.

    A server that smooths its estimate begins up to 8 ms off on a busy computer and halves that in two to four seconds
    (measured with PulseAudio). Three steps then tell the end: Aitken's delta-squared process (A. C. Aitken 1926,
    Proc. R. Soc. Edinburgh 46, 289-305). Of 21 first trials marked 12 s after the start the lead was off by 1.07 ms
    RMS (at most 3.9) as a median, by 0.13 (0.43) so. The first quarter is left out: the estimate is thrown off there.
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
    if after / before > MOST_SHARE:  # on its way, and nobody can say how far: more than it went already
        return lead, float(np.hypot(spread, 1.5 * (third - first)))
    rest = after**2 / (before - after)
    return third + rest, float(np.hypot(scatter, rest / 2))
