"""Paints the marks of a trial's truth, and of the learner's answer, on a count sheet.

The truth is in ink and solid: a filled diamond, a whole ring, a straight line, strong words. The answer is in pen and
open: an empty diamond, a broken ring, a dashed line, plain words.
"""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.widgets.sheet.sheet_places import Places
from exercises.trial.sheet_marks import Shape, SheetMark
from synth.base.arrays import Ints
from synth.score.metre import Count

# Words have so much room at least, or are left out.
LEAST_PX = 24.0
# Distance of words from their mark and from each other, and of a ring from its number, as a share of a line.
GAP_PX, APART_PX, RING = 5.0, 14.0, 0.27
# Height of the room for words in their size.
HEAD = 1.3


@dataclass(frozen=True, slots=True)
class Words:
    """Words above a line of the sheet, and where they begin."""

    place: QRectF
    text: str
    whole: str
    own: bool


def row_of(count: Count, at_s: float) -> int:
    """The beat nearest to a moment."""
    return int(np.abs(count.beats_s - at_s).argmin())


def placed(count: Count, inner: QRectF, marks: tuple[SheetMark, ...], *, on_board: bool = False) -> Places:
    """The places of a count with room for the words of the marks.

    Words have the learner's small size, or the largest one from ``TYPE.small`` on in which they are whole.
    """
    worded = frozenset(row_of(count, mark.at_s) for mark in marks if mark.say is not None)
    places = Places.of(count, inner, on_board=on_board)
    for size in range(look.px(look.TYPE.small), look.TYPE.small - 1, -2) if worded else ():
        places = Places.of(count, inner, on_board=on_board, worded=worded, head_px=size * HEAD)
        whole = [each for each in laid_out(places, marks) if each.text == each.whole]
        if len(whole) == sum(mark.say is not None for mark in marks):
            break
    return places


def _shaded(count: Count, mark: SheetMark) -> Ints:
    rows: Ints = np.flatnonzero((count.beats_s > mark.at_s - 1e-3) & (count.beats_s < (mark.until_s or 0.0) - 1e-3))
    return rows


def draw_behind(painter: QPainter, places: Places, marks: tuple[SheetMark, ...], rule: float) -> None:
    """Hatch what is shaded, down to the rule."""
    hatch = QBrush(look.colour("edge"), Qt.BrushStyle.BDiagPattern)
    for mark in marks:
        if mark.shape is not Shape.SHADE:
            continue
        for row in _shaded(places.count, mark).tolist():
            at = places.centre(row)
            cell = QRectF(at.x() - places.cell_px / 2, at.y(), places.cell_px, places.blocks.line_px * rule)
            painter.fillRect(cell, look.colour("wash"))
            painter.fillRect(cell, hatch)


def draw_over(painter: QPainter, places: Places, marks: tuple[SheetMark, ...], rule: float, middle: float) -> None:
    """Draw rings, flags and diamonds over the numbers, whose ``middle`` is a share of the line; then the words."""
    for mark in marks:
        match mark.shape:
            case Shape.RING:
                _ring(painter, places, mark, middle)
            case Shape.FLAG:
                _flag(painter, places, mark, rule)
            case Shape.ONE:
                _one(painter, places, mark, rule)
    for words in laid_out(places, marks):
        painter.setFont(_font(places, words.own))
        painter.setPen(look.colour("pen" if words.own else "ink"))
        painter.drawText(words.place, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words.text)


def laid_out(places: Places, marks: tuple[SheetMark, ...]) -> list[Words]:
    """The words of the marks above their lines, one after the other where two would overlap."""
    ends: dict[tuple[float, float], float] = {}
    found: list[Words] = []
    if not places.head_px:
        return found
    for mark in sorted(marks, key=lambda each: (each.at_s, each.own)):
        if mark.say is None:
            continue
        row = row_of(places.count, mark.at_s)
        left, top = places.line_of(row)
        font, whole = QFontMetricsF(_font(places, mark.own)), spoken(mark.say)
        right = left + places.blocks.column_px + places.blocks.gap_px - GAP_PX
        least = ends.get((left, top), left - APART_PX + GAP_PX) + APART_PX
        wide = font.horizontalAdvance(whole) + 1
        mark_px = places.centre(row).x() - places.cell_px / 2
        start = max(least, mark_px + GAP_PX)
        if start + wide > right:  # before the mark, or as far to the right as there is room
            start = max(least, min(right - wide, mark_px - GAP_PX - wide if mark_px - wide > least else np.inf))
        if right - start < LEAST_PX:
            continue
        text = font.elidedText(whole, Qt.TextElideMode.ElideRight, max(0.0, right - start))
        place = QRectF(start, top - places.head_px, max(0.0, min(wide, right - start)), places.head_px)
        ends[left, top] = place.right()
        found.append(Words(place, text, whole, mark.own))
    return found


def _font(places: Places, own: bool) -> QFont:
    return look.font(places.head_px / HEAD, strong=not own)


def _pen(own: bool, width: float) -> QPen:
    pen = QPen(look.colour("pen" if own else "ink"), width)
    if own:
        pen.setDashPattern([2.5, 2.0])
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


def _ring(painter: QPainter, places: Places, mark: SheetMark, middle: float) -> None:
    at, line_px = places.centre(row_of(places.count, mark.at_s)), places.blocks.line_px
    wide = min(line_px * RING, places.cell_px * 0.46)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(mark.own, max(2.0, line_px / 24)))
    # Around a beat with both, the answer's ring is the outer one.
    more = 3 if mark.own else 0
    painter.drawEllipse(QPointF(at.x(), at.y() + line_px * middle), wide + more, line_px * RING + more)


def _flag(painter: QPainter, places: Places, mark: SheetMark, rule: float) -> None:
    at, line_px = places.centre(row_of(places.count, mark.at_s)), places.blocks.line_px
    x = at.x() - places.cell_px / 2 + (3 if mark.own else 0)
    painter.setPen(_pen(mark.own, max(2.0, line_px / 20)))
    painter.drawLine(QPointF(x, at.y() - places.head_px + 3), QPointF(x, at.y() + line_px * rule))


def _one(painter: QPainter, places: Places, mark: SheetMark, rule: float) -> None:
    at, line_px = places.at(mark.at_s), places.blocks.line_px
    half, y = max(4.0, line_px * 0.1), at.y() + line_px * rule
    corners = ((0.0, -half), (half, 0.0), (0.0, half), (-half, 0.0))
    pen = QPen(look.colour("pen" if mark.own else "ink"), max(1.5, line_px / 36))
    painter.setPen(pen)
    painter.setBrush(look.colour("sheet" if mark.own else "ink"))
    painter.drawPolygon(QPolygonF([QPointF(at.x() + x, y + down) for x, down in corners]))
