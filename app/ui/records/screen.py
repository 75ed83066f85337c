"""The page Records: the learner's own records, how their counts stand, and files on their way into the list."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QLineEdit, QProgressBar, QVBoxLayout, QWidget

from app.practice.records.shelf import By, Shelf
from app.practice.records.trials_again import trials_say
from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import number
from app.ui.base.words import spoken, unbroken
from app.ui.records.records_table import RecordsTable
from app.ui.widgets.controls import Box, KeyButton, button, label, named, quiet, row, show
from app.ui.widgets.flow import Flow
from app.ui.widgets.open_file import open_files, open_folder
from synth.base.border import shown
from synth.catalogue.gathering import ENDINGS
from synth.catalogue.playlists import ENDINGS as PLAYLISTS
from synth.catalogue.recording import Recording

# While something waits for its analysis, and else: the list is looked at so often, in ms.
BUSY_MS, IDLE_MS, LATER_MS = 100, 500, 50
# A timer of so many ms, other than one of 0, lets keys and the mouse come first.
TURN_MS = 1
# Widest name of a file that is being analysed, and width of the search field, in px at 100 % text size.
NAME_CHARACTERS, SEARCH_PX = 48, 240


class RecordsScreen(QWidget):
    """Shows a ``Shelf``. ``opened`` brings a record whose count is to be heard, ``practised`` one to practise on.

    ``boarded`` brings one that the tutor's board is to play.
    ``mark_again`` asks to mark earlier trials by a count that was set right.
    """

    opened = Signal(object)
    practised = Signal(object)
    boarded = Signal(object)
    mark_again = Signal()

    def __init__(self, shelf: Shelf, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self.setAcceptDrops(True)
        self.shelf = shelf
        self.files = button(self.tr("Add files…"), self.tr("Audio files and playlists. Control and O."))
        self.folder = button(
            self.tr("Add a folder…"),
            self.tr("All audio files of a folder and of those within. Control, Shift and O."),
        )
        self.search = QLineEdit()
        self.search.setClearButtonEnabled(True)
        self.search.setPlaceholderText(self.tr("Search"))
        named(self.search, self.tr("Search"), self.tr("Words of title, artist or file name. Control and F."))
        self.order = Box()
        for by, words in (
            (By.TITLE, self.tr("By title")),
            (By.TEMPO, self.tr("By tempo")),
            (By.STATE, self.tr("By count")),
        ):
            self.order.addItem(words, by)
        named(
            self.order,
            self.tr("Order"),
            self.tr("The order of the list. By count: what you are to hear comes first."),
        )
        self.unsure = button(
            self.tr("Unsure alone"),
            self.tr("Shows only records whose count is unsure: hear them, and confirm."),
            "choice",
            checkable=True,
        )
        self.line = label("", "body", wrap=True)
        self.back = button(self.tr("Put it back"), self.tr("Puts the record back that you took out last."))
        self.offered = label("", "body", wrap=True)
        self.again = button(
            self.tr("Mark them again"), self.tr("Marks your trials again, by the counts that were set right.")
        )
        self._trials = 0
        self.far = label("", "body", wrap=True)
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        named(self.bar, self.tr("Analysis"))
        self.cancel = button(self.tr("Stop the analysis"), self.tr("What was found stays; the rest is not analysed."))
        self._about = unbroken(
            self.tr(
                "Drop audio files or a folder here, or add them above. The program finds beats, ones and "
                "phrases, or says why it cannot. Your files are only read."
            )
        )
        self.empty = label(self.tr("Reading the list …"), "lead", wrap=True)
        self.table = RecordsTable()
        self.open = KeyButton(
            self.tr("Hear and confirm"),
            self.tr("Opens the record: its sheet, and its count by ear."),
            self.tr("Return"),
        )
        self.practise = KeyButton(
            self.tr("Practise on it"), self.tr("Choose a drill; this record plays in it."), self.tr("Ctrl+G")
        )
        self.to_board = KeyButton(
            self.tr("Count it on the board"),
            self.tr("The board plays phrases of it, in a loop, with the count spoken over them."),
            self.tr("Ctrl+B"),
        )
        self.forget = KeyButton(
            self.tr("Take out of the list"), self.tr("Its file stays where it is."), self.tr("Del")
        )
        for part in (self.files, self.folder, self.table, self.open, self.practise):
            part.setProperty("help", "records")
        self._build()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.tick)
        # What belongs to rows comes with the first of them, in a turn of its own.
        self._of_rows: tuple[QWidget, ...] = (
            *(self.search, self.order, self.unsure, self.table),
            *(self.open, self.practise, self.to_board, self.forget),
        )
        for each in self._of_rows:
            each.hide()
        self._new, self._reading = True, False
        self._show_far()

    def _build(self) -> None:
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 5, step * 2, step * 5, step * 2)
        column.setSpacing(step)
        title = label(self.tr("Records"), "title")
        parts = (title, self.files, self.folder, self.search, self.order, self.unsure)
        column.addLayout(Flow(*parts, gap_px=step * 2))
        said = row(self.line, self.back)
        said.setStretch(0, 1)
        column.addLayout(said)
        offer = row(self.offered, self.again)
        offer.setStretch(0, 1)
        column.addLayout(offer)
        far = row(self.far, self.bar, self.cancel)
        far.setStretch(0, 1)
        column.addLayout(far)
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        column.addLayout(Flow(self.open, self.practise, self.to_board, self.forget))
        column.addStretch(0)
        for control, then in (
            (self.files, self._choose_files),
            (self.folder, self._choose_folder),
            (self.cancel, self._cancel),
            (self.back, self._put_back),
            (self.again, self._mark_again),
            (self.open, lambda: self._with(self.opened.emit)),
            (self.practise, lambda: self._with(self.practised.emit)),
            (self.to_board, lambda: self._with(self.boarded.emit)),
            (self.forget, lambda: self._with(self._forget)),
        ):
            control.clicked.connect(lambda _=False, then=then: then())
        self.table.opened.connect(self.opened)
        self.table.forgotten.connect(self._forget)
        self.table.ordered.connect(self._order)
        self.table.moved.connect(self._show_buttons)
        self.search.textChanged.connect(self._search)
        self.order.activated.connect(lambda: self._order(self.order.currentData()))
        self.unsure.toggled.connect(self._show_unsure)
        for key, action in (
            ("Ctrl+O", self._choose_files),
            ("Ctrl+Shift+O", self._choose_folder),
            ("Ctrl+F", self.search.setFocus),
            ("Ctrl+G", self.practise.click),
            ("Ctrl+B", self.to_board.click),
        ):
            QShortcut(QKeySequence(key), self).activated.connect(lambda action=action: action())
        self.search.returnPressed.connect(self.table.setFocus)

    # -- actions --------------------------------------------------------------------------------------------------

    def _with(self, then: Callable[[Recording], object]) -> None:
        recording = self.table.record
        if recording is not None:
            then(recording)

    def add(self, paths: list[Path]) -> None:
        """Add files and folders."""
        self.shelf.add(paths)
        self._hurry()

    def _choose_files(self) -> None:
        endings = sorted({*ENDINGS, *PLAYLISTS})
        if paths := open_files(self, self.files.text(), self.tr("Audio files and playlists"), endings):
            self.add(paths)

    def _choose_folder(self) -> None:
        path = open_folder(self, self.folder.text())
        if path is not None:
            self.add([path])

    def _cancel(self) -> None:
        self.shelf.cancel()
        self.tick()

    def _forget(self, recording: Recording) -> None:
        self.shelf.forget(recording)
        self.redraw()

    def _put_back(self) -> None:
        away = self.shelf.put_away
        self.shelf.put_back()
        self.redraw()
        if away is not None:
            self.table.choose(away[0].print)
        self.table.setFocus()

    def offer(self, trials: int) -> None:
        """Offer to mark so many earlier trials again."""
        self._trials = trials
        self._show_far()

    def _mark_again(self) -> None:
        self._trials = 0
        self.mark_again.emit()
        self.table.setFocus()
        self._hurry()

    def _search(self, words: str) -> None:
        self.shelf.search = words
        self.redraw()

    def _order(self, by: By) -> None:
        self.shelf.by = By(by)
        self.redraw()

    def _show_unsure(self, on: bool) -> None:
        self.shelf.unsure = on
        self.redraw()

    # -- what is dropped ------------------------------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files and folders."""
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Add what was dropped."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.add(paths)

    # -- what is shown --------------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Show the list anew, and look again which files are there."""
        super().showEvent(event)
        if self._new:  # its head is painted first, and takes keys meanwhile
            self._new = False
            QTimer.singleShot(TURN_MS, self, self._come)
        else:
            self._come()

    def _come(self) -> None:
        ready = self.shelf.ready
        self.redraw()
        self._hurry()
        self._take_focus()
        if ready:
            QTimer.singleShot(LATER_MS, self, self._look)
        else:  # behind the paint: it would wait for the thread that reads
            self.shelf.read()

    def _look(self) -> None:
        """What may follow the first paint: the analysis goes on, and a thread looks which files are there."""
        self.shelf.begin()
        self.shelf.look()

    def _take_focus(self) -> None:
        if self.isVisible():
            (self.table if self.table.isVisibleTo(self) else self.files).setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._timer.stop()

    def _hurry(self) -> None:
        self._timer.start(BUSY_MS)
        self.tick()

    def tick(self) -> None:
        """Show what the threads have done."""
        reading = self._reading
        if self.shelf.poll():
            self._show_rows()
            if reading:
                QTimer.singleShot(LATER_MS, self, self._look)
                self._take_focus()
        self._show_far()
        busy = (
            not self.shelf.ready or not self.shelf.progress.over or self.shelf.gathering_files or self.shelf.marking
        )
        self._timer.setInterval(BUSY_MS if busy else IDLE_MS)

    def redraw(self) -> None:
        """Show the list, and what there is to say."""
        self._show_rows()
        self._show_far()

    def _show_rows(self) -> None:
        shelf = self.shelf
        self._reading = not shelf.ready
        self.empty.setText(self._about if shelf.ready else self.tr("Reading the list …"))
        rows = shelf.rows() if shelf.ready else []
        self.table.show_records(rows, shelf.missing)
        with quiet(self.order):
            self.order.setCurrentIndex(self.order.findData(shelf.by))
        many = shelf.many if shelf.ready else 0
        # Also while another program has the keyboard: somebody may do something else meanwhile.
        first = bool(many) and self.table.isHidden() and self.window().focusWidget() is self.files
        if many and not rows:
            self.empty.setText(self.tr("No record in the list is like that."))
        self.empty.setVisible(not rows)
        for part in self._of_rows:
            part.setVisible(bool(many))
        if first:  # the first record is there
            self.table.setFocus()
        self._show_buttons()

    def _show_buttons(self) -> None:
        recording = self.table.record
        for part in (self.open, self.forget):
            part.setEnabled(recording is not None)
        usable = recording is not None and recording.usable and recording.print not in self.shelf.missing
        for part in (self.practise, self.to_board):
            part.setEnabled(usable)

    def _show_far(self) -> None:
        shelf, progress = self.shelf, self.shelf.progress
        show(self.line, "" if shelf.notice is None else spoken(shelf.notice))
        self.back.setVisible(shelf.put_away is not None)
        marking = self.tr("Your trials are being marked again …") if shelf.marking else ""
        show(self.offered, spoken(trials_say(self._trials)) if self._trials else marking)
        self.again.setVisible(self._trials > 0)
        on = not progress.over or shelf.gathering_files
        for part in (self.far, self.bar, self.cancel):
            part.setVisible(on)
        if not on:
            return
        if progress.over:
            self.far.setText(self.tr("Looking for audio files …"))
        elif progress.standing:
            self.far.setText(self.tr("The analysis waits while a trial sounds."))
        else:
            name = shown(Path(progress.path).name, NAME_CHARACTERS) if progress.path else "…"
            told = self.tr("Analysis: {done} of {of} done. Now: {name}")
            self.far.setText(told.format(done=number(progress.done), of=number(progress.of), name=name))
        self.bar.setRange(0, max(1, progress.of))
        self.bar.setValue(progress.done)
        self.bar.setFixedWidth(look.px(SEARCH_PX) // 2)

    def arrange(self) -> None:
        """Fit to another text size."""
        self.search.setFixedWidth(look.px(SEARCH_PX))
