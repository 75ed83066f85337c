"""A picture of rows, one of which may be marked and is then said in words."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from app import theme as look


class MarkedRows(QWidget):
    """What such pictures share. A subclass draws its rows and gives ``words``; ``said`` brings the marked one's."""

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

    def words(self, at: int) -> str:
        """A row in words."""
        raise NotImplementedError

    def mark(self, at: int) -> None:
        """Put the marker on a row and say it."""
        self.marked = at
        self.setAccessibleDescription(self.words(at))
        self.said.emit(self.words(at))
        self.update()
