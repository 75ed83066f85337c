"""The regression from the frames of a sound stream to the common clock."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.device.callbacks import Notes
from synth.device.quantiles import median, quantile

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
    """Line fitted to the ``notes`` of one stream's callbacks; called from one thread, which is not the sound's.

    Callbacks arrive late but never early, so the line is fitted to the earliest arrival of each segment. The lead is
    the median over the same callbacks: late callbacks have less left, and a server that fetches several blocks at
    once gives each a different one.

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
        self.started_s = started_s
        self.notes = Notes(size)
        self.first = 0  # first note since the last break
        self.fitted: Line | None = None  # as last fitted to the notes since then
        self._fitted_count = -1

    @property
    def settled(self) -> bool:
        """Whether enough callbacks (about a second at 512 frames) have been seen since the last break."""
        return self.notes.count - self.first >= FIRST_BLOCKS + 64

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
        count = self.notes.count
        if count == 0:
            if self.started_s is None:
                raise ValueError("no callback has been noted yet: is the stream running?")
            return Line(0, self.started_s, 1 / self.sample_rate_hz, self.latency_s, self.latency_s * 1e3, True)
        fresh = count - self._fitted_count
        if self.fitted is None or fresh >= 12 or (not self.settled and fresh > 0):
            self.fitted = self._fit(count)
            self._fitted_count = count
        return self.fitted

    def _fit(self, count: int) -> Line:
        notes, first = self.notes, self.first + FIRST_BLOCKS
        at = notes.span(first if count - first >= 4 else max(self.first, count - 4), count)
        frame, arrived_s, lead_s = notes.frame[at], notes.arrived_s[at], notes.lead_s[at]
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

    def begin_anew(self) -> None:
        """Fit the line to later callbacks alone; until some have come, the latest stands for them."""
        self.restart(max(self.notes.count - 1, 0))

    def restart(self, note: int) -> None:
        """Fit the line to the notes from this one on: the sound broke before it."""
        self.first = note
        self.fitted = None


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
