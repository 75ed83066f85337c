"""Garbage is collected by the window's thread alone.

Python collects whenever a thread makes objects, and would take the window's old pictures apart in whichever thread
that is: one that reads the logbook, or that answers the sound card. Qt's objects must be deleted where they were
made (Qt's documentation, "Threads and QObjects"); elsewhere the program may crash.
"""

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer

PERIOD_MS = 500


class Collector(QObject):
    """Looks for garbage now and then, in the thread of the application that it belongs to."""

    def __init__(self, application: QCoreApplication) -> None:
        super().__init__(application)
        gc.disable()
        # What the program was started with stays: to look through it again each time would take the longest.
        gc.freeze()
        timer = QTimer(self)
        timer.timeout.connect(collect_due)
        timer.start(PERIOD_MS)


def collect_here() -> None:
    """From now on only the thread of the application collects, which must be the one that calls."""
    application = QCoreApplication.instance()
    if application is not None and application.findChild(Collector) is None:
        Collector(application)


def collect_due() -> None:
    """Collect the oldest generation that is due by Python's own thresholds."""
    due = [age for age, (n, limit) in enumerate(zip(gc.get_count(), gc.get_threshold(), strict=True)) if n > limit]
    if due:
        gc.collect(due[-1])
