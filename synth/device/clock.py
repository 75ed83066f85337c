"""The common clock of sounds and taps, and the date.

Every time in the program is in seconds of ``now_s()``, a monotonic clock; a trial stores its start and subtracts.
This is the only module that asks the system for a time.

Two other clocks are mapped to it: ``StreamClock`` maps frames of a sound stream, ``synth.device.stamps`` maps the
millisecond stamps of window events. Both use differences, because the epochs of PortAudio, X11 and Python differ.
"""

import time
from datetime import UTC, date, datetime


def now_s() -> float:
    """Seconds on the common clock (arbitrary origin)."""
    return time.perf_counter()


def awake_s() -> float:
    """Seconds on a clock that also runs while the computer is suspended; only differences are meaningful.

    ``now_s`` stops during a suspend on Linux and macOS, so a suspend shows as drift between the two. Without such a
    clock the wall clock is used; setting it by hand then looks like a suspend.
    """
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    return time.time()


def utc_now() -> datetime:
    """Date and time in UTC, timezone-aware."""
    return datetime.now(UTC)


def today() -> date:
    """Local date."""
    return datetime.now(UTC).astimezone().date()
