"""How long an event loop stands still: the waits between the beats of a timer in it.

By the clock, other programs count as well; by the CPU time of the loop's thread, only what it does itself.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import thread_time

from PySide6.QtCore import QCoreApplication, QEventLoop, Qt, QTimer

from synth.device.clock import now_s

HEARTBEAT_MS = 5


@contextmanager
def heartbeat(every_ms: int = HEARTBEAT_MS, clock_s: Callable[[], float] = now_s) -> Iterator[list[float]]:
    """A list that fills with the seconds between two beats; without anything to do they are ``every_ms``."""
    gaps_s, last_s = [], [clock_s()]

    def beat() -> None:
        now = clock_s()
        gaps_s.append(now - last_s[0])
        last_s[0] = now

    timer = QTimer()
    timer.setTimerType(Qt.TimerType.PreciseTimer)
    timer.timeout.connect(beat)
    timer.start(every_ms)
    yield gaps_s
    beat()
    timer.stop()


def painted(click: Callable[[], object], done: Callable[[], object], every_ms: int) -> tuple[float, float, float]:
    """Milliseconds from a click until it is done and painted, and the longest wait of the event loop meanwhile:
    by the clock, and by the CPU time of this thread.
    """
    with heartbeat(every_ms) as gaps_s, heartbeat(every_ms, thread_time) as busy_s:
        begun_s = now_s()
        click()
        while not done():
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        # What was put there last is painted before the loop comes round twice.
        QCoreApplication.processEvents()
        QCoreApplication.processEvents()
        took_s = now_s() - begun_s
    return took_s * 1000, max(gaps_s) * 1000, max(busy_s) * 1000
