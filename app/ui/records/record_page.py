"""One record: the sheet of its whole count, heard bar by bar, set right by one key each, and confirmed."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QResizeEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QVBoxLayout, QWidget

from app.practice.records.confirming import Confirming
from app.practice.records.shelf import Shelf
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.records.record_files import RecordFiles
from app.ui.records.record_keys import RecordKeys, Then
from app.ui.records.record_sheet import RecordSheet
from app.ui.records.record_words import RecordWords
from app.ui.widgets.controls import Box, KeyButton, button, fit_heading, label, named, press, row, show
from app.ui.widgets.flow import Flow
from app.ui.widgets.screens import Scrolled, ScrollPage
from synth.catalogue.recording import Confirmer, Recording, State
from synth.recording.grid import Grid

TICK_MS = 15
# Least height of the sheet's window, in px at 100 % text size.
SHEET_PX = 150
# In a lower page the heading is smaller, so that the sheet and the first keys are in sight.
LOW_PX = 600


class RecordPage(QWidget):
    """Shows a ``Confirming``.

    Signals: ``closed`` as the learner goes back, ``confirmed`` with the record, ``practised`` with a record to
    practise on, ``confirmer_chosen`` with who listens, ``given`` with a record without a count and a grid for it.
    """

    closed = Signal()
    confirmed = Signal(object)
    practised = Signal(object)
    confirmer_chosen = Signal(str)
    given = Signal(object, object)

    def __init__(self, shelf: Shelf, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self.shelf = shelf
        self.recording: Recording | None = None
        self.confirming: Confirming | None = None
        self._words = RecordWords(self)
        self.heading, self.about = label("", "title", wrap=True), label("", "body", wrap=True)
        self.place, self.notice = label("", "strong"), label("", "body", wrap=True)
        self.helps = label("", "body", wrap=True)
        self._helps = self.tr(
            "If you have its beats in a file, you can give it a count all the same. Text with a line a beat will do "
            "(seconds, a tab, bar.beat), or a JAMS file. Its tempo must be steady there."
        )
        self.sheet = RecordSheet()
        self.sheet.marked.connect(self._mark)
        self._keys = RecordKeys(self)
        self._keys.pressed.connect(self._do)
        self.keys = self._keys.buttons
        self.files = RecordFiles(shelf, self)
        self.files.taken.connect(self._take)
        self.files.said.connect(self._say)
        self.who = Box()
        for by, words in (("learner", self.tr("By you")), ("tutor", self.tr("By the tutor"))):
            self.who.addItem(words, by)
        named(self.who, self.tr("Confirmed"), self.tr("Who has heard it: it is said beside the results."))
        self.who.activated.connect(lambda: self.confirmer_chosen.emit(self.who.currentData()))
        self.back = KeyButton(
            self.tr("Back"), self.tr("Back to the list. What is not confirmed stays as it was."), self.tr("Esc")
        )
        self.confirm = button(
            self.tr("Confirm the count"), self.tr("The count is right: from now on drills use this record."), "next"
        )
        self._build()
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self.tick)
        self._shown: object = None
        self._said = ""

    # -- layout ---------------------------------------------------------------------------------------------------

    def _build(self) -> None:
        step = look.STEP_PX
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        page = ScrollPage()
        self.page_view = Scrolled(page)
        whole.addWidget(self.page_view, 1)
        column = self._column = QVBoxLayout(page)
        column.setSpacing(step)
        self._flow = QWidget()
        self.practise = KeyButton(
            self.tr("Practise on it"), self.tr("Choose a drill; this record plays in it."), self.tr("Ctrl+G")
        )
        self._flow.setLayout(Flow(*self.keys.values(), *self.files.buttons, self.practise))
        for part in (self.heading, self.about, self.helps, self.notice, self.place):
            column.addWidget(part)
        self.view = Scrolled(self.sheet)
        column.addWidget(self.view, 1)
        column.addWidget(self._flow)
        self.legend = label(
            self.tr(
                "Four strokes a bar, the long stroke is the one. The heavier, the louder. Thick rule: the intro. "
                "At the left the phrase, and above it the number of the bar. A click or the arrow keys mark a bar."
            ),
            "small",
            wrap=True,
        )
        column.addWidget(self.legend)
        column.addStretch(0)
        self.who_label = label(self.who.accessibleName())
        self._confirm = QWidget()
        line = row(self.who_label, self.who, step * 2, label(self.tr("Return"), "key"), self.confirm, spacing=step)
        line.setContentsMargins(0, 0, 0, 0)
        self._confirm.setLayout(line)
        foot = row(self.back, None, self._confirm)
        foot.setContentsMargins(step * 5, step, step * 5, step * 2)
        whole.addLayout(foot)
        for control, then in (
            (self.back, self.go_back),
            (self.files.grid, self._ask_grid),
            (self.files.sound, lambda: self._save(self.files.ask_sound)),
            (self.files.pdf, lambda: self._save(self.files.ask_pdf)),
            (self.practise, self._practise),
            (self.confirm, self.give),
        ):
            control.clicked.connect(lambda _=False, then=then: then())
        everywhere = Qt.ShortcutContext.WindowShortcut
        keys: dict[str, Callable[[], object]] = {
            **{code: self.keys[name].click for name, code in self._keys.codes.items()},
            "Space": self._space,
            "Escape": self.go_back,
            "Ctrl+P": self.files.pdf.click,
            "S": self.files.sound.click,
            "O": self.files.grid.click,
            "Ctrl+G": self.practise.click,
            "Return": self._press,
            "Enter": self._press,
        }
        for key, action in keys.items():
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(everywhere)
            shortcut.setAutoRepeat(False)
            shortcut.activated.connect(action)

    # -- actions --------------------------------------------------------------------------------------------------

    def open(self, recording: Recording, confirming: Confirming | None, by: Confirmer) -> None:
        """Show a record, and begin to hear it; one without a count is shown with the reason."""
        self.stop()
        self.recording, self.confirming = recording, confirming
        self.show_confirmer(by)
        self._shown, self._said = None, ""
        if confirming is not None:
            self.sheet.show_grid(confirming.grid, confirming.outline)
            confirming.hear()
        self._timer.start(TICK_MS)
        self.tick()
        self._follow(always=True)
        (self.keys["hear"] if confirming else self.files.grid if self._may_be_given else self.back).setFocus()

    def show_confirmer(self, by: str) -> None:
        """Show who listens."""
        self.who.setCurrentIndex(max(0, self.who.findData(by)))

    def _do(self, then: Then) -> None:
        if self.confirming is not None:
            self._said = ""
            then(self.confirming)
            self.tick()
            self._follow()

    def _mark(self, bar: int) -> None:
        if self.confirming is not None:
            self._said = ""
            self.confirming.mark(bar)
            self.tick()
            self._follow(always=True)

    def _space(self) -> None:
        """Hear it or stop; a focused control outside this page is pressed instead."""
        focus = QApplication.focusWidget()
        own = isinstance(focus, QAbstractButton) and self.isAncestorOf(focus)
        if own or not press(focus):
            self.keys["hear"].click()

    def _press(self) -> None:
        """Confirm; a control below the sheet, or outside this page, that has the focus is pressed instead."""
        focus = QApplication.focusWidget()
        if focus in (*self.keys.values(), self.confirm) or not press(focus):
            self.give()

    def give(self) -> None:
        """Confirm the count as it is set."""
        confirming, recording = self.confirming, self.recording
        if confirming is None or recording is None:
            return
        made = confirming.confirmed(self.who.currentData())
        if self.shelf.confirm(made):
            self.confirming = None
            self.confirmed.emit(made)
        else:
            self._say("" if self.shelf.notice is None else spoken(self.shelf.notice))

    def _say(self, words: str) -> None:
        """Show a line until the next key."""
        self._said = words
        self.tick()

    def go_back(self) -> None:
        """Back to the list."""
        confirming, recording = self.confirming, self.recording
        self.stop()
        if confirming is not None and recording is not None and confirming.changed:
            self.shelf.leave(recording)
        self.confirming = None
        self.closed.emit()

    def stop(self) -> None:
        """Stop the sound."""
        if self.confirming is not None:
            self.confirming.stop()

    def _practise(self) -> None:
        if self.recording is not None:
            self.practised.emit(self.recording)

    def _save(self, then: Then) -> None:
        """Save it as a file."""
        if self.confirming is not None:
            self.stop()
            then(self.confirming)

    def _ask_grid(self) -> None:
        if self.recording is not None and self._may_be_given:
            self.stop()
            self.files.ask_grid(self.recording.grid if self.confirming is None else self.confirming.grid)

    def _take(self, grid: Grid) -> None:
        """Hear it by the count of a file."""
        if self.confirming is not None:
            self._do(lambda now: now.take(grid))
        elif self.recording is not None:
            self.given.emit(self.recording, grid)

    @property
    def _may_be_given(self) -> bool:
        """Whether the record can be heard by the count of a file."""
        recording = self.recording
        return recording is not None and recording.state is not State.UNREADABLE and not self._missing

    @property
    def _missing(self) -> bool:
        return self.recording is not None and bool(self.recording.path) and not Path(self.recording.path).is_file()

    # -- what is shown --------------------------------------------------------------------------------------------

    def tick(self) -> None:
        """Follow the sound, and show what has changed."""
        confirming, recording = self.confirming, self.recording
        if recording is None:
            return
        wrote = self.shelf.wrote()
        if wrote is not None:
            self._said = spoken(wrote)
        state: tuple[object, ...] = (recording, self._said, self.shelf.writing)
        if confirming is not None:
            confirming.tick()
            if self.sheet.show_bar(confirming.bar):
                self._follow()
                self._show_place()
            elif confirming.intro:
                self._show_place()
            state += (
                confirming.grid,
                confirming.sounding or confirming.waiting,
                confirming.voice,
                confirming.intro,
                confirming.notice,
                confirming.undoable,
            )
        if state != self._shown:
            self._shown = state
            self._redraw(recording)

    def _redraw(self, recording: Recording) -> None:
        confirming = self.confirming
        self.heading.setText(self._words.title(recording))
        for part in (*self.keys.values(), self.place, self.view, self.legend, self._confirm):
            part.setVisible(confirming is not None)
        self.files.show(counted=confirming is not None, may_be_given=self._may_be_given)
        self.practise.setVisible(recording.usable and not self._missing)
        self._flow.setVisible(confirming is not None or self._may_be_given)
        show(self.helps, self._helps if confirming is None and self._may_be_given else "")
        self._column.setStretch(self._column.count() - 1, confirming is None)  # words stay at the top
        if confirming is None:
            self.about.setText(self._words.stand(recording, missing=self._missing))
            show(self.notice, self._said)
            return
        self.sheet.show_grid(confirming.grid, confirming.outline)
        self.about.setText(self._words.about(confirming))
        self._keys.show(confirming)
        said = confirming.notice or confirming.asks
        show(self.notice, self._said or ("" if said is None else spoken(said)))
        self._show_place()
        self._fit()

    def _show_place(self) -> None:
        confirming = self.confirming
        if confirming is None:
            return
        if (of_intro := confirming.intro_bar) is not None:
            self.place.setText(self._words.place_in_intro(of_intro, confirming.intro))
            return
        words = self._words.place(confirming)
        self.place.setText(words)
        self.sheet.setAccessibleDescription(words)

    def _follow(self, *, always: bool = False) -> None:
        """Keep the marked bar in sight, with the line after it."""
        box = self.sheet.bar_box(self.confirming.bar) if self.confirming is not None else None
        if box is None:
            return
        height = self.view.viewport().height()
        bar = self.view.verticalScrollBar()
        top = box.top() - bar.value()
        if always or top < 0 or top + 2 * box.height() > height:
            bar.setValue(round(box.top() - height * (0.4 if always else 0.2)))

    def _fit(self) -> None:
        step = look.STEP_PX
        large = look.px(100) > look.LARGE or self.height() < look.px(LOW_PX)
        self._column.setContentsMargins(step * 5, step * (1 if large else 2), step * 5, step)
        fit_heading(self.heading, "heading" if large else "title", self.width() - step * 10, shrink=True)
        self.view.setMinimumHeight(look.px(SHEET_PX))

    # -- events ---------------------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit()
        QTimer.singleShot(0, self, lambda: self._follow(always=True))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop what sounds."""
        self.stop()
        self._timer.stop()
        super().hideEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self.sheet.arrange()
            self._fit()
