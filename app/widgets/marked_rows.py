"""A picture of rows, one of which may be marked and is then said in words."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from app import theme as look


class MarkedRows(QWidget):
    """What such pictures share: the marker, and the keys that move it. ``said`` brings the marked row's words.

    A subclass draws its rows, says how many there are, and gives ``words``.
    """

    said = Signal(str)

    def __init__(self, theme: look.Theme) -> None:
        super().__init__()
        self._theme = theme
        self.marked: int | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._theme = theme
        self.update()

    def show_marker(self, shown: bool) -> None:
        """Without the marker for a picture."""
        if not shown:
            self.marked = None
            self.update()

    def count(self) -> int:
        """How many rows there are."""
        raise NotImplementedError

    def words(self, at: int) -> str:
        """A row in words."""
        raise NotImplementedError

    def mark(self, at: int) -> None:
        """Put the marker on a row and say it."""
        self.marked = at
        self.setAccessibleDescription(self.words(at))
        self.said.emit(self.words(at))
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up, down, Home and End move the marker."""
        last = self.count() - 1
        now = -1 if self.marked is None else self.marked
        goal = {
            Qt.Key.Key_Up: now - 1,
            Qt.Key.Key_Down: now + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }.get(Qt.Key(event.key()))
        if goal is None or last < 0:
            event.ignore()
            return
        self.mark(min(max(goal, 0), last))
