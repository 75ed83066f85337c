"""Pen strokes that acknowledge taps: on a count where they fell, else in order, so that they count nothing."""

import random
from dataclasses import dataclass, field

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.ui.base import theme as look

# Height of a stroke and distance of the next, in px at most, and the height's share of a ruled line.
STROKE_PX, PITCH_PX, OF_LINE = 56.0, 30.0, 0.55
# Strokes that remain visible, the newest first, by their share of ink: the older ones dry away, so that never more
# than these can be counted.
INK = (1.0, 0.6, 0.36, 0.2, 0.1)


def pen_of(colour: QColor, width: float) -> QPen:
    """A round pen."""
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


@dataclass(slots=True)
class EvenStrokes:
    """A stroke a tap, evenly spaced along ruled lines, of which the last few are seen.

    The first stands anywhere, and a line holds neither a multiple of two nor of three, so that no place tells a bar.
    """

    taps: int = 0
    _first: int = field(default_factory=lambda: random.randrange(1 << 20))

    def add(self) -> None:
        """One more tap."""
        self.taps += 1

    def begin(self) -> None:
        """An empty page."""
        self.taps, self._first = 0, random.randrange(1 << 20)

    def changed(self, area: QRectF, lines: int) -> list[QRectF]:
        """What the latest tap changes in an area with so many ruled lines, one rectangle a stroke."""
        oldest = max(0, self.taps - len(INK) - 1)
        return [self._box(tap, area, lines) for tap in range(oldest, self.taps)]

    def draw(self, painter: QPainter, area: QRectF, lines: int) -> None:
        """Paint the strokes."""
        for age, share in enumerate(INK[: self.taps]):
            box = self._box(self.taps - 1 - age, area, lines)
            width = max(3.0, box.height() / 14)
            painter.setPen(pen_of(look.thinned("pen", share), width))
            inner = box.adjusted(width, width, -width, -width)
            painter.drawLine(inner.topRight(), inner.bottomLeft())

    @staticmethod
    def _per_line(area: QRectF, pitch: float) -> int:
        return next(n for n in range(max(5, int(area.width() // pitch)), 0, -1) if n % 2 and n % 3)

    def _box(self, tap: int, area: QRectF, lines: int) -> QRectF:
        line = area.height() / lines
        tall = min(line * OF_LINE, STROKE_PX)
        per_line = self._per_line(area, min(PITCH_PX, tall * 0.6))
        row, place = divmod((self._first + tap) % (per_line * lines), per_line)
        pitch = area.width() / per_line
        middle = area.left() + (place + 0.5) * pitch
        foot = area.top() + (row + 1) * line - line * 0.12
        wide = tall * 0.12 + 2 * max(3.0, tall / 14)
        return QRectF(middle - wide / 2, foot - tall, wide, tall)


def fallen(at: QPointF, line_px: float) -> QRectF:
    """Where a stroke stands whose tap fell at a point on top of a line: across the line's rule."""
    width = stroke_width(line_px)
    return QRectF(at.x() - 1 - width, at.y() + line_px * 0.62, 2 * width + 2, line_px * 0.36)


def draw_fallen(painter: QPainter, box: QRectF, line_px: float) -> None:
    """Paint the stroke of ``fallen``."""
    width = stroke_width(line_px)
    inner = box.adjusted(width, width / 2, -width, -width / 2)
    painter.setPen(pen_of(look.colour("pen"), width))
    painter.drawLine(inner.topRight(), inner.bottomLeft())


def stroke_width(line_px: float) -> float:
    """Width of a stroke on a line of this height."""
    return max(2.0, line_px / 22)
