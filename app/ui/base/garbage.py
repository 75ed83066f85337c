"""Garbage collection in the window's thread alone.

Python collects in whichever thread allocates, such as the logbook's reader or the audio callback, and would delete
old widgets there. Qt objects must be deleted in their own thread (Qt documentation, "Threads and QObjects").
"""

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer

PERIOD_MS = 500


class Collector(QObject):
    """Collects on a timer, in the thread of its application."""

    def __init__(self, application: QCoreApplication) -> None:
        super().__init__(application)
        gc.disable()
        # Exclude the objects of the start-up: they stay alive and take long to scan.
        gc.freeze()
        timer = QTimer(self)
        timer.timeout.connect(collect_due)
        timer.start(PERIOD_MS)


def collect_here() -> None:
    """Collect only in the calling thread from now on; it must be the application's."""
    application = QCoreApplication.instance()
    if application is not None and application.findChild(Collector) is None:
        Collector(application)


def collect_due() -> None:
    """Collect the oldest generation whose threshold in Python is exceeded."""
    due = [age for age, (n, limit) in enumerate(zip(gc.get_count(), gc.get_threshold(), strict=True)) if n > limit]
    if due:
        gc.collect(due[-1])
