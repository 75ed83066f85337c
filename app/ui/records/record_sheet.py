"""The count sheet of a whole recording as a widget: the marked bar moves with the sound, a click marks another."""

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui.base import theme as look
from app.ui.records.sheet_lines import BARS_A_LINE, RULE, Pages, Places, SheetPainter
from app.ui.widgets.controls import named
from synth.base.arrays import Floats
from synth.recording.grid import Grid

LINE_PX, NAME_PX, MARGIN_PX = 46, 48, 16
# Below this width of a bar at 100 % text size, half as many stand in a line.
LEAST_BAR_PX = 72


class RecordSheet(QWidget):
    """Shows a grid; ``marked`` carries the number of a bar that was clicked or gone to by an arrow key."""

    marked = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self._grid: Grid | None = None
        self._outline = b""
        self._bar = 0
        self._places: Places | None = None
        self._tops: Floats = np.zeros(1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        named(
            self,
            self.tr("Count sheet of the record"),
            self.tr("A line of strokes for the bars, a paragraph for a phrase. The arrow keys mark another bar."),
        )

    def show_grid(self, grid: Grid, outline: bytes) -> None:
        """Show the count of a grid and how loud the recording is."""
        if self._grid is not grid or self._outline is not outline:
            self._grid, self._outline = grid, outline
            self.arrange()

    def show_bar(self, bar: int) -> bool:
        """Move the mark to a bar; whether it was another."""
        if bar == self._bar:
            return False
        for each in (self._bar, bar):
            box = self.bar_box(each)
            if box is not None:
                self.update(box.adjusted(-2, -2, 2, 2).toAlignedRect())
        self._bar = bar
        return True

    def bar_box(self, bar: int) -> QRectF | None:
        """The room of a bar on the sheet."""
        return None if self._places is None else self._places.bar_box(bar, self._tops)

    @property
    def lines(self) -> int:
        """How many lines there are."""
        return 0 if self._places is None else len(self._places.pages.lines)

    def arrange(self) -> None:
        """Lay out the lines for the width and the text size."""
        if self._grid is None:
            return
        left = float(MARGIN_PX)
        width, name_px = self.width() - 2 * left, float(look.px(NAME_PX))
        wide = BARS_A_LINE
        if (width - 2 * name_px) / wide < look.px(LEAST_BAR_PX):
            wide //= 2
        pages = Pages.of(self._grid, self._outline, wide)
        self._places = Places.within(pages, left, float(MARGIN_PX), width, float(look.px(LINE_PX)), name_px)
        self._tops = self._places.tops()
        self.setFixedHeight(round(float(self._tops[-1])) + MARGIN_PX)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(look.px(640), self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.arrange()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the lines that are in sight."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(event.rect(), look.colour("sheet"))
        places = self._places
        if places is not None:
            low = int(np.searchsorted(self._tops, event.rect().top(), side="right")) - 1
            high = int(np.searchsorted(self._tops, event.rect().bottom(), side="right"))
            lines = range(max(0, low), min(len(places.pages.lines), high))
            box = self.bar_box(self._bar)
            if box is not None:
                painter.fillRect(box, look.colour("wash"))
            SheetPainter(places, look.worn(), self.tr("Intro")).draw(painter, lines, self._tops)
            if box is not None:
                painter.setPen(QPen(look.colour("pen"), 3))
                foot = box.top() + box.height() * RULE
                painter.drawLine(QPointF(box.left() + 2, foot), QPointF(box.right() - 6, foot))
        painter.setPen(QPen(look.colour("rule"), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Mark the bar that is clicked."""
        super().mousePressEvent(event)
        bar = None if self._places is None else self._places.bar_at(event.position(), self._tops)
        if bar is not None:
            self.marked.emit(bar)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Mark another bar by the arrow keys, Home and End."""
        places = self._places
        if places is None:
            super().keyPressEvent(event)
            return
        line = places.pages.wide * places.pages.beside
        steps = {
            Qt.Key.Key_Left: -1,
            Qt.Key.Key_Right: 1,
            Qt.Key.Key_Up: -line,
            Qt.Key.Key_Down: line,
            Qt.Key.Key_PageUp: -4 * line,
            Qt.Key.Key_PageDown: 4 * line,
            Qt.Key.Key_Home: -places.pages.bars,
            Qt.Key.Key_End: places.pages.bars,
        }
        by = steps.get(Qt.Key(event.key()))
        if by is None:
            super().keyPressEvent(event)
        else:
            self.marked.emit(max(1, min(places.pages.bars, self._bar + by)))
