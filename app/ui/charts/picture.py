"""A picture of values, one of which can be marked and is then put into words."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.ui.base import theme as look
from app.ui.base.words import unbroken
from app.ui.charts.content import Content


class Picture(QWidget):
    """Base of ladder, confusions and charts: the marker, and the keys that move it.

    ``said`` carries the marked value in words. A subclass implements ``paint``, ``count`` and ``words``. ``KEYS``
    move the marker back and forward, by ``LEAP`` with Ctrl.
    """

    said = Signal(str)
    KEYS = Qt.Key.Key_Up, Qt.Key.Key_Down
    LEAP = 1

    def __init__(self) -> None:
        super().__init__()
        self.marked: int | None = None
        self._marker_shown = True
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    def show_page(self, page: Content) -> bool:
        """Show a page; returns whether it has values."""
        raise NotImplementedError

    def count(self) -> int:
        """Number of values."""
        raise NotImplementedError

    def words(self, at: int) -> str:
        """A value in words."""
        raise NotImplementedError

    def paint(self, painter: QPainter, marked: int | None) -> None:
        """Paint the picture, with the marker at ``marked``."""
        raise NotImplementedError

    def mark(self, at: int) -> None:
        """Mark a value and emit it in words."""
        self.marked = at
        words = unbroken(self.words(at))
        self.setAccessibleDescription(words)
        self.said.emit(words)
        self.update()

    def show_marker(self, shown: bool) -> None:
        """Hide the marker and the focus frame, as for a saved picture, or show them."""
        self._marker_shown = shown
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the marker by one or to either end; ignore other keys."""
        back, on = self.KEYS
        step = self.LEAP if event.modifiers() & Qt.KeyboardModifier.ControlModifier else 1
        now, last = -1 if self.marked is None else self.marked, self.count() - 1
        goals = {back: now - step, on: now + step, Qt.Key.Key_Home: 0, Qt.Key.Key_End: last}
        goal = goals.get(Qt.Key(event.key()))
        if goal is None or last < 0:
            event.ignore()
        else:
            self.mark(min(max(goal, 0), last))

    def paintEvent(self, event: QPaintEvent) -> None:
        """The picture, with a frame while the keys go here."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self.paint(painter, self.marked if self._marker_shown else None)
            if self.hasFocus() and self._marker_shown:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(look.colour("pen"), 2))
                painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
        finally:  # a painter must not outlive what it paints on
            painter.end()
