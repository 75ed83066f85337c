"""The chart painter of the window and of the printed page: axes, points, lines, bars and bands of values.

Shape or line style repeats what colour tells.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from app.ui.base.numbers_and_dates import number
from app.ui.base.theme import TYPE, Theme

Values = npt.NDArray[np.float64]

# Horizontal rules at round numbers: the most, and their least distance in text heights.
MOST_RULES, LEAST_GAP = 5.6, 1.35
# In px at the default size of small type; they scale with it.
TICK_PX, TEXT_GAP_PX, RING_PX = 4, 6, 17
BAR = 0.62
# Corners of the marks other than the circle, in half widths from the centre.
CORNERS: dict[str, tuple[tuple[float, float], ...]] = {
    "square": ((-1, -1), (1, -1), (1, 1), (-1, 1)),
    "triangle": ((0, 1), (1, -1), (-1, -1)),
    "diamond": ((0, -1.2), (1.2, 0), (0, 1.2), (-1.2, 0)),
}


def round_numbers(low: float, high: float, most: float = MOST_RULES) -> Values:
    """Numbers from ``low`` to ``high``, (n,), at most ``most`` steps of 1, 2 or 5 times a power of ten."""
    least = (high - low) / most
    unit = 10.0 ** math.floor(math.log10(least))
    step = next(unit * each for each in (1.0, 2.0, 5.0, 10.0) if unit * each >= least * (1 - 1e-9))
    return step * np.arange(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Field:
    """A plot area in px with the ranges ``xs`` and ``ys``, both (lowest, highest)."""

    box: QRectF
    xs: tuple[float, float]
    ys: tuple[float, float]

    def places(self, xs: Values, ys: Values) -> list[QPointF]:
        """Points in px of values, (n,) each."""
        across = self.box.left() + (xs - self.xs[0]) / (self.xs[1] - self.xs[0]) * self.box.width()
        down = self.box.bottom() - (ys - self.ys[0]) / (self.ys[1] - self.ys[0]) * self.box.height()
        return list(map(QPointF, across.tolist(), down.tolist()))

    def at(self, x: float, y: float) -> QPointF:
        """Point in px of a value."""
        return self.places(np.array([x]), np.array([y]))[0]

    def x_of(self, px: float) -> float:
        """The x value at px from the widget's left edge."""
        return self.xs[0] + (px - self.box.left()) / self.box.width() * (self.xs[1] - self.xs[0])


class Plot:
    """Paints values into a field. Numbers stand left of it and words below it, in ``font``.

    Colours are field names of ``Theme``.
    """

    def __init__(self, painter: QPainter, field: Field, *, font: QFont, theme: Theme) -> None:
        self.box, self.at, self.places, self._field = field.box, field.at, field.places, field
        self._painter, self._font, self._theme = painter, font, theme
        self._metrics = QFontMetricsF(font, painter.device())
        self._unit = font.pixelSize() / TYPE.small
        # Snap thin lines to pixels on the screen, but not on paper.
        self._on_screen = not painter.transform().isScaling()

    def _sharp(self, px: float) -> float:
        return math.floor(px) + 0.5 if self._on_screen else px

    def _pen(self, colour: str, width: float = 1, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        pen = QPen(self._theme.colour(colour), width * min(1.0, self._unit), style)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        return pen

    def _fill(self, colour: str | None) -> None:
        self._painter.setBrush(self._theme.colour(colour) if colour else Qt.BrushStyle.NoBrush)

    def axes(self, ticks: Iterable[tuple[float, str]]) -> None:
        """Draw rules with numbers, the axes, and tick texts (x, text) of one or more lines.

        A text that would overlap the previous one is omitted.
        """
        painter, box, high = self._painter, self.box, self._metrics.height()
        left, right, bottom = self._sharp(box.left()), box.right(), self._sharp(box.bottom())
        painter.setFont(self._font)
        rules = round_numbers(*self._field.ys, min(MOST_RULES, box.height() / self._font.pixelSize() / LEAST_GAP))
        decimals = 0 if len(rules) < 2 or rules[1] - rules[0] >= 1 else 1
        for value in rules.tolist():
            y = self._sharp(self.at(0, value).y())
            painter.setPen(self._pen("rule"))
            painter.drawLine(QPointF(left, y), QPointF(right, y))
            painter.setPen(self._pen("soft_ink"))
            beside = QRectF(left - TEXT_GAP_PX - 100, y - high / 2, 100, high)
            flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
            painter.drawText(beside, flags, number(value, decimals))
        painter.setPen(self._pen("edge"))
        painter.drawLines([QLineF(left, box.top(), left, bottom), QLineF(left, bottom, right, bottom)])
        free, tick = -math.inf, TICK_PX * self._unit
        for x, text in ticks:
            middle = self.at(x, 0).x()
            width = max(map(self._metrics.horizontalAdvance, text.split("\n")))
            begin = max(left, min(middle - width / 2, right - width))
            if begin < free:
                continue
            free = begin + width + TEXT_GAP_PX
            painter.setPen(self._pen("edge"))
            painter.drawLine(QPointF(self._sharp(middle), bottom), QPointF(self._sharp(middle), bottom + tick))
            painter.setPen(self._pen("soft_ink"))
            below = QRectF(begin, bottom + tick + 1, width, high)
            painter.drawText(below, Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextDontClip, text)

    def line(
        self,
        xs: Values,
        ys: Values,
        colour: str = "ink",
        width: float = 1.6,
        style: Qt.PenStyle = Qt.PenStyle.SolidLine,
    ) -> None:
        """A line through the values."""
        self._painter.setPen(self._pen(colour, width, style))
        self._painter.drawPolyline(self.places(xs, ys))

    def band(self, xs: Values, low: Values, high: Values) -> None:
        """A shaded band between dotted edges, clipped at the top of the box."""
        painter = self._painter
        painter.save()
        painter.setClipRect(self.box)
        painter.setPen(Qt.PenStyle.NoPen)
        self._fill("wash")
        painter.drawPolygon(self.places(np.append(xs, xs[::-1]), np.append(low, high[::-1])))
        for edge in (low, high):
            self.line(xs, edge, "soft_ink", 1.2, Qt.PenStyle.DotLine)
        painter.restore()

    def intervals(self, xs: Values, low: Values, high: Values, beam: float) -> None:
        """A vertical error bar for each value, its caps ``beam`` wide."""
        self._painter.setPen(self._pen("soft_ink", 1.4))
        half = QPointF(self.at(beam / 2, 0).x() - self.at(0, 0).x(), 0)
        for bottom, top in zip(self.places(xs, low), self.places(xs, high), strict=True):
            self._painter.drawLine(bottom, top)
            if beam:
                self._painter.drawLines([QLineF(end - half, end + half) for end in (bottom, top)])

    def points(
        self,
        xs: Values,
        ys: Values,
        shape: str = "circle",
        size: float = 9,
        *,
        edge: str = "sheet",
        fill: str | None = "pen",
    ) -> None:
        """A mark for each value: circle, square, triangle or diamond."""
        half = size / 2 * self._unit
        mark = QPainterPath()
        if shape == "circle":
            mark.addEllipse(QPointF(), half, half)
        else:
            mark.addPolygon(QPolygonF([QPointF(x * half, y * half) for x, y in CORNERS[shape]]))
            mark.closeSubpath()
        self._painter.setPen(self._pen(edge, 1 if size < 8 or edge == "sheet" else 1.5))
        self._fill(fill)
        for place in self.places(xs, ys):
            self._painter.drawPath(mark.translated(place))

    def bars(self, xs: Values, heights: Values, fill: str = "pen", *, width: float = BAR) -> None:
        """A bar for each value above 0, ``width`` wide."""
        self._painter.setPen(self._pen("ink", 1.4))
        self._fill(fill)
        for x, y in zip(xs.tolist(), heights.tolist(), strict=True):
            if y > 0:
                corners = self.at(x - width / 2, y), self.at(x + width / 2, 0)
                first, last = (QPointF(self._sharp(each.x()), self._sharp(each.y())) for each in corners)
                self._painter.drawRect(QRectF(first, last))

    def uprights(self, changes: Sequence[tuple[float, str]], last: float) -> None:
        """Dashed vertical lines (x, text), the text at the top if it fits, and not beyond the value ``last``."""
        painter, high, free = self._painter, self._metrics.height(), -math.inf
        painter.setFont(self._font)
        for at, text in changes:
            x = self._sharp(self.at(at, 0).x())
            painter.setPen(self._pen("ink", 1.4, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(x, self.box.top()), QPointF(x, self.box.bottom()))
            width = self._metrics.horizontalAdvance(text) + 2 * TEXT_GAP_PX
            begin = x - width - 1 if x + width > self.at(last, 0).x() else x + 1
            if begin >= free:
                free = begin + width
                ground = QRectF(begin, self.box.top() + 2, width, high)
                painter.fillRect(ground, self._theme.colour("sheet"))
                painter.setPen(self._pen("ink"))
                painter.drawText(ground, Qt.AlignmentFlag.AlignCenter, text)

    def marker(self, x: float, y: float) -> None:
        """A ring around a value, on a vertical line."""
        middle, radius = self.at(x, y), RING_PX / 2 * self._unit
        across = self._sharp(middle.x())
        self._painter.setPen(self._pen("edge"))
        self._painter.drawLine(QPointF(across, self.box.top()), QPointF(across, self.box.bottom()))
        self._painter.setPen(self._pen("ink", 2))
        self._fill(None)
        self._painter.drawEllipse(middle, radius, radius)
