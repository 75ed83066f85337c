"""Garbage collection in the window's thread alone.

Python collects in whichever thread makes objects, such as the one that reads the logbook or the sound callback, and
would delete old widgets there. Qt's objects must be deleted in the thread that made them (Qt's documentation,
"Threads and QObjects"); elsewhere the program may crash.
"""

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer

PERIOD_MS = 500


class Collector(QObject):
    """Collects on a timer, in the thread of its application."""

    def __init__(self, application: QCoreApplication) -> None:
        super().__init__(application)
        gc.disable()
        # Objects of the start-up live on: exclude them, as scanning them takes the longest.
        gc.freeze()
        timer = QTimer(self)
        timer.timeout.connect(collect_due)
        timer.start(PERIOD_MS)


def collect_here() -> None:
    """Collect in the calling thread alone from now on; it must be the application's."""
    application = QCoreApplication.instance()
    if application is not None and application.findChild(Collector) is None:
        Collector(application)


def collect_due() -> None:
    """Collect the oldest generation that is over Python's threshold."""
    due = [age for age, (n, limit) in enumerate(zip(gc.get_count(), gc.get_threshold(), strict=True)) if n > limit]
    if due:
        gc.collect(due[-1])
