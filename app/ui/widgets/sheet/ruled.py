"""A ruled picture: lines of a practice sheet, one thing a line, over beats, bars or minutes.

A line has its name at the left. On it stand figures as they are counted, dots and rings where drums are struck, and
boxes for what lasts.
"""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui.base import theme as look
from app.ui.widgets.sheet.truth_marks import halved

LINE_PX = 44
NAMES_PX = 168
DOT_PX = 8.0
# Between the words of a box and its edges, in px.
BESIDE_PX = 3.0


@dataclass(frozen=True, slots=True)
class Dot:
    """Something struck at ``at`` (units from the left edge of the first cell): filled, or a ring if ``ring``."""

    at: float
    ring: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or letter in the middle of cell ``cell`` (from 0); ``strong`` for the ones."""

    cell: float
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Box:
    """What lasts from ``start`` to ``end``. ``shaded``: drums alone, or what the picture is about; ``waiting``: a
    time in which nothing sounds. Its words may be translated.
    """

    start: float
    end: float
    words: str
    shaded: bool = False
    waiting: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the picture. Its name may be translated."""

    name: str
    things: tuple[Dot | Figure | Box, ...]


@dataclass(frozen=True, slots=True)
class Ruling:
    """A whole picture: ``units`` from edge to edge, upright rules at ``guides``."""

    units: float
    lines: tuple[Line, ...]
    guides: tuple[float, ...] = ()


class Ruled(QWidget):
    """Draws a ``Ruling``; ``words`` turns its names into the window's language."""

    def __init__(self, ruling: Ruling, words: Callable[[str], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.ruling, self._words = ruling, words
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(480)
        self.setAccessibleDescription(" ".join(f"{words(line.name)}: {self._spoken(line)}." for line in ruling.lines))

    def _spoken(self, line: Line) -> str:
        """A line in words, for a screen reader: boxes by their words, the rest by positions from 1."""
        parts = []
        for thing in line.things:
            if isinstance(thing, Box):
                parts.append(self._words(thing.words))
            elif isinstance(thing, Figure):
                parts.append(thing.text)
            else:
                parts.append(f"{thing.at + 0.5:g}")
        return ", ".join(parts)

    def _line_px(self) -> int:
        """Height for the present font, on the grid."""
        step = look.STEP_PX
        return max(LINE_PX, -(-int(self.fontMetrics().height() * 2) // step) * step)

    def sizeHint(self) -> QSize:
        return QSize(720, self._line_px() * len(self.ruling.lines) + look.STEP_PX * 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        page = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.setPen(QPen(look.colour("rule"), 1))
        painter.setBrush(look.colour("sheet"))
        painter.drawRect(page)
        step = look.STEP_PX
        inner = page.adjusted(step * 3, step * 2, -step * 3, -step * 2)
        line_px = inner.height() / len(self.ruling.lines)
        names = self._names_px(inner.width())
        field = QRectF(inner.left() + names, inner.top(), inner.width() - names, inner.height())
        unit = field.width() / self.ruling.units
        painter.setPen(QPen(look.colour("rule"), 1))
        for guide in self.ruling.guides:
            x = round(field.left() + guide * unit) - 0.5
            painter.drawLine(QPointF(x, field.top()), QPointF(x, field.bottom()))
        for at, line in enumerate(self.ruling.lines):
            box = QRectF(field.left(), inner.top() + at * line_px, field.width(), line_px)
            self._draw_line(painter, line, box, unit, names)
        painter.end()

    def _names_px(self, inner_px: float) -> float:
        """Width for the names of the lines, of the whole within its margins."""
        longest = max(self._width(self._words(line.name)) for line in self.ruling.lines)
        return min(max(NAMES_PX, longest + look.STEP_PX * 2), inner_px * 0.4)

    def _fitting(self, words: str, width: float, height: float) -> tuple[QFont, str] | None:
        """Words in a line or else two, in the largest font in which they have room, down to the small one of 100 %.

        None where they have none.
        """
        font = QFont(self.font())
        for size in range(self.fontInfo().pixelSize(), look.TYPE.small - 1, -1):
            font.setPixelSize(size)
            metrics = QFontMetricsF(font)
            for text in (words, halved(words, metrics)):
                lines = text.split("\n")
                widest = max(map(metrics.horizontalAdvance, lines))
                if widest <= width and len(lines) * metrics.height() <= height:
                    return font, text
        return None

    def _width(self, text: str) -> float:
        return QFontMetricsF(self.font()).horizontalAdvance(text)

    def _draw_line(self, painter: QPainter, line: Line, box: QRectF, unit: float, names: float) -> None:
        foot = round(box.bottom()) - 0.5
        painter.setPen(QPen(look.colour("rule"), 1))
        painter.drawLine(QPointF(box.left() - names, foot), QPointF(box.right(), foot))
        painter.setFont(self.font())
        painter.setPen(look.colour("ink"))
        middle = Qt.AlignmentFlag.AlignVCenter
        words = self._words(line.name)
        elided = QFontMetricsF(self.font()).elidedText(words, Qt.TextElideMode.ElideRight, names - 8)
        font, name = self._fitting(words, names - 8, box.height()) or (self.font(), elided)
        painter.setFont(font)
        painter.drawText(QRectF(box.left() - names, box.top(), names, box.height()), middle, name)
        for thing in line.things:
            if isinstance(thing, Figure):
                size = min(box.height() * 0.55, max(unit * 0.7, 12.0))
                painter.setFont(look.font(size, serif=True, strong=thing.strong))
                painter.setPen(look.colour("ink" if thing.strong else "soft_ink"))
                cell = QRectF(box.left() + thing.cell * unit, box.top(), unit, box.height())
                painter.drawText(cell, Qt.AlignmentFlag.AlignCenter, thing.text)
            elif isinstance(thing, Dot):
                painter.setPen(QPen(look.colour("ink"), 2))
                painter.setBrush(look.colour("sheet" if thing.ring else "ink"))
                radius = min(DOT_PX, unit * 0.3)
                painter.drawEllipse(QPointF(box.left() + thing.at * unit, box.center().y()), radius, radius)
            else:
                self._draw_box(painter, thing, box, unit)

    def _draw_box(self, painter: QPainter, thing: Box, line: QRectF, unit: float) -> None:
        inset = 6
        width = (thing.end - thing.start) * unit
        box = QRectF(line.left() + thing.start * unit + 1, line.top() + inset, width - 2, line.height() - 2 * inset)
        painter.setPen(QPen(look.colour("edge"), 1, Qt.PenStyle.DashLine if thing.waiting else Qt.PenStyle.SolidLine))
        painter.setBrush(look.colour("wash" if thing.shaded else "sheet"))
        painter.drawRect(box)
        painter.setPen(look.colour("ink"))
        words = self._words(thing.words)
        fitting = self._fitting(words, box.width() - 2 * BESIDE_PX, box.height())
        painter.setFont(self.font() if fitting is None else fitting[0])
        if fitting is not None:
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, fitting[1])
        else:  # a short box has its words beside it, where the line is free
            beside = QRectF(box.right() + 8, line.top(), line.right() - box.right() - 8, line.height())
            painter.drawText(beside, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
