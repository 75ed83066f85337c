"""Waits until a part of the window is painted, while keys and clicks wait for what is shown next."""

from PySide6.QtCore import QAbstractEventDispatcher, QEvent, QEventLoop, QObject, QTimer
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

# How long to wait for a window that is not painted at all, such as one that the desktop opens minimised.
LONGEST_MS = 1000


class _Watch(QObject):
    """Ends a loop once a widget is painted."""

    def __init__(self, loop: QEventLoop) -> None:
        super().__init__()
        self._loop = loop

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent):
            QTimer.singleShot(0, self._loop.quit)
        return False


def wait_for_paint(widget: QWidget) -> None:
    """Handle events until a widget is painted, but none of the person's: those are kept in their order."""
    loop = QEventLoop()
    watch = _Watch(loop)
    widget.installEventFilter(watch)
    QTimer.singleShot(LONGEST_MS, loop, loop.quit)
    loop.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
    widget.removeEventFilter(watch)
    QAbstractEventDispatcher.instance().wakeUp()  # on X11 what is kept would wait for another event
