"""Two rows of controls side by side, or stacked if the text is large or the window small."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QWidget

from app.ui.base import theme as look


class Steps(QWidget):
    """The bottom line of a screen: secondary actions at the left, the next step at the right."""

    def __init__(self, aside: QHBoxLayout, ahead: QHBoxLayout) -> None:
        super().__init__()
        self._rows = (aside, ahead)
        self._gap_px = look.STEP_PX * 2
        aside.addStretch(1)
        ahead.insertStretch(0, 1)
        self.lines = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self.lines.setContentsMargins(0, 0, 0, 0)
        self.lines.setSpacing(look.STEP_PX)
        for line in self._rows:
            self.lines.addLayout(line)

    def _sizes(self) -> tuple[QSize, QSize]:
        """Size of each row from its visible controls."""
        aside, ahead = self._rows
        return aside.sizeHint(), ahead.sizeHint()

    def _fits(self, aside: QSize, ahead: QSize) -> bool:
        return aside.width() + self._gap_px + ahead.width() <= self.width()

    def _height(self, aside: QSize, ahead: QSize) -> int:
        if self._fits(aside, ahead):
            return max(aside.height(), ahead.height())
        return aside.height() + ahead.height() + look.STEP_PX

    def sizeHint(self) -> QSize:
        """Width side by side; height for the present width."""
        aside, ahead = self._sizes()
        return QSize(aside.width() + self._gap_px + ahead.width(), self._height(aside, ahead))

    def minimumSizeHint(self) -> QSize:
        """Width of the wider row."""
        aside, ahead = self._sizes()
        return QSize(max(aside.width(), ahead.width()), self._height(aside, ahead))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.arrange()

    def arrange(self) -> None:
        """Arrange anew; call it after controls were shown, hidden or renamed."""
        for line in self._rows:
            line.invalidate()  # else Qt updates it late
        directions = QBoxLayout.Direction
        direction = directions.LeftToRight if self._fits(*self._sizes()) else directions.TopToBottom
        if direction is not self.lines.direction():
            self.lines.setDirection(direction)
        self.updateGeometry()
