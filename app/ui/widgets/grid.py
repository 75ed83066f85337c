"""A layout in columns of equal width, in as few lines as fit."""

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtWidgets import QLayoutItem, QWidget

from app.ui.base import theme as look
from app.ui.widgets.flow import Lines


class Grid(Lines):
    """Parts in equally wide columns that fill the line, evenly among the lines; hidden ones take no place."""

    def __init__(self, *parts: QWidget, gap_px: int = look.STEP_PX * 2, line_gap_px: int = look.STEP_PX) -> None:
        super().__init__(*parts, gap_px=gap_px, line_gap_px=line_gap_px)

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation.Horizontal

    def heightForWidth(self, width: int) -> int:
        lines = -(-len(self._shown) // self._columns(width))
        return lines * self._widest().height() + (lines - 1) * self._line_gap_px

    def sizeHint(self) -> QSize:
        """The size with all parts in one line."""
        widest, n = self._widest(), len(self._shown)
        return QSize(n * widest.width() + (n - 1) * self._gap_px, widest.height())

    def minimumSize(self) -> QSize:
        """The size with one part a line."""
        return self._widest()

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        columns = self._columns(rect.width())
        height = self._line_px(rect.height(), -(-len(self._shown) // columns))
        width = (rect.width() - (columns - 1) * self._gap_px) / columns
        for at, item in enumerate(self._shown):
            line, column = divmod(at, columns)
            x, y = rect.x() + column * (width + self._gap_px), rect.y() + line * (height + self._line_gap_px)
            item.setGeometry(QRect(round(x), round(y), int(width), int(height)))

    def _line_px(self, height: int, lines: int) -> float:
        """Height of a line in a height that is there for all."""
        return self._widest().height()

    @property
    def _shown(self) -> list[QLayoutItem]:
        """The items that are not hidden; all of them before the first one is shown."""
        return [item for item in self._items if not item.isEmpty()] or self._items

    def _widest(self) -> QSize:
        """Size of the largest part."""
        sizes = [item.minimumSize().expandedTo(item.sizeHint()) for item in self._shown]
        return QSize(max(each.width() for each in sizes), max(each.height() for each in sizes))

    def _columns(self, width: int) -> int:
        """Number of columns: the least that needs no more lines than the most that fit."""
        many = len(self._shown)
        most = min(many, max(1, (width + self._gap_px) // (self._widest().width() + self._gap_px)))
        return -(-many // -(-many // most))
