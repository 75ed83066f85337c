"""The count sheet: a written count, one bar a line, one block a phrase.

The number of the bar replaces its one. Print is black, the learner's marks are in pen: each tap a stroke across the
rule at its time, with its error in ms. A missed target is ringed; an extra tap has a cross. While a trial sounds
without the sheet's help, the page is blank except for a tally of taps.
"""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.ui.base import theme as look
from app.ui.widgets.sheet_places import LOWEST_PX, Places
from synth.base.arrays import Seconds
from synth.score.metre import Count

# Height of a line's rule as a share of the line's; higher with taps, which are drawn below it.
RULE, RULE_OVER_TAPS = 0.84, 0.6
# Greatest type size of an error as a share of a line's height: its figures, 0.7 of it, clear the rule and the print.
TAG_SHARE, TAG_GAP_PX = 0.42, 5
LETTERS = ("", "A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K")


@dataclass(frozen=True, slots=True)
class Mark:
    """One tap: its time and, if it matched a target, its error.

    One that does not count (before the first target or after the end) is drawn in print, without a cross. ``told``:
    whether its error is known and shown.
    """

    at_s: float
    error_ms: float | None
    counts: bool = True
    told: bool = True


class CountSheet(QWidget):
    """Shows a count, the sounding beat, and the taps. Set the values; it redraws.

    ``on_board``: to be read from afar; no taps are drawn there, so the figures take the whole line.
    """

    def __init__(self, parent: QWidget | None = None, *, on_board: bool = False) -> None:
        super().__init__(parent)
        self._on_board = on_board
        self._count: Count | None = None
        self.way = "bars"
        self.sounding: int | None = None
        self.marks: tuple[Mark, ...] = ()
        self.missed: frozenset[int] = frozenset()
        self.blank = False
        self._tally = 0
        self._strokes: list[tuple[QRectF, str]] = []
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)  # a touch is a tap, and no click of the mouse
        self.setMinimumSize(480, 240)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.tr("Count sheet"))

    def sizeHint(self) -> QSize:
        """Large enough for four phrases read from two metres."""
        return QSize(960, 420)

    def show_count(self, count: Count | None, *, way: str = "bars", blank: bool = False) -> None:
        """Show a fresh sheet for ``count``; ``blank`` hides the numbers; ``way`` is "bars" or "letters"."""
        self._count, self.way, self.blank = count, way, blank
        self.sounding, self.marks, self.missed, self._tally = None, (), frozenset(), 0
        self._describe()
        self.update()

    def show_sounding(self, beat: int | None) -> None:
        """Mark the beat (row index of the count) that sounds now, or none; with less movement the one of its bar."""
        if beat is not None and self._count is not None and look.reduced_motion():
            beat = max(0, beat + 1 - int(self._count.beat_in_bar[beat]))
        if beat != self.sounding:
            self.sounding = beat
            self.update()

    def show_tally(self, taps: int) -> None:
        """Show the number of taps received on the blank sheet."""
        if taps != self._tally:
            self._tally = taps
            self.update()

    def show_marks(self, marks: tuple[Mark, ...], missed_s: Seconds) -> None:
        """Show the numbers and draw the taps; ``missed_s``: times of the targets without a tap, (n,)."""
        self.marks, self.blank, self.sounding = marks, False, None
        if self._count is not None and len(missed_s):
            nearest = np.abs(self._count.beats_s[:, None] - missed_s[None, :]).argmin(axis=0)
            self.missed = frozenset(int(beat) for beat in nearest)
        self._describe()
        self.update()

    def _describe(self) -> None:
        """The sheet in words, for a screen reader."""
        if self._count is None:
            words = self.tr("An empty practice sheet.")
        elif self.blank:
            words = self.tr("A blank practice sheet: listen, the numbers appear after the trial.")
        elif self.marks:
            words = self.tr("Taps on the sheet: {taps}. Targets missed: {missed}.").format(
                taps=len(self.marks), missed=len(self.missed)
            )
        else:
            words = self.tr("Bars: {bars}, in lines of {beats}.").format(
                bars=len(set(self._count.bar_number.tolist())), beats=int(self._count.beat_in_bar.max())
            )
        shifts = [shift_text(mark.error_ms) for mark in self.marks if mark.told and mark.error_ms is not None]
        if shifts:
            told = self.tr("Shifts in ms: {shifts}.")
            words = f"{words} {told.format(shifts=', '.join(shifts))}"
        self.setAccessibleDescription(words)

    def shift_at(self, at: QPointF) -> str:
        """The error of the tap at a point of the sheet, "+12 ms"; empty if there is none."""
        return next((words for place, words in self._strokes if place.contains(at)), "")

    def event(self, event: QEvent) -> bool:
        """Show a tap's error as a tool tip, as it does not always fit beside the tap."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.shift_at(QPointF(event.pos())), self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the page, the count, then the taps."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        page = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.setPen(QPen(look.colour("rule"), 1))
        painter.setBrush(look.colour("sheet"))
        painter.drawRect(page)
        margin = look.STEP_PX * 4
        inner = page.adjusted(margin, margin * 0.75, -margin, -margin * 0.75)
        if self._count is None or self.blank:
            self._draw_blank(painter, inner)
        else:
            self._draw_count(painter, inner, self._count)
        painter.end()

    def _draw_blank(self, painter: QPainter, inner: QRectF) -> None:
        lines = max(1, min(4, int(inner.height() // look.px(LOWEST_PX))))
        line = inner.height() / lines
        painter.setPen(QPen(look.colour("rule"), 1))
        for row in range(1, lines + 1):
            y = round(inner.top() + row * line) - 0.5
            painter.drawLine(QPointF(inner.left(), y), QPointF(inner.right(), y))
        stroke = min(line * 0.55, 56.0)
        pitch, group = stroke * 0.34, stroke * 0.5
        per_line = max(4, int((inner.width() + group) // (4 * pitch + group)) * 4)
        painter.setPen(_pen(look.colour("pen"), max(3.0, stroke / 14)))
        for tap in range(min(self._tally, per_line * lines)):
            row, place = divmod(tap, per_line)
            x = inner.left() + place * pitch + (place // 4) * group + 4
            foot = inner.top() + (row + 1) * line - line * 0.16
            painter.drawLine(QPointF(x + stroke * 0.06, foot - stroke), QPointF(x, foot))

    def _draw_count(self, painter: QPainter, inner: QRectF, count: Count) -> None:
        places = Places.of(count, inner, on_board=self._on_board)
        place, cell, line_of, centre = places.blocks, places.cell_px, places.line_of, places.centre

        if self.sounding is not None:
            x, y = line_of(self.sounding)
            painter.fillRect(QRectF(x, y, place.column_px, place.line_px * 0.84), look.colour("wash"))
        rule = RULE_OVER_TAPS if self.marks or self.missed else RULE
        painter.setPen(QPen(look.colour("rule"), 1))
        for x, y in sorted(
            {line_of(beat) for beat in range(len(count))}
        ):  # a bar that is cut short has its rule, too
            foot = round(y + place.line_px * rule) - 0.5
            painter.drawLine(QPointF(x, foot), QPointF(x + place.column_px, foot))

        figure, head, tall = (0.64, 0.0, 0.84) if self._on_board else (0.52, 0.0, min(0.62, rule - 0.04))
        figure, head, tall = (share * place.line_px for share in (figure, head, tall))
        strong, plain = look.font(figure, serif=True, strong=True), look.font(figure * 0.88, serif=True)
        marked = look.font(figure * 0.88, serif=True, strong=True)
        for beat in range(len(count)):
            at = centre(beat)
            one = int(count.beat_in_bar[beat]) == 1
            text = str(int(count.bar_in_phrase[beat])) if one else self._word(int(count.beat_in_bar[beat]))
            now = beat == self.sounding
            painter.setFont(strong if one else marked if now else plain)
            painter.setPen(look.colour("pen" if now else "ink" if one else "soft_ink"))
            box = QRectF(at.x() - cell / 2, at.y() + head, cell, tall)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
            if beat in self.missed:
                painter.setPen(_pen(look.colour("pen"), 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(_middle(painter, box, text), figure * 0.52, figure * 0.52)
            if now:
                foot = at.y() + place.line_px * rule
                painter.setPen(_pen(look.colour("pen"), max(3.0, place.line_px / 16)))
                painter.drawLine(QPointF(at.x() - cell * 0.2, foot), QPointF(at.x() + cell * 0.2, foot))
        self._draw_taps(painter, places)

    def _word(self, beat_in_bar: int) -> str:
        return LETTERS[beat_in_bar - 1] if self.way == "letters" else str(beat_in_bar)

    def _draw_taps(self, painter: QPainter, places: Places) -> None:
        place = places.blocks
        font = self._tag(place.line_px)
        if font is not None:
            painter.setFont(font)
        words: list[tuple[float, float, str]] = []
        drawn: list[tuple[Mark, float, float]] = []
        self._strokes.clear()
        for mark in self.marks:
            at = places.at(mark.at_s)
            drawn.append((mark, at.x(), at.y()))
        for mark, x, y in drawn:
            head, foot = y + place.line_px * 0.53, y + place.line_px * 0.94
            pen = look.colour("pen" if mark.counts else "edge")
            painter.setPen(_pen(pen, max(2.0, place.line_px / 22)))
            painter.drawLine(QPointF(x + 1, head), QPointF(x - 1, foot))
            if not mark.counts:
                continue
            if mark.error_ms is None:
                arm, middle = place.line_px * 0.09, y + place.line_px * 0.78
                for way in (-1, 1):
                    painter.drawLine(QPointF(x - arm, middle - arm * way), QPointF(x + arm, middle + arm * way))
            elif mark.told:
                said = shift_text(mark.error_ms)
                self._strokes.append((QRectF(x - 8, head, 16, foot - head), f"{said}\N{NO-BREAK SPACE}ms"))
                if font is not None:
                    words.append((x, y, said))
        # Words only where they can be read: between the rule and the next line, clear of the next stroke.
        painter.setPen(look.colour("pen"))
        for x, y, text in words:
            width = painter.fontMetrics().horizontalAdvance(text) + TAG_GAP_PX
            if all(not x < other <= x + width + TAG_GAP_PX for _, other, line in drawn if line == y):
                top = y + place.line_px * RULE_OVER_TAPS
                box = QRectF(x + TAG_GAP_PX, top, width, place.line_px * (1.04 - RULE_OVER_TAPS))
                painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, text)

    def _tag(self, line_px: float) -> QFont | None:
        """Font of the shifts, at most the learner's small size; None where even ``TYPE.small`` does not fit."""
        size_px = min(max(look.px(look.TYPE.small), line_px * 0.18), line_px * TAG_SHARE)
        return look.font(size_px) if size_px >= look.TYPE.small else None


def _middle(painter: QPainter, box: QRectF, text: str) -> QPointF:
    """Centre of the drawn glyphs of a text centred in a box (the centre of its line is lower)."""
    metrics = QFontMetricsF(painter.font())
    line = box.center().y() + (metrics.ascent() - metrics.descent()) / 2
    return QPointF(box.center().x(), line + metrics.tightBoundingRect(text).center().y())


def shift_text(error_ms: float) -> str:
    """A shift in whole ms with its sign: "+12", "−8", and "0" without one."""
    whole = round(error_ms)
    return f"{whole:+d}".replace("-", "\N{MINUS SIGN}") if whole else "0"


def _pen(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen
