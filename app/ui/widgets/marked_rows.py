"""A picture of rows, one of which may be marked and is then said in words."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget


def marked_by(event: QKeyEvent, now: int, count: int, back: Qt.Key, on: Qt.Key, step: int = 1) -> int | None:
    """Where a key puts a marker that stands at ``now`` of so many: back or on by ``step``, or to either end.

    None for another key, or where there is nothing to mark: the event is then left to others.
    """
    goal = {back: now - step, on: now + step, Qt.Key.Key_Home: 0, Qt.Key.Key_End: count - 1}.get(Qt.Key(event.key()))
    if goal is None or not count:
        event.ignore()
        return None
    return min(max(goal, 0), count - 1)


class MarkedRows(QWidget):
    """What such pictures share: the marker, and the keys that move it. ``said`` brings the marked row's words.

    A subclass draws its rows, says how many there are, and gives ``words``.
    """

    said = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.marked: int | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)

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
        now = -1 if self.marked is None else self.marked
        goal = marked_by(event, now, self.count(), Qt.Key.Key_Up, Qt.Key.Key_Down)
        if goal is not None:
            self.mark(goal)
