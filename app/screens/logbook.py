"""The logbook screen: where the learner stands, whether practice shows, and the latest trials."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QFileDialog, QFrame, QGridLayout, QVBoxLayout, QWidget

from app import theme as look
from app.garbage import collect_here
from app.lines import lined
from app.reading import Page, Question, Reader
from app.widgets.confusions import ConfusionPicture, confusions
from app.widgets.controls import button, label, named, row
from app.widgets.flow import Flow
from app.widgets.ladder import LadderPicture
from app.widgets.picture_card import PictureCard
from app.widgets.screens import Page as Paper
from app.widgets.screens import Scrolled
from app.widgets.trials import TrialsTable
from app.words import dated, day_words, spoken
from exercises.drills import drills
from exercises.logbook.history import band_says
from exercises.logbook.store import Logbook
from synth.errors import Trouble

# Narrower than this (at 100 % text size) everything stands one below the other.
SIDE_BY_SIDE_PX = 900


class WordsCard(QFrame):
    """Sentences on a card, the first of them larger."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        self._lines = QVBoxLayout(self)
        step = look.STEP_PX
        self._lines.setContentsMargins(step * 3, step * 2, step * 3, step * 2)
        self._lines.setSpacing(step)

    def show_lines(self, lead: str, lines: list[str], heading: str = "", more: list[str] | None = None) -> None:
        """Show a leading sentence, others, and below a heading more of them."""
        while self._lines.count():
            part = self._lines.takeAt(0).widget()
            if part is not None:
                part.deleteLater()
        self._add(lead, "lead")
        for line in lines:
            self._add(line, "body")
        if more:
            self._lines.addSpacing(look.STEP_PX)
            self._add(heading, "name")
            for line in more:
                self._add(line, "body")
        self._lines.addStretch(1)

    def _add(self, text: str, kind: str) -> None:
        if text:
            self._lines.addWidget(label(text, kind, wrap=True))


class LogbookScreen(QWidget):
    """Pictures and words of a learner's practice, in all drills or in one. Everything is read by a thread.

    ``shown`` is emitted when all that was read is on the screen.
    """

    shown = Signal()
    _reported = Signal(str)

    def __init__(self, logbook: Logbook | None, learner: str | None = None) -> None:
        super().__init__()
        self.setObjectName("screen")
        collect_here()  # charts leave much behind when they are drawn anew, and the reader is a thread
        self._theme = _theme_now()
        self._question = Question(learner)
        self.page: Page | None = None
        self._charts: Any = None
        self._asked, self._narrow = False, False
        self._steps: list[Callable[[], None]] = []
        self._reader = None if logbook is None else Reader(logbook.path, self)
        if self._reader is not None:
            self._reader.read.connect(self._show)
            self._reader.charts_loaded.connect(self._use_charts)
        self._reported.connect(self._say)
        self._build()

    # Layout.

    def _build(self) -> None:
        self._learner, self._drill, self._band = QComboBox(), QComboBox(), QComboBox()
        for box, name, about in (
            (self._learner, self.tr("Learner"), self.tr("Whose practice is shown.")),
            (self._drill, self.tr("Drill"), self.tr("Which drill is shown.")),
            (self._band, self.tr("Tempo"), self.tr("Which tempos are shown.")),
        ):
            named(box, name, about)
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
            box.activated.connect(self._choose)
            box.hide()
        self.report = button(
            self.tr("Report for the tutor…"), self.tr("One page as PDF: what was practised, and what to work on.")
        )
        self.report.setToolTip(self.report.accessibleDescription())
        self.report.clicked.connect(self._ask_report)
        self.report.hide()
        self._stamp = label("", "key")
        self._line = label("", "soft", wrap=True)
        self._line.setMinimumHeight(look.px(24))
        self._empty = label("", "lead", wrap=True)
        self._empty.hide()
        self._words = WordsCard()
        self._ladder_card = PictureCard(
            LadderPicture(self._theme),
            self.tr("The ladder"),
            self._theme,
            self.tr("Dot: the rung that suits you. Bar: your level with 95 % probability. A click opens the drill."),
        )
        self._ladder_card.picture.chosen.connect(self.open_drill)  # type: ignore[attr-defined]
        self._wrong_card = PictureCard(
            ConfusionPicture(self._theme), self.tr("What was taken for what"), self._theme, self._wrong_note()
        )
        self._table = TrialsTable()
        self._latest = label(self.tr("The latest trials"), "name")
        self._cards: dict[str, PictureCard] = {"ladder": self._ladder_card, "wrong": self._wrong_card}
        for card in self._cards.values():
            card.troubled.connect(self._say)

        step = look.STEP_PX
        content = Paper()
        self._grid = QGridLayout(content)
        self._grid.setContentsMargins(0, 0, step, step)
        self._grid.setSpacing(step * 2)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)
        for part in (self._words, *self._cards.values(), self._latest, self._table):
            part.hide()
            part.setParent(content)
        self._scroll = Scrolled(content)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 5, step * 3, step * 4, 0)
        column.setSpacing(step)
        title = label(self.tr("Logbook"), "title")
        parts = (title, self._learner, self._drill, self._band, self.report)
        column.addLayout(Flow(*parts, gap_px=step * 2, last_at_end=True))
        self._stamp.hide()
        below = row(self._stamp, self._line)
        below.setStretch(1, 1)
        column.addLayout(below)
        column.addWidget(self._empty)
        column.addWidget(self._scroll, 1)

    def _wrong_note(self) -> str:
        return self.tr("Wrong answers of the last 200 trials, the most frequent first.")

    # Reading.

    def refresh(self) -> None:
        """Read what is shown again."""
        if self._reader is None:
            self._tell_empty(self.tr("Nothing is being saved at present."))
            self.shown.emit()
            return
        self._line.setText(self.tr("Reading the logbook …"))
        self._asked = True
        self._reader.ask(self._question)

    def show_learner(self, learner: str) -> None:
        """Show another learner from the next reading on."""
        self._question = Question(learner)

    @property
    def settled(self) -> bool:
        """Whether everything that was asked for is on the screen, the charts included."""
        return self._reader is None or (not self._asked and not self._steps and self._charts is not None)

    def wait(self) -> None:
        """Wait until everything is read and shown, for pictures of the window."""
        from PySide6.QtWidgets import QApplication

        if self._reader is not None:
            self._reader.wait()
        QApplication.processEvents()
        while self._steps:
            QApplication.processEvents()

    def _show(self, found: Page | Trouble) -> None:
        self._asked = False
        if isinstance(found, Trouble):
            self._say(str(found))
            return
        if self.page is not None and self.page.question != found.question:
            self._scroll.verticalScrollBar().setValue(0)
        self.page, self._question = found, found.question
        if not found.learners:
            self._tell_empty(self.tr("Nothing here yet. Your first trial will be the first line."))
            self.shown.emit()
            return
        self._empty.hide()
        self._line.setText("")
        self._fill_boxes(found)
        self._stamp.setText(self._stamp_words(found))
        self._stamp.setVisible(bool(found.invented))
        self.report.show()
        self._place(found)

    def _tell_empty(self, text: str) -> None:
        self._line.setText("")
        self._empty.setText(text)
        self._empty.show()
        self._table.hide()

    def _say(self, text: str) -> None:
        self._line.setText(text)

    def _stamp_words(self, page: Page) -> str:
        if not page.invented:
            return ""
        if page.invented >= page.trials:
            return self.tr("Invented: a simulated learner")
        return self.tr("{n} trials here are invented").format(n=page.invented)

    def _fill_boxes(self, page: Page) -> None:
        asked = page.question
        practised = [place.drill for place in page.places if place.last is not None]
        rows: tuple[tuple[QComboBox, list[tuple[str, Any]], Any], ...] = (
            (self._learner, [(name, name) for name in page.learners], asked.learner),
            (
                self._drill,
                [(self.tr("All drills"), None), *((spoken(drills()[id].title()), id) for id in practised)],
                asked.drill,
            ),
            (
                self._band,
                [(self.tr("All tempos"), None), *((spoken(band_says(band)), band) for band in page.bands)],
                asked.band,
            ),
        )
        for box, entries, now in rows:
            with QSignalBlocker(box):
                box.clear()
                for text, value in entries:
                    box.addItem(text, value)
                box.setCurrentIndex(max(0, [value for _, value in entries].index(now)))
        self._learner.setVisible(len(page.learners) > 1)
        self._drill.setVisible(bool(practised))
        self._band.setVisible(len(page.bands) > 1)

    def _choose(self) -> None:
        drill = self._drill.currentData()
        band = self._band.currentData() if drill == self._question.drill else None
        self._question = Question(self._learner.currentData(), drill, band)
        self.refresh()

    def open_drill(self, drill: str) -> None:
        """Show one drill."""
        self._question = Question(self._question.learner, drill)
        self.refresh()

    # Showing.

    def _place(self, page: Page) -> None:
        # Painted once when all is in its place, not after every step.
        self._scroll.widget().setUpdatesEnabled(False)
        while self._grid.count():
            part = self._grid.takeAt(0).widget()
            if part is not None:
                part.hide()
        self._steps.clear()
        if page.question.drill is None:
            self._place_all(page)
        else:
            self._place_drill(page)
        self._steps.append(self._place_table)
        QTimer.singleShot(0, self, self._next)

    def _place_all(self, page: Page) -> None:
        from exercises.logbook.summary import THIS_WEEK, head  # read by the reader's thread before

        first = head(page.question.learner, page.weeks)
        lines = []
        if page.weeks:
            last = page.weeks[-1]
            lines = [spoken(THIS_WEEK(minutes=round(last.spent_s / 60), listening=round(last.sound_s / 60)))]
        more = [
            self.tr("{drill}: {what}").format(
                drill=spoken(drills()[task.drill].title()), what=spoken(dated(task.say))
            )
            for task in page.tasks
        ]
        self._words.show_lines(spoken(first), lines, self.tr("What to work on"), more)
        self._ladder_card.picture.show_places(page.places)  # type: ignore[attr-defined]
        self._put(self._ladder_card, 0, 0, 2, 1)
        self._put(self._words, 0, 1)
        if self._charts is not None:
            self._steps.append(lambda: self._put_chart("minutes", page, 1, 1))

    def _place_drill(self, page: Page) -> None:
        assert page.trend is not None
        lead, *lines = [spoken(dated(say)) for say in page.trend.verdict] or [""]
        weeks = page.trend.weeks
        if weeks is not None and weeks.change_ms.value >= 0:
            text = self.tr(
                "No week was closer than the first, from {first} (the best: {by} ms wider, 95 %: {low} to {high} ms)."
            )
            change = weeks.change_ms
            lines.append(
                text.format(
                    first=day_words(weeks.first),
                    by=round(change.value),
                    low=round(change.low),
                    high=round(change.high),
                )
            )
        elif weeks is None and any(day.spreads for day in page.trend.days):
            lines.append(
                self.tr(
                    "Best week against the first: too early; that takes two weeks of three days each on one device."
                )
            )
        wrong = page.mistakes
        more = [spoken(dated(say)) for say in wrong.verdict] if wrong is not None else []
        self._words.show_lines(lead, lines, self.tr("Mistakes"), more)
        self._put(self._words, 0, 0, 1, 2)
        if wrong is not None and wrong.said:
            self._steps.append(lambda: self._put_wrong(page))
        if self._charts is not None:
            self._steps[:0] = [
                lambda: self._put_chart("spread", page, 1, 0, 1, 2),
                *(lambda name=name: self._put_next(name, page) for name in ("share", "bias", "rung", "beat")),  # type: ignore[misc]
            ]
            self._steps.append(lambda: self._put_next("lost", page))

    def _put(self, part: QWidget, line: int, column: int, lines: int = 1, columns: int = 1) -> None:
        if self._narrow:  # one below the other: what was at the left, then what was at the right
            line, column, lines, columns = 2 * line + column, 0, 1, 2
        self._grid.addWidget(part, line, column, lines, columns)
        part.show()

    def _free(self) -> tuple[int, int]:
        """The next free half of a line below everything."""
        taken = [self._grid.getItemPosition(at) for at in range(self._grid.count())]
        line = max((first for first, *_ in taken), default=0)
        if self._narrow:
            return line // 2 + 1, 0
        alone = [each for each in taken if each[0] == line]
        if line >= 2 and alone == [(line, 0, 1, 1)]:
            return line, 1
        return max(2, line + 1), 0

    def _put_wrong(self, page: Page) -> None:
        assert page.mistakes is not None
        self._wrong_card.stamp = self._stamp_words(page)
        rows = confusions(page.mistakes.said, dict(page.answers))
        self._wrong_card.picture.show_rows(rows)  # type: ignore[attr-defined]
        self._put(self._wrong_card, *self._free())

    def _put_next(self, name: str, page: Page) -> None:
        self._put_chart(name, page, *self._free())

    def _put_chart(self, name: str, page: Page, line: int, column: int, lines: int = 1, columns: int = 1) -> None:
        card = self._cards.get(name) or self._make_card(name)
        card.stamp = self._stamp_words(page)
        if name == "spread":
            card.set_note(self._spread_note(page))
        self._put(card, line, column, lines, columns)
        if not card.picture.show_page(page):  # type: ignore[attr-defined]
            self._grid.removeWidget(card)
            card.hide()

    def _make_card(self, name: str) -> PictureCard:
        kind, title, note = {
            "spread": (self._charts.SpreadChart, self.tr("Spread"), ""),
            "share": (
                self._charts.ShareChart,
                self.tr("Answers that were right, in %"),
                self.tr("By the week, the last 60 at most; the line at each point is its 95 % interval."),
            ),
            "bias": (
                self._charts.BiasChart,
                self.tr("Early and late, in ms"),
                self.tr("Below the line early, above it late; only where the device is calibrated."),
            ),
            "rung": (
                self._charts.RungChart,
                self.tr("The rung practised"),
                self.tr("By the week, the last 60 at most."),
            ),
            "minutes": (
                self._charts.MinutesChart,
                self.tr("Minutes of practice"),
                self.tr("By the week, the last 60 at most; the filled part is listening."),
            ),
            "lost": (
                self._charts.LostChart,
                self.tr("Where the count is lost"),
                self.tr("Share of the targets missed, in %, by the bar of the phrase; the last 200 trials."),
            ),
            "beat": (
                self._charts.BeatChart,
                self.tr("Where your one fell"),
                self.tr("Share of your taps, in %, by the beat of the bar; the last 200 trials."),
            ),
        }[name]
        card = PictureCard(kind(self._theme), title, self._theme, note)
        card.setParent(self._scroll.widget())
        card.troubled.connect(self._say)
        self._cards[name] = card
        return card

    def _spread_note(self, page: Page) -> str:
        assert page.trend is not None
        if page.trend.curve is None:
            return self.tr(
                "In ms, day by day over your practice; below, the day and the number of the trial. Too early to tell."
            )
        return self.tr(
            "In ms, day by day over your practice; below, the day and the number of the trial. Line: the practice"
            " curve; dotted: its 95 % band, on the device used last."
        )

    def _place_table(self) -> None:
        assert self.page is not None
        line = 2 + max((self._grid.getItemPosition(at)[0] for at in range(self._grid.count())), default=0)
        self._table.show_trials(self.page.latest)
        self._put(self._latest, line, 0, 1, 2)
        self._put(self._table, line + 1, 0, 1, 2)

    def _next(self) -> None:
        """One step a turn of the event loop, so that keys and the mouse get theirs between."""
        if self._steps:
            try:
                self._steps.pop(0)()
            except BaseException:  # a slip in one picture must not leave the page blank
                self._scroll.widget().setUpdatesEnabled(True)
                raise
        if self._steps:
            QTimer.singleShot(0, self, self._next)
        else:
            self._scroll.widget().setUpdatesEnabled(True)
            self.shown.emit()

    def _use_charts(self) -> None:
        """The charts' library is there: show the page with them."""
        import app.logbook_charts

        self._charts = app.logbook_charts
        if self.page is not None and self.page.learners:
            self._place(self.page)

    # The report.

    def _ask_report(self) -> None:
        name, _ = QFileDialog.getSaveFileName(self, self.report.text(), "", self.tr("Document (*.pdf)"))
        if name:
            self.write_report(Path(name))

    def write_report(self, path: Path) -> threading.Thread:
        """Write the report of the learner that is shown, by a thread; a line says when it is done."""
        assert self._reader is not None
        learner, book, done = self._question.learner, self._reader.path, self.tr("{path} is written.")
        self._line.setText(self.tr("Writing the report …"))

        def work() -> None:
            from app.report import write_report

            try:
                with Logbook.open(book) as logbook:
                    write_report(logbook, learner, path)
                told = done.format(path=path)
            except Trouble as trouble:
                told = lined(trouble)
            with suppress(RuntimeError):  # the window may be gone by now
                self._reported.emit(told)

        thread = threading.Thread(target=work, name="report")
        thread.start()
        return thread

    # The look.

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where there is room for it."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        narrow = self.width() < look.px(SIDE_BY_SIDE_PX)
        if narrow != self._narrow:
            self._narrow = narrow
            if self.page is not None and self.page.learners:
                self._place(self.page)

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._theme = theme
        for card in self._cards.values():
            card.set_theme(theme)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the program when it is dressed anew."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange and hasattr(self, "_cards"):
            self.set_theme(_theme_now())
            self._arrange()


def _theme_now() -> look.Theme:
    """The theme in which the program is dressed."""
    from PySide6.QtGui import QGuiApplication

    paper = QGuiApplication.palette().window().color().name().lower()
    return look.DARK if paper == look.DARK.paper.lower() else look.LIGHT
