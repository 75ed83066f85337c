"""A chart as a page of the practice sheet: ink on paper, one marker that says each value in words.

Drawn with pyqtgraph, which is loaded when the logbook is opened and not before. What is told by colour is told by
shape or line as well. The marker follows the mouse, and the arrow keys.
"""

from collections.abc import Callable, Sequence
from datetime import date

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QDate, QEvent, QLocale, QMargins, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QFrame, QSizePolicy, QWidget

from app.ui import theme as look
from app.ui.logbook.picture_card import chart_height
from app.ui.widgets.marked_rows import marked_by
from app.ui.words import day_short, number, unbroken
from synth.base.arrays import Seconds

# At exit pyqtgraph would go through everything there is in memory to take its items out of their scenes.
pg.setConfigOption("exitCleanup", False)

LEAP = 10
WORD_GAP_PX = 3
MOST_TICKS = 7


def day_mark(day: date, years: bool = False) -> str:
    """A day of the month, for an axis; the month of its year where the axis spans more than a year."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "MMM yyyy") if years else day_short(day)


class Axis(pg.AxisItem):
    """An axis whose numbers are written as the language does, and whose rules are faint."""

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Texts of the ticks."""
        decimals = 0 if spacing >= 1 else 1
        return [number(value, decimals) for value in values]


class Chart(pg.GraphicsView):
    """A picture of points ``xs``, ``ys`` (n,). A subclass draws them and puts the value of a point into words.

    ``said`` is emitted with the words of the point at the marker. Made of pyqtgraph's view and axes alone: its whole
    plots bring menus of their own, which take five times as long to make and do not outlive a change of style.
    """

    said = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, useOpenGL=False)
        self.xs: Seconds = np.empty(0)
        self.ys: Seconds = np.empty(0)
        self.marked: int | None = None
        self.view = pg.ViewBox(enableMenu=False, enableMouse=False, defaultPadding=0)
        self.view.disableAutoRange()
        self.left, self.bottom = Axis("left"), Axis("bottom")
        layout = self._layout = pg.GraphicsLayout()
        layout.setContentsMargins(0, 4, 4, 0)
        layout.setSpacing(0)
        for part, line, column in ((self.left, 0, 0), (self.view, 0, 1), (self.bottom, 1, 1)):
            layout.addItem(part, line, column)
        for axis in (self.left, self.bottom):
            axis.linkToView(self.view)
        self.left.setZValue(-200)  # its rules lie under what is drawn: the view itself stands at -100
        self.setCentralItem(layout)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.items_shown: list[pg.GraphicsObject] = []
        self._line = pg.InfiniteLine(angle=90, movable=False)
        self._ring = pg.ScatterPlotItem(pxMode=True)

    def sizeHint(self) -> QSize:
        """Wide and low."""
        return QSize(520, chart_height())

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        return QSize(280, chart_height())

    # What a subclass says.

    def draw(self) -> None:
        """Add the items, set the axes."""
        raise NotImplementedError

    def words(self, at: int) -> str:
        """The value of a point in words."""
        raise NotImplementedError

    # Drawing.

    def changeEvent(self, event: QEvent) -> None:
        """Follow the program when it is dressed anew."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange and hasattr(self, "items_shown"):
            self.redraw()

    def redraw(self) -> None:
        """Draw everything anew, the marker at its first place. Without points there is nothing to draw."""
        for item in self.items_shown:
            self.view.removeItem(item)
        self.items_shown.clear()
        self.marked = None
        self.setBackground(look.colour("sheet"))
        for axis in (self.left, self.bottom):
            axis.setTickFont(look.font(look.px(look.TYPE.small)))
            axis.setPen(self.pen("edge"))
            axis.setTextPen(self.pen("soft_ink"))
            axis.setStyle(tickLength=0 if axis is self.left else -5, maxTickLevel=0, tickTextOffset=6)
        self.bottom.setStyle(hideOverlappingLabels=False)
        self.left.setTickPen(self.pen("rule"))
        self.left.setGrid(255)
        self.bottom.setHeight(2 * look.px(20) + 8)
        self.left.setWidth(look.px(46))
        if not len(self.xs):
            return
        self.draw()
        self._line.setPen(self.pen("edge"))
        self.put(self._line, self._ring)
        self.mark(self.first_marked())

    def first_marked(self) -> int:
        """The point at which the marker stands first: the last, unless a subclass has one that says more."""
        return len(self.xs) - 1

    def put(self, *items: pg.GraphicsObject) -> None:
        """Add items to the picture, each above the one before."""
        for item in items:
            self.view.addItem(item, ignoreBounds=True)
            self.items_shown.append(item)

    def pen(self, colour: str, width: float = 1, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        """A pen in a colour of the sheet."""
        made = QPen(look.colour(colour), width, style)
        made.setCosmetic(True)
        return made

    def brush(self, colour: str) -> QColor:
        """A fill in a colour of the sheet."""
        return look.colour(colour)

    def upright(self, x: float, text: str, *, before: bool = False) -> None:
        """A dashed vertical line, with a word at its head if ``text`` has one; ``before``: at the line's left."""
        line = pg.InfiniteLine(
            x,
            angle=90,
            pen=self.pen("ink", 1.4, Qt.PenStyle.DashLine),
            label=text or None,
            labelOpts={"position": 0.94, "color": self.brush("ink")},
        )
        if text:
            line.label.setFont(look.font(look.px(look.TYPE.small)))
            # Beside the line: at its very place the word's ground would cover half of it.
            off = WORD_GAP_PX / line.label.boundingRect().width()
            line.label.anchors = [(1 + off if before else -off, 0.5)] * 2
            line.label.fill = pg.mkBrush(self.brush("sheet"))
        self.put(line)

    def uprights(self, changes: Sequence[tuple[float, str]]) -> None:
        """Vertical lines; a word only where the one before it leaves room, and never beyond the right edge."""
        span = float(np.ptp(self.xs)) if len(self.xs) > 1 else 1.0
        free, room = -np.inf, span * 0.2
        for x, text in changes:
            if x < float(self.xs[0]):
                continue
            before = x + room > float(self.xs[-1])
            start = x - room if before else x
            self.upright(x, text if start >= free else "", before=before)
            if start >= free:
                free = start + room

    def tick_room(self) -> int:
        """How many texts have room side by side under the chart."""
        return max(2, min(MOST_TICKS, int(self.width() / look.px(86))))

    def ticks(self, texts: Callable[[int], str], chosen: Sequence[int] | None = None) -> None:
        """Write ``texts`` (of a point's index) under the points ``chosen``, or under some that lie evenly."""
        if chosen is None:
            wanted = np.linspace(self.xs[0], self.xs[-1], min(self.tick_room(), len(self.xs)))
            chosen = sorted({int(np.argmin(np.abs(self.xs - x))) for x in wanted})
        self.bottom.setTicks([[(float(self.xs[at]), texts(at)) for at in chosen]])

    def reach(self, low: float, high: float, pad: float = 0.04) -> None:
        """The range of the upright axis; the other holds every point."""
        first, last = (float(self.xs[0]), float(self.xs[-1])) if len(self.xs) else (0.0, 1.0)
        edge = max(0.5, (last - first) * pad)
        self.view.setRange(xRange=(first - edge, last + edge), yRange=(low, high), padding=0)

    # The marker.

    def mark(self, at: int) -> None:
        """Put the marker on a point and say its value."""
        self.marked = at
        self._line.setValue(float(self.xs[at]))
        self._line.show()
        self._ring.setData(
            [self.xs[at]], [self.ys[at]], size=17, symbol="o", pen=self.pen("ink", 2), brush=pg.mkBrush(None)
        )
        self._say(self.words(at))

    def _say(self, words: str) -> None:
        words = unbroken(words)
        self.setAccessibleDescription(words)
        self.said.emit(words)

    def show_marker(self, shown: bool) -> None:
        """Hide the marker for a picture, or show it again. Points are drawn as shapes meanwhile, not as pixels."""
        self._line.setVisible(shown and self.marked is not None)
        self._ring.setVisible(shown)
        for item in self.items_shown:
            if isinstance(item, pg.ScatterPlotItem):
                item.opts["useCache"] = shown

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The marker goes to the point nearest to the mouse, sideways."""
        if len(self.xs):
            at = self.view.mapSceneToView(self.mapToScene(event.position().toPoint())).x()
            nearest = int(np.argmin(np.abs(self.xs - at)))
            if nearest != self.marked:
                self.mark(nearest)
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click only takes the keyboard's attention."""
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Nothing more."""
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel scrolls the page, not the chart."""
        event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys move the marker, with Ctrl by ten; Home and End go to the ends."""
        step = LEAP if event.modifiers() & Qt.KeyboardModifier.ControlModifier else 1
        now = len(self.xs) - 1 if self.marked is None else self.marked
        goal = marked_by(event, now, len(self.xs), Qt.Key.Key_Left, Qt.Key.Key_Right, step)
        if goal is not None:
            self.mark(goal)
            event.accept()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that the keys go here."""
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that they no longer do."""
        super().focusOutEvent(event)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The scene, with a frame while the keys go here."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self.viewport())
            painter.setPen(QPen(look.colour("pen"), 2))
            painter.drawRect(self.viewport().rect().marginsRemoved(QMargins(1, 1, 1, 1)))
            painter.end()
