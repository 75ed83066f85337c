"""How long an event loop stands still: the waits between the beats of a timer in it."""

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import Qt, QTimer

from synth.device.clock import now_s

HEARTBEAT_MS = 5


@contextmanager
def heartbeat() -> Iterator[list[float]]:
    """A list that fills with the seconds between two beats; without anything to do they are ``HEARTBEAT_MS``."""
    gaps_s, last_s = [], [now_s()]

    def beat() -> None:
        now = now_s()
        gaps_s.append(now - last_s[0])
        last_s[0] = now

    timer = QTimer()
    timer.setTimerType(Qt.TimerType.PreciseTimer)
    timer.timeout.connect(beat)
    timer.start(HEARTBEAT_MS)
    yield gaps_s
    beat()
    timer.stop()
