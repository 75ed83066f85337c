"""The logbook screen: levels, progress, and the latest trials."""

from __future__ import annotations

import threading
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QEventLoop, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.base.garbage import collect_here
from app.ui.base.words import spoken
from app.ui.charts.content import LATEST, Content, Question
from app.ui.logbook.logbook_words import LogbookWords
from app.ui.logbook.reading import Reader
from app.ui.widgets.controls import Box, button, label, named
from app.ui.widgets.flow import Flow
from app.ui.widgets.save_as import save_as
from app.ui.widgets.screens import Scrolled
from exercises.drills import drills
from exercises.logbook.history import band_says
from exercises.logbook.store import Logbook
from synth.base.errors import Trouble

if TYPE_CHECKING:
    from app.ui.logbook.page_view import LogbookPage

# Below this width (at 100 % text size) everything is stacked.
SIDE_BY_SIDE_PX = 900
# The head is painted first; the page below it is made while the logbook is read.
HEAD_MS = 10


class LogbookScreen(QWidget):
    """Pictures and words of a learner's practice, in all drills or in one. Everything is read by a thread.

    ``shown`` is emitted when everything is on the screen, ``trial_asked`` with a trial that is to be opened.
    """

    shown = Signal()
    trial_asked = Signal(object)
    reported = Signal(str)

    def __init__(
        self, logbook: Logbook | None, learner: str | None = None, name: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        collect_here()  # the reader is a thread
        self._words = LogbookWords(self)
        self._own = (learner, name or str(learner))
        self._question = Question(learner)
        self._asked = False
        self._content: LogbookPage | None = None
        self._reader = None if logbook is None else Reader(logbook.path, self)
        if self._reader is not None:
            self._reader.read.connect(self._show)
            self._reader.failed.connect(self._give_up)
        self.reported.connect(self._say)
        self._build()

    # Layout.

    def _build(self) -> None:
        self.learner_box, self.drill_box, self.band_box = Box(), Box(), Box()
        for box, name, about in (
            (self.learner_box, self.tr("Learner"), self.tr("Whose practice is shown.")),
            (self.drill_box, self.tr("Drill"), self.tr("Which drill is shown.")),
            (self.band_box, self.tr("Tempo"), self.tr("Which tempos are shown.")),
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
        self.line = label("", "small", wrap=True)
        self.line.setMinimumHeight(look.px(18))  # its room is kept, so that nothing moves under the mouse
        self._empty = label("", "lead", wrap=True)
        self._empty.hide()
        step = look.STEP_PX
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(step * 5, step * 2, step * 5, 0)
        column.setSpacing(step)
        title = label(self.tr("Logbook"), "title")
        self._stamp.hide()
        parts = (title, self.learner_box, self.drill_box, self.band_box, self._stamp, self.report)
        column.addLayout(Flow(*parts, gap_px=step * 2, last_at_end=True))
        column.addWidget(self.line)
        column.addWidget(self._empty)
        column.addStretch(0)

    @property
    def content(self) -> LogbookPage:
        """The page below the head, made on first use, so that the first click responds quickly."""
        if self._content is None:
            from app.ui.logbook.page_view import LogbookPage

            made = self._content = LogbookPage()
            made.chosen.connect(self.open_drill)
            made.troubled.connect(self._say)
            made.shown.connect(self.shown)
            made.opened.connect(self.trial_asked)
            made.earlier.connect(self._list_earlier)
            self._scroll = Scrolled(made)
            self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            self._column.insertWidget(self._column.count() - 1, self._scroll, 1)
            self._arrange()
        return self._content

    # Reading.

    def refresh(self) -> None:
        """Read the present question again."""
        if self._reader is None:
            self._tell_empty(self.tr("Nothing is being saved at present."))
            self.shown.emit()
            return
        self.line.setText(self.tr("Reading the logbook …"))
        self._asked = True
        self._reader.ask(self._question)
        if self.page is None:
            QTimer.singleShot(HEAD_MS, self, lambda: self.content.prepare())

    def show_learner(self, learner: str, name: str = "") -> None:
        """Set the learner, by id or name, for the next reading."""
        self._own = (learner, name or learner)
        self._question = Question(learner)

    @property
    def page(self) -> Content | None:
        """The content read last."""
        return None if self._content is None else self._content.page

    @property
    def settled(self) -> bool:
        """Whether the content of the last question is on the screen."""
        busy = self._content is not None and self._content.busy
        return self._reader is None or not (self._asked or busy)

    def wait(self) -> None:
        """Wait until everything is read and shown, for pictures of the window."""
        from PySide6.QtWidgets import QApplication

        while not self.settled:
            QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        QApplication.processEvents()

    def _show(self, found: Content | Trouble) -> None:
        self._asked = False
        if isinstance(found, Trouble):
            self._say(str(found))
            return
        changed = (
            self.page is not None and replace(self.page.question, listed=found.question.listed) != found.question
        )
        self._question = found.question
        self._fill_boxes(found)
        self._stamp.setText(self._words.stamp(found))
        self._stamp.setVisible(bool(found.invented))
        known = found.question.learner in dict(found.learners)
        self.report.setVisible(known)
        if not known:
            empty = self.tr("Nothing here yet. Your first trial will be the first line.")
            others = self.tr("The box above shows the other learners of this logbook.")
            self._tell_empty(f"{empty} {others}" if found.learners else empty)
            self.shown.emit()
            return
        if changed:
            self._scroll.verticalScrollBar().setValue(0)
        self._empty.hide()
        self.line.setText("")
        self.content.show_page(found)

    def _give_up(self) -> None:
        """Give the question up; the log has the error."""
        self._asked = False
        self.line.setText("")

    def _tell_empty(self, text: str) -> None:
        self.line.setText("")
        self._empty.setText(text)
        self._empty.show()
        if self._content is not None:
            self._content.clear()

    def tell(self, trouble: Trouble) -> None:
        """Say what went wrong."""
        self._say(spoken(trouble.says))

    def _say(self, text: str) -> None:
        self.line.setText(text)

    def _fill_boxes(self, page: Content) -> None:
        asked = page.question
        # List the program's own learner even before a first trial, as the way back from others.
        learners = dict(page.learners)
        id, label = self._own
        if id is not None and id not in {*learners, *learners.values()}:
            learners[id] = label
        practised = [place.drill for place in page.places if place.last is not None]
        rows: tuple[tuple[QComboBox, list[tuple[str, Any]], Any], ...] = (
            (self.learner_box, [(label, id) for id, label in learners.items()], asked.learner),
            (
                self.drill_box,
                [(self.tr("All drills"), None), *((spoken(drills()[id].title()), id) for id in practised)],
                asked.drill,
            ),
            (
                self.band_box,
                [(self.tr("All tempos"), None), *((spoken(band_says(band)), band) for band in page.bands)],
                asked.band,
            ),
        )
        for box, entries, now in rows:
            with QSignalBlocker(box):
                box.clear()
                for text, value in entries:
                    box.addItem(text, value)
                box.setCurrentIndex(max(0, box.findData(now)))
        self.learner_box.setVisible(len(learners) > 1)
        self.drill_box.setVisible(bool(practised))
        self.band_box.setVisible(len(page.bands) > 1)

    def _choose(self) -> None:
        drill = self.drill_box.currentData()
        band = self.band_box.currentData() if drill == self._question.drill else None
        self._question = Question(self.learner_box.currentData(), drill, band)
        self.refresh()

    def open_drill(self, drill: str) -> None:
        """Show one drill."""
        self._question = Question(self._question.learner, drill)
        self.refresh()

    def _list_earlier(self) -> None:
        self._question = replace(self._question, listed=self._question.listed + LATEST)
        self.refresh()

    # The report.

    def _ask_report(self) -> None:
        path = save_as(self, self.report.text(), "tallybar.pdf", {"pdf": self.tr("Document")})
        if path is not None:
            self.write_report(path)

    def write_report(self, path: Path) -> threading.Thread:
        """Write the report of the learner shown, in a thread; a line reports the end."""
        # Imported here: modules with Qt classes are imported in the window's thread alone.
        from app.ui.logbook.report import write_report

        assert self._reader is not None
        assert self._question.learner is not None
        learner, book, done = self._question.learner, self._reader.path, self.tr("{path} is written.")
        self.line.setText(self.tr("Writing the report …"))

        def work() -> None:
            try:
                with Logbook.open(book) as logbook:
                    write_report(logbook, learner, path)
                told = done.format(path=path)
            except Trouble as trouble:
                told = spoken(trouble.says)
            with suppress(RuntimeError):  # the window may be gone by now
                self.reported.emit(told)

        thread = threading.Thread(target=work, name="report")
        thread.start()
        return thread

    # The look.

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        if self._content is not None:
            self._content.arrange(self.width() < look.px(SIDE_BY_SIDE_PX))

    def changeEvent(self, event: QEvent) -> None:
        """Follow a change of theme or text size."""
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange and getattr(self, "_content", None) is not None:
            self._arrange()
