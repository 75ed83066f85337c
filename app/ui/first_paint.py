"""A callback after the window's first paint, for start-up work that can wait."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QMainWindow


class FirstPaint(QObject):
    """Calls ``then`` once after the first paint of a window."""

    def __init__(self, window: QMainWindow, then: Callable[[], None]) -> None:
        super().__init__(window)
        self._then = then
        watched = window.centralWidget()
        assert watched is not None
        watched.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent):
            watched.removeEventFilter(self)
            QTimer.singleShot(0, self._then)
        return False
