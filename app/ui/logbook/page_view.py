"""The page of the logbook screen: cards with words and pictures, and the latest trials."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.charts.calendar import CalendarPicture
from app.ui.charts.confusions import ConfusionPicture
from app.ui.charts.content import Content
from app.ui.charts.ladder import LadderPicture
from app.ui.charts.logbook_charts import KINDS
from app.ui.charts.picture import Picture
from app.ui.charts.picture_card import PictureCard
from app.ui.logbook.logbook_words import LogbookWords, Told
from app.ui.logbook.trials_table import TrialsTable
from app.ui.widgets.controls import button, label, take_out
from app.ui.widgets.screens import ScrollPage

# Pictures of a drill in their order, below the spread.
OF_DRILL = ("share", "bias", "rung", "beat", "wrong", "lost")


class WordsCard(QFrame):
    """Sentences on a card, the first of them larger."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        step = look.STEP_PX
        self._sides = QHBoxLayout(self)
        self._sides.setContentsMargins(step * 3, step * 2, step * 3, step * 2)
        self._sides.setSpacing(step * 8)
        self._columns = QVBoxLayout(), QVBoxLayout()
        for column in self._columns:
            column.setSpacing(step)
            self._sides.addLayout(column, 1)

    def show_told(self, told: Told, *, wide: bool) -> None:
        """Show sentences; ``wide``: those with a heading of their own beside the others instead of below."""
        for column in self._columns:
            for part in take_out(column):
                part.deleteLater()
        first, second = self._columns if wide else (self._columns[0], self._columns[0])
        self._sides.setStretch(1, int(wide))
        self._sides.setSpacing(look.STEP_PX * 8 if wide else 0)
        self._add(first, told.lead, "lead")
        for line in told.lines:
            self._add(first, line, "body")
        if told.more:
            if not wide:
                first.addSpacing(look.STEP_PX)
            self._add(second, told.heading, "name")
            for line in told.more:
                self._add(second, line, "body")
        for column in self._columns:
            column.addStretch(1)

    def _add(self, column: QVBoxLayout, text: str, kind: str) -> None:
        if text:
            column.addWidget(label(text, kind, wrap=True))


class LogbookPage(ScrollPage):
    """Shows a ``Content``, one step a turn of the event loop, so that keys and the mouse get theirs between.

    ``chosen`` brings the drill that was chosen on the ladder, ``troubled`` a line where a picture could not be kept.
    ``shown`` is emitted when everything is there, ``opened`` with a trial that was chosen from the list,
    ``earlier`` where more of them are asked for.
    """

    chosen = Signal(str)
    troubled = Signal(str)
    shown = Signal()
    opened = Signal(object)
    earlier = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._say = LogbookWords(self)
        self.page: Content | None = None
        self._narrow = False
        self.words: WordsCard | None = None
        self.table: TrialsTable | None = None
        self.cards: dict[str, PictureCard] = {}
        self._steps: deque[Callable[[], object]] = deque()
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.timeout.connect(self._next)
        step = look.STEP_PX
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, step)
        self._grid.setSpacing(step * 2)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)

    @property
    def busy(self) -> bool:
        """Whether steps are still waiting."""
        return bool(self._steps)

    def prepare(self) -> None:
        """Make the widgets of the first page while its content is being read."""
        self._later(self._words, lambda: self._card("ladder"), self._latest)

    def show_page(self, page: Content) -> None:
        """Show other content."""
        self.page = page
        # Paint once at the end, not after every step.
        self.setUpdatesEnabled(False)
        self._steps.clear()
        self._later(self._take_out, *(self._of_all(page) if page.question.drill is None else self._of_drill(page)))

    def clear(self) -> None:
        """Show nothing."""
        self.page = None
        self._steps.clear()
        self._take_out()
        self.setUpdatesEnabled(True)

    def arrange(self, narrow: bool) -> None:
        """Arrange everything stacked, or side by side."""
        if narrow != self._narrow:
            self._narrow = narrow
            if self.page is not None:
                self.show_page(self.page)

    # Steps.

    def _later(self, *steps: Callable[[], object]) -> None:
        self._steps += steps
        self._turn.start(0)

    def _next(self) -> None:
        if self._steps:
            try:
                self._steps.popleft()()
            except BaseException:  # an error in one picture must not leave the page blank
                self.setUpdatesEnabled(True)
                raise
        if self._steps:
            self._turn.start(0)

    def _take_out(self) -> None:
        for part in take_out(self._grid):
            part.hide()

    def _finish(self) -> None:
        self.setUpdatesEnabled(True)
        self.shown.emit()

    def _of_all(self, page: Content) -> list[Callable[[], object]]:
        # The second row, below the words, takes the rest of the ladder's height.
        self._grid.setRowStretch(1, 1)
        return [
            lambda: self._put_picture("ladder", page, 0, 0, 2, 1),
            lambda: self._put_words(page, 0, 1),
            lambda: self._put_picture("minutes", page, 1, 1),
            lambda: self._put_picture("calendar", page, 2, 0, 1, 2),
            self._put_table,
            self._finish,
        ]

    def _of_drill(self, page: Content) -> list[Callable[[], object]]:
        self._grid.setRowStretch(1, 0)

        def put(name: str) -> Callable[[], object]:
            return lambda: self._put_picture(name, page, *self._free())

        return [
            lambda: self._put_words(page, 0, 0, 1, 2),
            lambda: self._put_picture("spread", page, 1, 0, 1, 2),
            *map(put, OF_DRILL),
            self._put_table,
            self._finish,
        ]

    # Places.

    def _put(self, part: QWidget, line: int, column: int, lines: int = 1, columns: int = 1) -> None:
        if self._narrow:  # stacked: the left column, then the right one
            line, column, lines, columns = 2 * line + column, 0, 1, 2
        self._grid.addWidget(part, line, column, lines, columns)
        part.show()

    def places(self) -> list[tuple[int, int, int, int]]:
        """Line, column, lines and columns of each part."""
        return [cast(tuple[int, int, int, int], self._grid.getItemPosition(at)) for at in range(self._grid.count())]

    def _free(self) -> tuple[int, int]:
        """The next free half of a line below everything."""
        taken = self.places()
        line = max((first for first, *_ in taken), default=0)
        if self._narrow:
            return line // 2 + 1, 0
        alone = [each for each in taken if each[0] == line]
        if line >= 2 and alone == [(line, 0, 1, 1)]:
            return line, 1
        return max(2, line + 1), 0

    def _put_words(self, page: Content, line: int, column: int, lines: int = 1, columns: int = 1) -> None:
        self._words()
        assert self.words is not None
        self.words.show_told(self._say.words(page), wide=columns > 1 and not self._narrow)
        self._put(self.words, line, column, lines, columns)

    def _put_picture(
        self, name: str, page: Content, line: int, column: int, lines: int = 1, columns: int = 1
    ) -> None:
        card = self._card(name)
        card.stamp = self._say.stamp(page)
        if name == "spread":
            card.set_note(self._say.spread_note(page))
        if card.picture.show_page(page):
            self._put(card, line, column, lines, columns)

    def _put_table(self) -> None:
        assert self.page is not None
        self._widen_last()
        heading, table = self._latest()
        line = 2 + max((first for first, *_ in self.places()), default=0)
        table.show_trials(self.page.latest)
        self._put(heading, line, 0, 1, 2)
        self._put(table, line + 1, 0, 1, 2)
        if len(self.page.latest) == self.page.question.listed:
            self._put(self._more, line + 2, 0, 1, 1)

    def _widen_last(self) -> None:
        """Let a single card in the last line take its whole width."""
        line, column = self._free()
        if column == 1 and not self._narrow:
            item = self._grid.itemAtPosition(line, 0)
            card = None if item is None else item.widget()
            if card is not None:
                self._grid.removeWidget(card)
                self._grid.addWidget(card, line, 0, 1, 2)

    # Making.

    def _words(self) -> None:
        if self.words is None:
            self.words = WordsCard()
            self._hold(self.words)

    def _latest(self) -> tuple[QWidget, TrialsTable]:
        if self.table is None:
            self._heading = label(self.tr("The latest trials: a double click opens one"), "name")
            self.table = TrialsTable()
            self.table.opened.connect(self.opened)
            self._more = button(
                self.tr("Earlier trials"), self.tr("Lists trials before these as well, so that they can be opened.")
            )
            self._more.clicked.connect(self.earlier)
            self._hold(self._heading)
            self._hold(self.table)
            self._hold(self._more)
        return self._heading, self.table

    def _card(self, name: str) -> PictureCard:
        """A card by its name, made on first use."""
        card = self.cards.get(name)
        if card is None:
            title, note = self._say.card(name)
            card = self.cards[name] = PictureCard(self._picture(name), title, note)
            card.troubled.connect(self.troubled)
            self._hold(card)
        return card

    def _picture(self, name: str) -> Picture:
        if name == "ladder":
            ladder = LadderPicture()
            ladder.chosen.connect(self.chosen)
            return ladder
        if name == "calendar":
            return CalendarPicture()
        return ConfusionPicture() if name == "wrong" else KINDS[name]()

    def _hold(self, part: QWidget) -> None:
        part.hide()
        part.setParent(self)
