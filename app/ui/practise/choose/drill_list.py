"""The drills along the ladder as a list: what each asks, its rung, and when it was last practised."""

from collections.abc import Sequence
from datetime import date
from enum import IntFlag
from typing import Any

from PySide6.QtCore import QAbstractListModel, QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QPainter, QResizeEvent
from PySide6.QtWidgets import QListView, QSizePolicy, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.practice.choosing import OnLadder
from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import day_words
from app.ui.base.words import spoken
from app.ui.widgets.controls import named, quiet
from exercises.drills import drills
from exercises.forms.drill import INTRODUCTION
from exercises.trial.trial import Kind

Index = QModelIndex | QPersistentModelIndex
# From this width on (at 100 % text size) a drill takes one line: its title has so many px, and its words the rest.
ONE_LINE_PX, TITLE_PX = 960, 232
# Days after which a date says more than their number.
MOST_DAYS = 30
# Size of a row, and its texts, the title first: place from the row's corner, text, colour, alignment.
_Parts = tuple[QSize, list[tuple[QRect, str, str, IntFlag]]]
WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class DrillsModel(QAbstractListModel):
    """The drills as rows: title, words, rung and day, in this order; as one text for a screen reader."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: Sequence[tuple[str, tuple[str, str, str, str]]] = ()
        self._shown: tuple[Sequence[OnLadder], date] | None = None

    def show_ladder(self, ladder: Sequence[OnLadder], today: date) -> None:
        """Replace the rows; the drills stay the same ones."""
        if self._shown == (ladder, today):
            return
        self._shown = ladder, today
        rows = [(each.drill, self._texts(each, today)) for each in ladder]
        if len(rows) != len(self.rows):
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
        elif rows != self.rows:
            self.rows = rows
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))

    def _texts(self, each: OnLadder, today: date) -> tuple[str, str, str, str]:
        one = drills()[each.drill]
        rung = (
            self.tr("Introduction")
            if each.rung == INTRODUCTION
            else self.tr("Rung {n} of {all}").format(n=each.rung, all=len(one.rungs))
        )
        when = self.tr("not marked") if one.kind is Kind.NONE else self._when(each.last, today)
        return spoken(one.title()), spoken((one.short or one.asks)()), rung, when

    def _when(self, last: date | None, today: date) -> str:
        if last is None:
            return self.tr("not yet")
        ago = (today - last).days
        if ago <= 0:
            return self.tr("today")
        if ago == 1:
            return self.tr("yesterday")
        return self.tr("{n} days ago").format(n=ago) if ago <= MOST_DAYS else day_words(last)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = 0) -> Any:
        """The title, or everything for a screen reader."""
        title, words, rung, when = self.rows[index.row()][1]
        if role == Qt.ItemDataRole.DisplayRole:
            return title
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.tr("{title}. {words} {rung}. Practised: {when}.").format(
                title=title, words=words, rung=rung, when=when
            )
        return None


class _Row(QStyledItemDelegate):
    """Paints a drill in one line or, where there is less room, its words below its title."""

    def __init__(self, view: "DrillList") -> None:
        super().__init__(view)
        self._view = view
        self._laid_for: Any = None
        self._laid: dict[int, _Parts] = {}
        self._aside = 0

    def _parts(self, index: Index) -> _Parts:
        """Size of a row and its texts, laid out once for these rows, this width and this text size."""
        rows, width = self._view.drills.rows, self._view.viewport().width()
        laid_for = rows, width, look.px(look.TYPE.body)
        if laid_for != self._laid_for:
            self._laid_for, self._laid = laid_for, {}
            self._plain, self._large = QFontMetrics(_font()), QFontMetrics(_font(title=True))
            advance = self._plain.horizontalAdvance
            self._aside = max(advance(text) for _, row in rows for text in row[2:]) + look.STEP_PX
        if index.row() not in self._laid:
            self._laid[index.row()] = self._lay_out(rows[index.row()][1], width, self._aside)
        return self._laid[index.row()]

    def _lay_out(self, texts: tuple[str, str, str, str], width: int, aside: int) -> _Parts:
        title, words, rung, when = texts
        step, plain, large = look.STEP_PX, self._plain, self._large
        left, right = step * 2, width - step * 2 - aside
        one_line = width >= look.px(ONE_LINE_PX)
        rung_px = aside if one_line else 0
        at = left + (look.px(TITLE_PX) if one_line else 0)
        room = QRect(0, 0, right - rung_px - at - step * 2, 10_000)
        height = plain.boundingRect(room, WRAPPED, words).height()
        top = step if one_line else step + large.height()
        whole = max(look.TARGET_PX, top + height + step)
        aligned = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if one_line:
            places = [
                (QRect(left, 0, at - left - step, whole), title, "ink", WRAPPED),
                (QRect(at, 0, room.width(), whole), words, "ink", WRAPPED),
                (QRect(right - rung_px, 0, rung_px, whole), rung, "ink", aligned),
                (QRect(right, 0, aside, whole), when, "soft_ink", aligned),
            ]
        else:
            places = [
                (QRect(left, step, right - left - step, large.height()), title, "ink", WRAPPED),
                (QRect(left, top, room.width(), height), words, "ink", WRAPPED),
                (QRect(right, step, aside, large.height()), rung, "ink", aligned),
                (QRect(right, top, aside, plain.height()), when, "soft_ink", aligned),
            ]
        return QSize(width, whole), places

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return self._parts(index)[0]

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        rect: QRect = option.rect
        state = option.state
        painter.save()
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, look.colour("wash"))
            painter.fillRect(QRect(rect.x(), rect.y(), 4, rect.height()), look.colour("pen"))
            if self._view.hasFocus():
                painter.setPen(look.colour("ink"))
                for inset in (0, 1):
                    painter.drawRect(rect.adjusted(inset, inset, -1 - inset, -1 - inset))
        elif index.row():
            painter.fillRect(QRect(rect.x(), rect.y(), rect.width(), 1), look.colour("rule"))
        for number, (place, text, colour, aligned) in enumerate(self._parts(index)[1]):
            painter.setFont(_font(title=number == 0))
            painter.setPen(look.colour(colour))
            painter.drawText(place.translated(rect.topLeft()), aligned, text)
        painter.restore()


class DrillList(QListView):
    """The list: the arrows or a click choose, a double click starts.

    ``chosen`` carries the id of another drill when the learner goes to it.
    """

    chosen = Signal(str)
    started = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("drills")
        self.drills = DrillsModel()
        self.setModel(self.drills)
        self.setItemDelegate(_Row(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.setTabKeyNavigation(False)
        named(self, self.tr("Drills"), self.tr("Along the ladder. The up and down arrows choose, Return starts."))
        self.selectionModel().currentChanged.connect(lambda now, _before: self._tell(now))
        self.doubleClicked.connect(lambda _: self.started.emit())

    def show_ladder(self, ladder: Sequence[OnLadder], drill: str, today: date) -> None:
        """Show the drills with ``drill`` as the chosen one, without emitting ``chosen``."""
        with quiet(self.selectionModel()):
            self.drills.show_ladder(ladder, today)
            at = next((row for row, each in enumerate(ladder) if each.drill == drill), 0)
            if self.currentIndex().row() != at:
                self.setCurrentIndex(self.drills.index(at))
        self.viewport().update()

    def _tell(self, now: Index) -> None:
        if now.isValid():
            self.chosen.emit(self.drills.rows[now.row()][0])

    def keyboardSearch(self, _search: str) -> None:
        """Letters are keys of the screen."""

    def _lay_out(self) -> None:
        self.setMinimumHeight(2 * max(look.TARGET_PX, look.px(2 * look.TYPE.lead) + look.STEP_PX))
        self.scheduleDelayedItemsLayout()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out for another width; the chosen one stays in sight."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._lay_out()
        self.scrollTo(self.currentIndex())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._lay_out()


def _font(*, title: bool = False) -> Any:
    return look.font(look.px(look.TYPE.lead if title else look.TYPE.body), serif=title, strong=title)
