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
from app.ui.widgets.sheet.sheet_places import LOWEST_PX, Places
from exercises.trial.sheet_marks import Shape, SheetMark
from synth.base.arrays import Ints
from synth.score.metre import Count

# Words have so much room at least, or are left out.
LEAST_PX = 24.0
# Distance of words from their mark and from each other, and of a ring from its number, as a share of a line.
GAP_PX, APART_PX, RING = 5.0, 14.0, 0.27
# Between a pole and its words at least.
CLEAR_PX = 2.0
# The learner's own mark is so far beside the true one, or around it.
OWN_PX = 3.0
# Words may reach so far beyond their column: the margin of the sheet.
MARGIN_PX = look.STEP_PX * 4.0
# Height of a line of words in their size, and the most lines.
HEAD, MOST_LINES = 1.3, 2


@dataclass(frozen=True, slots=True)
class Words:
    """Words above a line of the sheet, where they begin; ``text`` may have two lines."""

    place: QRectF
    text: str
    whole: str
    own: bool

    @property
    def is_whole(self) -> bool:
        """Whether nothing is left out."""
        return self.text.replace("\n", " ") == self.whole


def row_of(count: Count, at_s: float) -> int:
    """The beat nearest to a moment."""
    return int(np.abs(count.beats_s - at_s).argmin())


def placed(count: Count, inner: QRectF, marks: tuple[SheetMark, ...], *, on_board: bool = False) -> Places:
    """The places of a count with room for the words of the marks.

    Words have the learner's small size, or the largest one from ``TYPE.small`` on in which they are whole, in one
    line or else in two, and leave the lines of the count their readable height; else the highest.
    """
    worded = frozenset(row_of(count, mark.at_s) for mark in marks if mark.say is not None)
    best, found = Places.of(count, inner, on_board=on_board), (-1, 0.0)
    all_whole = sum(mark.say is not None for mark in marks)
    sizes = range(look.px(look.TYPE.small), look.TYPE.small - 1, -2) if worded else ()
    for size, lines in ((size, lines) for size in sizes for lines in range(1, MOST_LINES + 1)):
        head_px = size * HEAD * lines
        places = Places.of(count, inner, on_board=on_board, worded=worded, head_px=head_px, head_lines=lines)
        whole = sum(each.is_whole for each in laid_out(places, marks))
        good = whole, min(places.blocks.line_px, LOWEST_PX)
        if good > found:
            best, found = places, good
        if good == (all_whole, LOWEST_PX):
            break
    return best


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
    """The words of the marks above their lines: side by side or, where there are two lines, one above the other."""
    if not places.head_px:
        return []
    heads: dict[tuple[float, float], _Head] = {}
    found = []
    for mark in sorted(marks, key=lambda each: (each.at_s, each.own)):
        if mark.say is not None:
            left, top = places.line_of(row_of(places.count, mark.at_s))
            head = heads.setdefault((left, top), _Head(places, left, top))
            found.append(head.put(mark, spoken(mark.say)))
    return [each for each in found if each is not None]


class _Head:
    """The room for words above a line of the sheet, filled from the left; ``ends`` of its lines, the lowest first."""

    def __init__(self, places: Places, left: float, top: float) -> None:
        self._places, self._left, self._top = places, left, top
        self._right = left + places.blocks.column_px + min(places.blocks.gap_px, MARGIN_PX) - GAP_PX
        self._ends = [left + GAP_PX - APART_PX] * places.head_lines
        self._high = places.head_px / places.head_lines

    def put(self, mark: SheetMark, whole: str) -> Words | None:
        """The words of a mark in one line, else in two, else cut off; None where there is next to no room."""
        font = QFontMetricsF(_font(self._places, mark.own))
        mark_px = self._places.centre(row_of(self._places.count, mark.at_s)).x() - self._places.cell_px / 2
        ways = [(whole, line, line + 1) for line in range(len(self._ends))]  # text, first line and end
        if len(self._ends) > 1:
            ways.append((halved(whole, font), 0, len(self._ends)))
        for text, first, end in ways:
            wide = max(map(font.horizontalAdvance, text.split("\n"))) + 1
            start = self._start(mark, mark_px, wide, max(self._ends[first:end]) + APART_PX)
            if start is not None:
                return self._taken(mark, text, whole, QRectF(start, 0.0, wide, 0.0), first, end)
        start = max(self._ends[0] + APART_PX, min(mark_px + _clear_px(self._places, mark), self._right - LEAST_PX))
        room = self._right - start
        if room < LEAST_PX:
            return None
        text = font.elidedText(whole, Qt.TextElideMode.ElideRight, room)
        return self._taken(mark, text, whole, QRectF(start, 0.0, room, 0.0), 0, 1)

    def _start(self, mark: SheetMark, mark_px: float, wide: float, least: float) -> float | None:
        """After the mark, else before it, else across it, but never across a pole; None without the room."""
        after, before = max(least, mark_px + _clear_px(self._places, mark)), mark_px - GAP_PX - wide
        if after + wide <= self._right:
            return after
        if before >= least:
            return before
        across = self._right - wide
        return across if across >= least and mark.shape is not Shape.FLAG else None

    def _taken(self, mark: SheetMark, text: str, whole: str, place: QRectF, first: int, end: int) -> Words:
        for line in range(first, end):
            self._ends[line] = place.right()
        top, high = self._top - self._high * end, self._high * (end - first)
        return Words(QRectF(place.left(), top, place.width(), high), text, whole, mark.own)


def _clear_px(places: Places, mark: SheetMark) -> float:
    """How far after their mark words begin: clear of a pole, which may be broad, and beside another one."""
    if mark.shape is not Shape.FLAG:
        return GAP_PX
    return max(GAP_PX, OWN_PX * mark.own + _pole_px(places) / 2 + CLEAR_PX)


def _pole_px(places: Places) -> float:
    return max(2.0, places.blocks.line_px / 20)


def halved(words: str, font: QFontMetricsF) -> str:
    """Words in two lines of about the same width; those without a space stay in one."""
    spaces = [at for at, letter in enumerate(words) if letter == " "]
    halves = [f"{words[:at]}\n{words[at + 1 :]}" for at in spaces] or [words]
    return min(halves, key=lambda text: max(map(font.horizontalAdvance, text.split("\n"))))


def _font(places: Places, own: bool) -> QFont:
    return look.font(places.head_px / places.head_lines / HEAD, strong=not own)


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
    more = OWN_PX * mark.own
    painter.drawEllipse(QPointF(at.x(), at.y() + line_px * middle), wide + more, line_px * RING + more)


def _flag(painter: QPainter, places: Places, mark: SheetMark, rule: float) -> None:
    at, line_px = places.centre(row_of(places.count, mark.at_s)), places.blocks.line_px
    x = at.x() - places.cell_px / 2 + OWN_PX * mark.own
    painter.setPen(_pen(mark.own, _pole_px(places)))
    painter.drawLine(QPointF(x, at.y() - places.head_px + 3), QPointF(x, at.y() + line_px * rule))


def _one(painter: QPainter, places: Places, mark: SheetMark, rule: float) -> None:
    at, line_px = places.at(mark.at_s), places.blocks.line_px
    half, y = max(4.0, line_px * 0.1), at.y() + line_px * rule
    corners = ((0.0, -half), (half, 0.0), (0.0, half), (-half, 0.0))
    pen = QPen(look.colour("pen" if mark.own else "ink"), max(1.5, line_px / 36))
    painter.setPen(pen)
    painter.setBrush(look.colour("sheet" if mark.own else "ink"))
    painter.drawPolygon(QPolygonF([QPointF(at.x() + x, y + down) for x, down in corners]))
