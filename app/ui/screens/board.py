"""The screen of the tutor's board: a large count sheet and the controls of a phrase.

Each control shows its key, which works anywhere on this screen. In full screen only the sheet, the groove's name and
the sound controls stay visible; all keys keep working.
"""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QVBoxLayout, QWidget

from app.practice.board.board import Board
from app.practice.board.board_phrase import BoardPhrase, FileRecord, save_midi
from app.practice.records.written import ENDINGS
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.screens.board_choices import BoardChoices
from app.ui.screens.board_line import BoardLine
from app.ui.widgets.controls import label, named, press, turn_into
from app.ui.widgets.flow import Flow
from app.ui.widgets.open_file import open_file
from app.ui.widgets.save_as import save_as
from app.ui.widgets.sheet.count_sheet import CountSheet
from synth.base.errors import Trouble
from synth.base.words import Say

PLAYING_TICK_MS = 15
# Delay after a change of tempo, so that a held key does not render every tempo in between.
SETTLE_MS = 180

# The sheet's least height; and the height of everything else in the window, with and without the heading:
# with large text the sheet keeps its height and the controls below it scroll.
SHEET_PX = 240
REST_PX, REST_FULL_PX = 342, 195

# Keys that repeat while held; the others are toggles.
HELD = ("Left", "Right", "-", "+", "=")
MIDI_ENDINGS = (".mid", ".midi")


class BoardScreen(QWidget):
    """Shows and controls a ``Board``. ``full_window`` asks to enter (True) or leave full screen."""

    full_window = Signal(bool)

    def __init__(self, board: Board, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.board = board
        self._full = False
        self._told: Say | None = None
        self._shown: tuple[BoardPhrase, bool, bool, Say | None, Say | None, bool] | None = None

        self._title = label(self.tr("The tutor's board"), "title")
        self._lead = label(self._lead_words(), "soft")
        named(self, self._title.text(), self._lead.text())  # it takes the focus on a click
        self._notice = label("", "lead", wrap=True)
        self._sheet = CountSheet(on_board=True)
        self.line, self.choices = BoardLine(), BoardChoices(board.phrase)
        column = self._column = QVBoxLayout(self)
        self._head = QWidget()
        self._head.setLayout(Flow(self._title, self._lead, spread=True))
        column.addWidget(self._head)
        column.addWidget(self._notice)
        column.addWidget(self._sheet, 1)
        column.addWidget(self.line)
        column.addWidget(self.choices)
        for part, then in (
            (self.line.play, self.toggle),
            (self.line.back, lambda: self.step(-1)),
            (self.line.on, lambda: self.step(1)),
            (self.line.first, self.rewind),
            (self.line.slower, lambda: self.pace(-1)),
            (self.line.faster, lambda: self.pace(1)),
            (self.line.full, lambda: self.fill(not self._full)),
        ):
            part.clicked.connect(lambda _=False, then=then: then())
        self.line.tempo.connect(lambda bpm: self.choose(self.board.phrase.at_tempo(bpm)))
        self.choices.changed.connect(self.choose)
        self.choices.midi_wanted.connect(self._ask_midi)
        self.choices.saving.connect(self._ask_save)

        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._prepare)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(PLAYING_TICK_MS)
        self._timer.timeout.connect(self._tick)
        self._make_keys()
        self.redraw()

    def _lead_words(self) -> str:
        return self.tr("Count aloud with the sheet. Nothing is marked here.")

    def _make_keys(self) -> None:
        everywhere, here = Qt.ShortcutContext.WindowShortcut, Qt.ShortcutContext.WidgetWithChildrenShortcut
        chosen = self.choices
        keys: tuple[tuple[str, Qt.ShortcutContext, Callable[[], object]], ...] = (
            ("Space", everywhere, self._space),
            ("Return", here, lambda: press(QApplication.focusWidget())),
            ("Enter", here, lambda: press(QApplication.focusWidget())),
            ("Left", here, lambda: self.step(-1)),
            ("Right", here, lambda: self.step(1)),
            ("Home", here, self.rewind),
            ("-", everywhere, lambda: self.pace(-1)),
            ("+", everywhere, lambda: self.pace(1)),
            ("=", everywhere, lambda: self.pace(1)),
            ("T", everywhere, self.line.take_tap),
            ("G", everywhere, lambda: self.choose(self.board.phrase.next_groove(1))),
            ("Shift+G", everywhere, lambda: self.choose(self.board.phrase.next_groove(-1))),
            ("O", everywhere, self._ask_midi),
            ("S", everywhere, self._ask_save),
            ("D", everywhere, chosen.next_kit),
            ("P", everywhere, lambda: chosen.next_of(chosen.bars)),
            ("H", everywhere, lambda: chosen.next_of(chosen.hear)),
            ("V", everywhere, lambda: chosen.next_of(chosen.voice)),
            ("B", everywhere, lambda: chosen.next_of(chosen.beside)),
            ("A", everywhere, lambda: chosen.next_of(chosen.intro)),
            ("F11", everywhere, lambda: self.fill(not self._full)),
            ("Escape", everywhere, self._escape),
        )
        for key, context, then in keys:
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(context)
            shortcut.setAutoRepeat(key in HELD)
            shortcut.activated.connect(lambda then=then: then())

    # -- actions --------------------------------------------------------------------------------------------------

    def toggle(self) -> None:
        """Play or stop."""
        self.board.toggle()
        self._go()

    def step(self, by: int) -> None:
        """Play the next (1) or previous (-1) beat alone."""
        self.board.step(by)
        self._go()

    def rewind(self) -> None:
        """Go back to the first beat of the phrase."""
        self.board.rewind()
        self._go()

    def pace(self, by_bpm: float) -> None:
        """Change the tempo."""
        self.choose(self.board.phrase.at_tempo(self.board.phrase.tempo_bpm + by_bpm))

    def choose(self, phrase: BoardPhrase) -> None:
        """Change the phrase."""
        before = self.board.phrase
        same_tempo = phrase.tempo_bpm == before.tempo_bpm
        self.board.choose(phrase)
        self.choices.show_phrase(phrase)
        self._told = phrase.tempo_told(before, self.choices.title)
        if same_tempo:
            self._prepare()
        else:
            self._settle.start()
        self.redraw()

    def _ask_midi(self) -> None:
        path = open_file(self, self.tr("Open a MIDI file"), self.tr("MIDI files"), MIDI_ENDINGS)
        if path is not None:
            self.open_midi(path)

    def open_midi(self, path: Path) -> None:
        """Play the phrase from a MIDI file; a notice says why that is impossible."""
        try:
            self.choose(self.board.phrase.with_record(FileRecord.read(path)))
        except Trouble as trouble:
            self.board.notice = trouble.says
            self.redraw()

    def _ask_save(self) -> None:
        file = self.board.phrase.file
        if file is not None and file.recorded:
            kinds = {ending[1:]: self.tr("Sound") for ending in ENDINGS}
            name = f"{file.name} {self.board.phrase.tempo_bpm:g}{ENDINGS[0]}"
            path = save_as(self, self.tr("Save as a sound"), name, kinds)
            if path is not None:
                self.board.save(path)
                self._go()
            return
        name = f"{Path(self.choices.title).stem} {self.board.phrase.tempo_bpm:g}.mid"
        path = save_as(self, self.tr("Save as a MIDI file"), name, {"mid": self.tr("MIDI file")})
        if path is not None:
            self.save_midi(path)

    def save_midi(self, path: Path) -> None:
        """Write the phrase as a MIDI file; a notice says what was written, or why nothing was."""
        try:
            self.board.notice = save_midi(self.board.phrase, path)
        except Trouble as trouble:
            self.board.notice = trouble.says
        self.redraw()

    def fill(self, full: bool) -> None:
        """Enter or leave full screen."""
        if full != self._full:
            self._full = full
            self.full_window.emit(full)
            self._shown = None
            self.redraw()
            self.line.play.setFocus()

    def _prepare(self) -> None:
        self._settle.stop()
        self.board.prepare()
        self._go()

    def _go(self) -> None:
        self._timer.start()
        self.redraw()

    def _space(self) -> None:
        """Play or stop; a focused control outside this screen is pressed instead."""
        focus = QApplication.focusWidget()
        if isinstance(focus, QAbstractButton) and not self.isAncestorOf(focus):
            focus.click()
        else:
            self.toggle()

    def _escape(self) -> None:
        if self._full:
            self.fill(False)
        else:
            self.board.stop()
            self.redraw()

    # -- events and timer -----------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Focus the play button and render the phrase."""
        super().showEvent(event)
        self.window().installEventFilter(self)
        self._arrange()
        self.line.play.setFocus()
        self._prepare()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop the sound and leave full screen."""
        super().hideEvent(event)
        self.window().removeEventFilter(self)
        self._settle.stop()
        self._timer.stop()
        self.board.stop()  # also cancels a start that waits for rendering
        self.fill(False)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the window."""
        if event.type() == QEvent.Type.Resize and watched is self.window():
            self._arrange()
        return False

    def _arrange(self) -> None:
        """Give the sheet its height first: large text does not make its figures smaller."""
        least, large, step = SHEET_PX, look.px(100) > look.LARGE, look.STEP_PX
        if look.px(100) > 100 and not self.isWindow():
            least = max(least, self.window().height() - (REST_FULL_PX if self._full else REST_PX))
        self._sheet.setMinimumHeight(least)
        # Make room for large text by tighter spacing.
        self._column.setSpacing(step if large else step * 2)
        self._column.setContentsMargins(step * 5, step if large else step * 3, step * 5, step * 3)
        below = large and not self._full
        if below != (self._column.indexOf(self._head) > 0):
            self._column.removeWidget(self._head)
            self._column.insertWidget(self._column.count() if below else 0, self._head)

    def _tick(self) -> None:
        self.board.tick()
        self.redraw()
        if not self.board.busy:
            self._timer.stop()

    # -- display --------------------------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the model's state; cheap where only the beat has changed."""
        board = self.board
        self._sheet.show_sounding(board.beat)
        state = (board.phrase, board.playing, board.waiting, board.notice, self._told, self._full)
        if state == self._shown:
            return
        before, self._shown = self._shown, state
        phrase = board.phrase
        if before is None or before[0] != phrase:
            self._sheet.show_count(phrase.count(), way=phrase.way)
            self._sheet.show_truth(phrase.marks())
            self._sheet.show_sounding(board.beat)
            self.choices.show_phrase(phrase)
        self._title.setText(self.choices.title if self._full else self.tr("The tutor's board"))
        turn_into(self._title, "board" if self._full else "title")
        self._lead.setVisible(not self._full)
        self.choices.setVisible(not self._full)
        self._arrange()
        # What became of the tempo, or that it takes a moment, stands in place of the lead where that is in sight.
        told = "" if self._told is None else spoken(self._told)
        told = self.tr("One moment: the sound is being made …") if board.waiting else told
        above = not self._full and self._column.indexOf(self._head) == 0
        self._lead.setText(told if told and above else self._lead_words())
        notices = ["" if board.notice is None else spoken(board.notice), "" if above else told]
        self._notice.setText(" ".join(filter(None, notices)))
        self._notice.setVisible(any(notices))
        self.line.show_state(phrase.tempo_bpm, playing=board.playing, full=self._full)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._shown = None
            if self.isVisible():
                self._arrange()
