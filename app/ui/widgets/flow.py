"""Layouts that wrap their parts onto further lines, like words."""

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from app.ui.base import theme as look


class Lines(QLayout):
    """Widgets or layouts in as few lines as the width allows; a subclass places them within the lines.

    ``gap_px`` is the space between parts, ``line_gap_px`` between lines.
    """

    def __init__(self, *parts: QWidget | QLayout, gap_px: int, line_gap_px: int) -> None:
        super().__init__()
        self._gap_px, self._line_gap_px = gap_px, line_gap_px
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)
        for part in parts:
            if isinstance(part, QLayout):
                self.addChildLayout(part)
                self.addItem(part)
            else:
                self.addWidget(part)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def hasHeightForWidth(self) -> bool:
        return True


class Flow(Lines):
    """Parts side by side while they fit; no part is cut.

    ``spread``: distribute the rest of a single line between the parts; ``last_at_end``: align the last part right.
    """

    def __init__(
        self,
        *parts: QWidget | QLayout,
        gap_px: int = look.STEP_PX,
        line_gap_px: int = look.STEP_PX,
        spread: bool = False,
        last_at_end: bool = False,
    ) -> None:
        super().__init__(*parts, gap_px=gap_px, line_gap_px=line_gap_px)
        self._spread, self._last_at_end = spread, last_at_end

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def heightForWidth(self, width: int) -> int:
        """The height of all lines at this width."""
        return self._place(QRect(0, 0, width, 0), move=False)

    def sizeHint(self) -> QSize:
        sizes = [item.sizeHint() for item in self._items if not item.isEmpty()]
        gaps_px = self._gap_px * max(0, len(sizes) - 1)
        return QSize(sum(each.width() for each in sizes) + gaps_px, max((each.height() for each in sizes), default=0))

    def minimumSize(self) -> QSize:
        """As wide as the widest part."""
        sizes = [item.minimumSize() for item in self._items if not item.isEmpty()]
        return QSize(
            max((each.width() for each in sizes), default=0), max((each.height() for each in sizes), default=0)
        )

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._place(rect, move=True)

    def _place(self, rect: QRect, *, move: bool) -> int:
        """Place the parts line by line, vertically centred; returns the total height."""
        lines: list[list[tuple[QLayoutItem, QSize]]] = [[]]
        used_px = 0
        for item in self._items:
            if item.isEmpty():
                continue
            size = item.sizeHint()
            room_px = max(rect.width(), item.minimumSize().width())
            if size.width() > room_px:  # a part that wraps takes a whole line and more height
                size = QSize(room_px, item.heightForWidth(room_px) if item.hasHeightForWidth() else size.height())
            if lines[-1] and used_px + size.width() > rect.width():
                lines.append([])
                used_px = 0
            lines[-1].append((item, size))
            used_px += size.width() + self._gap_px
        y = rect.y()
        for line in lines:
            height = max((size.height() for _, size in line), default=0)
            x = float(rect.x())
            gap_px = float(self._gap_px)
            if self._spread and len(lines) == 1 and len(line) > 1:
                gap_px = (rect.width() - sum(size.width() for _, size in line)) / (len(line) - 1)
            for item, size in line if move else ():
                if self._last_at_end and item is self._items[-1]:
                    x = max(x, float(rect.x() + rect.width() - size.width()))
                item.setGeometry(QRect(int(x), y + (height - size.height()) // 2, size.width(), size.height()))
                x += size.width() + gap_px
            y += height + (self._line_gap_px if line is not lines[-1] else 0)
        return y - rect.y()
