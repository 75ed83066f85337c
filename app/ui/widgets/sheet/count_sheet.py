"""The count sheet: a written count, one bar a line, one block a phrase.

The number of the bar replaces its one. Print is black, the learner's marks are in pen: each tap a stroke across the
rule at its time, with its error in ms. A missed target is ringed; an extra tap has a cross. While a trial sounds
without the sheet's help, the page is blank except for the strokes that acknowledge taps.

The print is kept as a picture, so that a stroke or the mark of the sounding beat paints its own rectangle alone.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QHelpEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.widgets.sheet.pen_strokes import EvenStrokes, draw_fallen, fallen, pen_of
from app.ui.widgets.sheet.sheet_places import LOWEST_PX, Places
from app.ui.widgets.sheet.truth_marks import draw_behind, draw_over, laid_out, placed, row_of
from exercises.trial.sheet_marks import SheetMarks
from synth.base.arrays import Seconds
from synth.score.metre import Count

# Height of a line's rule as a share of the line's; higher with taps, which are drawn below it.
RULE, RULE_OVER_TAPS = 0.84, 0.6
# Greatest type size of an error as a share of a line's height: its figures, 0.7 of it, clear the rule and the print.
TAG_SHARE, TAG_GAP_PX = 0.42, 5
# Figures of this share of their wanted size need no more room.
NEAR = 0.9
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
        self.truth = SheetMarks()
        self.blank = False
        self._fallen_s: list[float] = []
        self._even = EvenStrokes()
        self._page: tuple[object, QPixmap] | None = None
        self._placed: tuple[object, Places] | None = None
        self._readable: tuple[object, int] | None = None
        self._strokes: list[tuple[QRectF, str]] = []
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)  # a touch is a tap, and no click of the mouse
        self.setMinimumSize(480, 240)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.tr("Count sheet"))

    def sizeHint(self) -> QSize:
        """Large enough for four phrases read from two metres."""
        return QSize(960, 420)

    def readable_px(self, width_px: int, usual_px: int, most_px: int) -> int:
        """Height at a width in which larger text has larger figures: ``usual_px``, or more up to ``most_px``.

        It is the least at which lines are ``LOWEST_PX`` high at the learner's text size, or as high as they can be;
        where ``usual_px`` come near that, they will do.
        """
        if self._count is None or self.blank or look.px(100) <= 100 or most_px <= usual_px:
            return usual_px
        key = (self._count, self.truth, width_px, usual_px, most_px, look.px(1000))
        if self._readable is None or self._readable[0] != key:
            wanted = min(look.px(LOWEST_PX), self._line_at(width_px, most_px)) - 0.5
            will_do = self._line_at(width_px, usual_px) >= wanted * NEAR
            low, high = usual_px, usual_px if will_do else most_px
            while low < high:
                half = (low + high) // 2
                low, high = (low, half) if self._line_at(width_px, half) >= wanted else (half + 1, high)
            self._readable = key, low
        return self._readable[1]

    def _line_at(self, width_px: int, height_px: int) -> float:
        """Height of a line in a sheet of this size."""
        assert self._count is not None
        inner = _inner_of(QRectF(0, 0, width_px, height_px))
        return placed(self._count, inner, self.truth.marks, on_board=self._on_board).blocks.line_px

    def show_count(self, count: Count | None, *, way: str = "bars", blank: bool = False) -> None:
        """Show a fresh sheet for ``count``; ``blank`` hides the numbers; ``way`` is "bars" or "letters"."""
        self._count, self.way, self.blank = count, way, blank
        self.sounding, self.marks, self.missed, self.truth = None, (), frozenset(), SheetMarks()
        self._fallen_s = []
        self._even.begin()
        self._describe()
        self.update()

    def show_sounding(self, beat: int | None) -> None:
        """Mark the beat (row index of the count) that sounds now, or none; with less movement the one of its bar."""
        if beat is not None and self._count is not None and look.reduced_motion():
            beat = max(0, beat + 1 - int(self._count.beat_in_bar[beat]))
        if beat != self.sounding:
            self._update_line()
            self.sounding = beat
            self._update_line()

    @property
    def tapped(self) -> int:
        """How many taps were acknowledged since the sheet is fresh."""
        return len(self._fallen_s)

    def show_tap(self, at_s: float) -> None:
        """Acknowledge a tap, heard at this time of the sound; only its stroke is painted."""
        self._fallen_s.append(at_s)
        self._even.add()
        places = self._places()
        if places is None:
            inner = self._inner()
            changed = self._even.changed(inner, _lines(inner))
        else:
            changed = [fallen(places.at(at_s), places.blocks.line_px)]
        for box in changed:
            super().update(box.toAlignedRect())

    def update(self, *part: Any) -> None:
        """Paint the page anew; a part of it, as it is kept."""
        if not part:
            self._page = None
        super().update(*part)

    def _update_line(self) -> None:
        places = self._places()
        if places is not None and self.sounding is not None:
            super().update(_line_box(places, self.sounding))

    def show_marks(self, marks: tuple[Mark, ...], missed_s: Seconds) -> None:
        """Show the numbers and draw the taps; ``missed_s``: times of the targets without a tap, (n,)."""
        self.marks, self.blank, self.sounding, self._fallen_s = marks, False, None, []
        if self._count is not None and len(missed_s):
            nearest = np.abs(self._count.beats_s[:, None] - missed_s[None, :]).argmin(axis=0)
            self.missed = frozenset(int(beat) for beat in nearest)
        self._describe()
        self.update()

    def show_truth(self, truth: SheetMarks) -> None:
        """Show the marks of a trial's truth, and of the learner's answer."""
        self.truth, self.blank, self._placed = truth, False, None
        self._count = self._count if truth.count is None else truth.count
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
        if self._count is not None:
            for mark in self.truth.marks:
                if mark.say is not None:
                    row, words_of = row_of(self._count, mark.at_s), self.tr("{words}: bar {bar}, beat {beat}.")
                    bar, beat = self._bar(self._count, row), int(self._count.beat_in_bar[row])
                    words += " " + words_of.format(words=spoken(mark.say), bar=bar, beat=beat)
        self.setAccessibleDescription(words)

    def _bar(self, count: Count, row: int) -> int:
        """The number of a beat's bar, as it is written."""
        if not self.truth.through:
            return int(count.bar_in_phrase[row])
        return int(count.bar_number[row]) - max(0, int(count.bar_number[0]) - 1)

    def words_at(self, at: QPointF) -> str:
        """The whole words of a mark at a point of the sheet; empty if there are none."""
        places = self._places()
        shown = [] if places is None else laid_out(places, self.truth.marks)
        return next((each.whole for each in shown if each.place.contains(at)), "")

    def shift_at(self, at: QPointF) -> str:
        """The error of the tap at a point of the sheet, "+12 ms"; empty if there is none."""
        return next((words for place, words in self._strokes if place.contains(at)), "")

    def event(self, event: QEvent) -> bool:
        """Show a tap's error as a tool tip, as it does not always fit beside the tap."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            at = QPointF(event.pos())
            QToolTip.showText(event.globalPos(), self.shift_at(at) or self.words_at(at), self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the kept page, the line that sounds, then the strokes of taps."""
        places, inner = self._places(), self._inner()
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._kept_page())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if places is None:
            self._even.draw(painter, inner, _lines(inner))
        elif self.sounding is not None and _line_box(places, self.sounding).intersects(event.rect()):
            painter.save()
            painter.setClipRect(_line_box(places, self.sounding), Qt.ClipOperation.IntersectClip)
            self._draw_page(painter, self.sounding)
            painter.restore()
        if places is not None:
            line_px, part = places.blocks.line_px, QRectF(event.rect())
            for box in (fallen(places.at(at_s), line_px) for at_s in self._fallen_s):
                if box.intersects(part):
                    draw_fallen(painter, box, line_px)
        painter.end()

    def _inner(self) -> QRectF:
        """The page within its margins."""
        return _inner_of(QRectF(self.rect()))

    def _places(self) -> Places | None:
        """Places of the count, if it is shown."""
        if self._count is None or self.blank:
            return None
        key = (self._count, self.size(), look.px(1000))
        if self._placed is None or self._placed[0] != key:
            self._placed = key, placed(self._count, self._inner(), self.truth.marks, on_board=self._on_board)
        return self._placed[1]

    def _kept_page(self) -> QPixmap:
        """Paper and print in the present size and look."""
        ratio = self.devicePixelRatioF()
        key = (self.size(), ratio, look.worn(), look.px(1000))
        if self._page is None or self._page[0] != key:
            page = QPixmap(self.size() * ratio)
            page.setDevicePixelRatio(ratio)
            page.fill(look.colour("sheet"))
            painter = QPainter(page)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_page(painter, None)
            painter.end()
            self._page = key, page
        return self._page[1]

    def _draw_page(self, painter: QPainter, sounding: int | None) -> None:
        """Draw paper and print, or with a beat that sounds what lies near its line."""
        painter.setPen(QPen(look.colour("rule"), 1))
        painter.setBrush(look.colour("sheet"))
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        places = self._places()
        if places is None:
            self._draw_blank(painter, self._inner())
        else:
            self._draw_count(painter, places, sounding)

    def _draw_blank(self, painter: QPainter, inner: QRectF) -> None:
        lines = _lines(inner)
        painter.setPen(QPen(look.colour("rule"), 1))
        for row in range(1, lines + 1):
            y = round(inner.top() + row * inner.height() / lines) - 0.5
            painter.drawLine(QPointF(inner.left(), y), QPointF(inner.right(), y))

    def _draw_count(self, painter: QPainter, places: Places, sounding: int | None) -> None:
        place, cell, line_of, centre = places.blocks, places.cell_px, places.line_of, places.centre
        count = places.count
        beats = range(len(count)) if sounding is None else places.near(sounding)
        if sounding is not None:
            x, y = line_of(sounding)
            painter.fillRect(QRectF(x, y, place.column_px, place.line_px * 0.84), look.colour("wash"))
        rule = RULE_OVER_TAPS if self.marks or self.missed else RULE
        draw_behind(painter, places, self.truth.marks, rule)
        painter.setPen(QPen(look.colour("rule"), 1))
        for x, y in sorted({line_of(beat) for beat in beats}):  # a bar that is cut short has its rule, too
            foot = round(y + place.line_px * rule) - 0.5
            painter.drawLine(QPointF(x, foot), QPointF(x + place.column_px, foot))

        figure, head, tall = (0.64, 0.0, 0.84) if self._on_board else (0.52, 0.0, min(0.62, rule - 0.04))
        figure, head, tall = (share * place.line_px for share in (figure, head, tall))
        strong, plain = look.font(figure, serif=True, strong=True), look.font(figure * 0.88, serif=True)
        marked = look.font(figure * 0.88, serif=True, strong=True)
        for beat in beats:
            at = centre(beat)
            one = int(count.beat_in_bar[beat]) == 1
            text = str(self._bar(count, beat)) if one else self._word(int(count.beat_in_bar[beat]))
            now = beat == sounding
            painter.setFont(strong if one else marked if now else plain)
            painter.setPen(look.colour("pen" if now else "ink" if one else "soft_ink"))
            box = QRectF(at.x() - cell / 2, at.y() + head, cell, tall)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
            if beat in self.missed:
                painter.setPen(pen_of(look.colour("pen"), 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(_middle(painter, box, text), figure * 0.52, figure * 0.52)
            if now:
                foot = at.y() + place.line_px * rule
                painter.setPen(pen_of(look.colour("pen"), max(3.0, place.line_px / 16)))
                painter.drawLine(QPointF(at.x() - cell * 0.2, foot), QPointF(at.x() + cell * 0.2, foot))
        draw_over(painter, places, self.truth.marks, rule, (head + tall / 2) / place.line_px)
        self._draw_taps(painter, places, None if sounding is None else {line_of(beat)[1] for beat in beats})

    def _word(self, beat_in_bar: int) -> str:
        return LETTERS[beat_in_bar - 1] if self.way == "letters" else str(beat_in_bar)

    def _draw_taps(self, painter: QPainter, places: Places, tops: set[float] | None) -> None:
        """Draw the marks, or only those on lines with these tops."""
        place = places.blocks
        font = self._tag(place.line_px)
        if font is not None:
            painter.setFont(font)
        words: list[tuple[float, float, str]] = []
        drawn: list[tuple[Mark, float, float]] = []
        if tops is None:
            self._strokes.clear()
        for mark in self.marks:
            at = places.at(mark.at_s)
            if tops is None or at.y() in tops:
                drawn.append((mark, at.x(), at.y()))
        for mark, x, y in drawn:
            head, foot = y + place.line_px * 0.53, y + place.line_px * 0.94
            pen = look.colour("pen" if mark.counts else "edge")
            painter.setPen(pen_of(pen, max(2.0, place.line_px / 22)))
            painter.drawLine(QPointF(x + 1, head), QPointF(x - 1, foot))
            if not mark.counts:
                continue
            if mark.error_ms is None:
                arm, middle = place.line_px * 0.09, y + place.line_px * 0.78
                for way in (-1, 1):
                    painter.drawLine(QPointF(x - arm, middle - arm * way), QPointF(x + arm, middle + arm * way))
            elif mark.told:
                said = shift_text(mark.error_ms)
                if tops is None:
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


def _inner_of(sheet: QRectF) -> QRectF:
    margin = look.STEP_PX * 4
    page = sheet.adjusted(0.5, 0.5, -0.5, -0.5)
    return page.adjusted(margin, margin * 0.75, -margin, -margin * 0.75)


def _lines(inner: QRectF) -> int:
    """How many lines a blank page is ruled with."""
    return max(1, min(4, int(inner.height() // look.px(LOWEST_PX))))


def _line_box(places: Places, beat: int) -> QRect:
    """What the mark of a sounding beat may change: its line, down to below the rule."""
    x, y = places.line_of(beat)
    line_px = places.blocks.line_px
    return QRectF(x, y, places.blocks.column_px, line_px * (RULE + 1 / 32) + 2).toAlignedRect()
