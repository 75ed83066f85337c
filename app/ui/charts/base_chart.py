"""Base class of charts: axes, points, and one marker whose value is put into words."""

from collections.abc import Callable, Sequence
from datetime import date

import numpy as np
from PySide6.QtCore import QDate, QLocale, QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter
from PySide6.QtWidgets import QSizePolicy

from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import day_short
from app.ui.charts.picture import Picture
from app.ui.charts.plot import Field, Plot, Values

MOST_TICKS = 7
# At 100 % text size: width of the numbers, height of a line of words below, width of a tick text.
NUMBERS_PX, LINE_PX, WORD_PX = 46, 20, 86


def day_mark(day: date, years: bool = False) -> str:
    """A date as an axis label: day and month, or month and year if the axis spans more than a year."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "MMM yyyy") if years else day_short(day)


def ticks(
    xs: Values, texts: Callable[[int], str], chosen: Sequence[int] | None = None, most: int = MOST_TICKS
) -> list[tuple[float, str]]:
    """Ticks (x, text) at the points ``chosen``, or at ``most`` evenly spaced ones."""
    if chosen is None:
        wanted = np.linspace(xs[0], xs[-1], min(most, len(xs)))
        chosen = sorted({int(np.argmin(np.abs(xs - x))) for x in wanted})
    return [(float(xs[at]), texts(at)) for at in chosen]


class Chart(Picture):
    """A chart of points ``xs``, ``ys`` (n,). A subclass paints them and puts a value into words.

    ``PAD`` is the margin at either side, as a share of the points' range. The marker also follows the mouse.
    """

    KEYS = Qt.Key.Key_Left, Qt.Key.Key_Right
    LEAP = 10
    PAD = 0.04

    def __init__(self) -> None:
        super().__init__()
        self.xs: Values = np.empty(0)
        self.ys: Values = np.empty(0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(520, 150 + 4 * look.px(LINE_PX))

    def minimumSizeHint(self) -> QSize:
        return QSize(280, self.sizeHint().height())

    # For subclasses.

    def reach(self) -> tuple[float, float]:
        """Range of the y axis."""
        raise NotImplementedError

    def ticks(self) -> list[tuple[float, str]]:
        """Ticks of the x axis (x, text)."""
        raise NotImplementedError

    def draw(self, plot: Plot) -> None:
        """Paint the points."""
        raise NotImplementedError

    def first_marked(self) -> int:
        """The point marked initially: the last one by default."""
        return self.count() - 1

    # Shared.

    def count(self) -> int:
        """Number of points."""
        return len(self.xs)

    def show_points(self, xs: Values, ys: Values) -> None:
        """Show points (n,) and mark the initial one."""
        self.xs, self.ys, self.marked = xs, ys, None
        if len(xs):
            self.mark(self.first_marked())

    def tick_room(self) -> int:
        """Number of tick texts that fit side by side."""
        return max(2, min(MOST_TICKS, int(self.width() / look.px(WORD_PX))))

    def span(self) -> tuple[float, float]:
        """Range of the x axis, with margins."""
        first, last = float(self.xs[0]), float(self.xs[-1])
        edge = max(0.5, (last - first) * self.PAD)
        return first - edge, last + edge

    def field(self) -> Field:
        """The plot area with its ranges."""
        return Field(self.box(), self.span(), self.reach())

    def box(self) -> QRectF:
        """The plot area's rectangle: the widget without the margins of the texts."""
        return QRectF(self.rect()).adjusted(look.px(NUMBERS_PX), look.px(LINE_PX / 2), -4, -2 * look.px(LINE_PX) - 8)

    def paint(self, painter: QPainter, marked: int | None) -> None:
        if not len(self.xs):
            return
        plot = Plot(painter, self.field(), font=look.font(look.px(look.TYPE.small)), theme=look.worn())
        plot.axes(self.ticks())
        self.draw(plot)
        if marked is not None:
            plot.marker(float(self.xs[marked]), float(self.ys[marked]))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Mark the point horizontally nearest to the mouse."""
        if len(self.xs):
            nearest = int(np.argmin(np.abs(self.xs - self.field().x_of(event.position().x()))))
            if nearest != self.marked:
                self.mark(nearest)
