"""The days of practice: this month and the ones before as on a paper calendar, with a stroke on each of those days.

A day without practice is a number like any other.
"""

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtCore import QLocale, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import day_words
from app.ui.base.words import counted
from app.ui.charts.content import Content
from app.ui.charts.picture import Picture
from exercises.logbook.history import PracticeDay
from exercises.progress.summary import MINUTE, MINUTES, TRIAL, TRIALS
from synth.device.clock import today

MOST_MONTHS = 3
# Least width of a month and height of a week at 100 % text size; lines of a month: its name, the weekdays, six weeks.
MONTH_PX, WEEK_PX, LINES = 216, 26, 8
GAP_PX = 40


def months(days: Sequence[PracticeDay], now: date, most: int) -> list[date]:
    """First days of the months shown, oldest first: from the first practice on, at most ``most``, up to this one."""
    first = min((each.day for each in days if each.day <= now), default=now).replace(day=1)
    found = [now.replace(day=1)]
    while len(found) < most and found[0] > first:
        found.insert(0, (found[0] - timedelta(days=1)).replace(day=1))
    return found


class CalendarPicture(Picture):
    """Practice days by month. The arrow keys and the mouse mark a day of practice; ``said`` carries it in words."""

    KEYS = Qt.Key.Key_Left, Qt.Key.Key_Right

    def __init__(self) -> None:
        super().__init__()
        self._days: Sequence[PracticeDay] = ()
        self._now = today()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(2 * look.px(MONTH_PX), LINES * look.px(WEEK_PX))

    def minimumSizeHint(self) -> QSize:
        return QSize(look.px(MONTH_PX), self.sizeHint().height())

    def show_page(self, page: Content) -> bool:
        self._days, self._now, self.marked = page.calendar, today(), None
        self.setAccessibleDescription(" ".join(map(self.words, range(len(self.shown())))))
        self.said.emit("")
        self.update()
        return bool(self._days)

    def _months(self) -> list[date]:
        room = int((self.width() + GAP_PX) // (look.px(MONTH_PX) + GAP_PX))
        return months(self._days, self._now, max(1, min(MOST_MONTHS, room)))

    def shown(self) -> list[PracticeDay]:
        """The days of practice in the months shown."""
        first = self._months()[0]
        return [each for each in self._days if first <= each.day <= self._now]

    def count(self) -> int:
        return len(self.shown())

    def words(self, at: int) -> str:
        each = self.shown()[at]
        return self.tr("{day}: {minutes}, {trials}.").format(
            day=day_words(each.day),
            minutes=counted(max(1, round(each.spent_s / 60)), MINUTE, MINUTES),
            trials=counted(each.trials, TRIAL, TRIALS),
        )

    def _cell(self, day: date) -> QRectF:
        """Where a day of a month that is shown stands."""
        wide, high, left = look.px(MONTH_PX), look.px(WEEK_PX), self._left(day.replace(day=1))
        first = QLocale().firstDayOfWeek().value
        column = (day.isoweekday() - first) % 7
        row = (day.day - 1 + (day.replace(day=1).isoweekday() - first) % 7) // 7
        return QRectF(left + column * wide / 7, (row + 2) * high, wide / 7, high)

    def paint(self, painter: QPainter, marked: int | None) -> None:
        practised, high = self.shown(), look.px(WEEK_PX)
        days = {each.day for each in practised}
        chosen = None if marked is None or marked >= len(practised) else practised[marked].day
        text, bold = look.font(look.px(look.TYPE.small)), look.font(look.px(look.TYPE.body), strong=True)
        for month in self._months():
            left = self._left(month)
            painter.setFont(bold)
            painter.setPen(look.colour("ink"))
            name = f"{QLocale().standaloneMonthName(month.month)} {month.year}"
            where = QRectF(left, 0, look.px(MONTH_PX), high)
            painter.drawText(where, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, name)
            painter.setFont(text)
            painter.setPen(look.colour("soft_ink"))
            for column in range(7):
                weekday = (QLocale().firstDayOfWeek().value - 1 + column) % 7 + 1
                cell = QRectF(left + column * look.px(MONTH_PX) / 7, high, look.px(MONTH_PX) / 7, high)
                letter = QLocale().standaloneDayName(weekday, QLocale.FormatType.NarrowFormat)
                painter.drawText(cell, Qt.AlignmentFlag.AlignCenter, letter)
            day = month
            while day.month == month.month:
                self._draw_day(painter, day, day in days, day == chosen)
                day += timedelta(days=1)

    def _left(self, month: date) -> float:
        return float(self._months().index(month) * (look.px(MONTH_PX) + GAP_PX))

    def _draw_day(self, painter: QPainter, day: date, practised: bool, chosen: bool) -> None:
        cell = self._cell(day)
        if chosen:
            painter.fillRect(cell, look.colour("wash"))
        painter.setPen(look.colour("ink" if practised else "soft_ink"))
        painter.drawText(cell, Qt.AlignmentFlag.AlignCenter, str(day.day))
        if practised:
            pen = QPen(look.colour("pen"), max(2.0, cell.height() / 10))
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            x, high = cell.center().x() + look.px(look.TYPE.small) * 0.95, cell.height() * 0.32
            painter.drawLine(QPointF(x - 1, cell.center().y() + high), QPointF(x + 1, cell.center().y() - high))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = next((n for n, each in enumerate(self.shown()) if self._cell(each.day).contains(event.position())), None)
        if at is not None and at != self.marked:
            self.mark(at)
