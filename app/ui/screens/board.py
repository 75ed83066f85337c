"""The screen of the tutor's board: a large count sheet and the controls of a lesson.

Each control shows its key, which works anywhere on this screen. In full screen only the sheet, the groove's name and
the sound controls stay visible; all keys keep working.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QButtonGroup,
    QComboBox,
    QHBoxLayout,
    QVBoxLayout,
    QWidget,
)

from app.practice.board import TEMPO_STEP_BPM, Board, Hear, Lesson
from app.ui.base import theme as look
from app.ui.base.words import groove_title, spoken
from app.ui.widgets.controls import Box, KeyButton, button, label, named, row, turn_into
from app.ui.widgets.count_sheet import CountSheet
from app.ui.widgets.flow import Flow
from synth.base.words import Say
from synth.score.grooves import groove, grooves
from synth.sound.kits import TITLES
from synth.sound.loop import PHRASE_BARS

PLAYING_TICK_MS = 15
# Delay after a change of tempo, so that a held key does not render every tempo in between.
SETTLE_MS = 180

# The sheet's least height; and the height of everything else in the window, with and without the heading:
# with large text the sheet keeps its height and the controls below it scroll.
SHEET_PX = 240
REST_PX, REST_FULL_PX = 342, 195

OFF = "off"
Value = TypeVar("Value")
# Keys that repeat while held; the others are toggles.
HELD = ("Left", "Right", "-", "+", "=")


class BoardScreen(QWidget):
    """Shows and controls a ``Board``. ``full_window`` asks to enter (True) or leave full screen."""

    full_window = Signal(bool)

    def __init__(self, board: Board) -> None:
        super().__init__()
        self.setObjectName("screen")
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.board = board
        self._full = False
        self._shown: tuple[Lesson, bool, Say | None, bool] | None = None

        self._title = label(self.tr("The tutor's board"), "title")
        self._lead = label(self.tr("Count aloud with the sheet. Nothing is marked here."), "soft")
        named(self, self._title.text(), self._lead.text())  # it takes the focus on a click
        self._notice = label("", "lead", wrap=True)
        self._sheet = CountSheet(on_board=True)
        column = self._column = QVBoxLayout(self)
        self._head = QWidget()
        self._head.setLayout(Flow(self._title, self._lead, spread=True))
        column.addWidget(self._head)
        column.addWidget(self._notice)
        column.addWidget(self._sheet, 1)
        column.addWidget(self._sound_row())
        column.addWidget(self._choices())

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

    # -- controls -------------------------------------------------------------------------------------------------

    def _sound_row(self) -> QWidget:
        self._play = button(self.tr("Play"), "", "next")
        self._play.clicked.connect(self.toggle)
        back = KeyButton(self.tr("Step back"), self.tr("Sounds the beat before."), "←")
        on = KeyButton(self.tr("Step on"), self.tr("Sounds the next beat."), "→")
        first = KeyButton(self.tr("First one"), self.tr("Back to the phrase's first one."), self.tr("Home"))
        slower = KeyButton(self.tr("Slower"), self.tr("Takes the tempo down."), "−")
        faster = KeyButton(self.tr("Faster"), self.tr("Takes the tempo up."), "+")
        self._full_button = KeyButton("", "", "")
        for part, then in (
            (back, lambda: self.step(-1)),
            (on, lambda: self.step(1)),
            (first, self.rewind),
            (slower, lambda: self.pace(-TEMPO_STEP_BPM)),
            (faster, lambda: self.pace(TEMPO_STEP_BPM)),
            (self._full_button, lambda: self.fill(not self._full)),
        ):
            part.clicked.connect(lambda _=False, then=then: then())
        for part in (back, on, slower, faster):
            part.setAutoRepeat(True)
        self._tempo = label("", "figure")
        self._tempo.setAlignment(Qt.AlignmentFlag.AlignCenter)
        step = look.STEP_PX
        lines = QWidget()
        lines.setLayout(
            Flow(
                row(label(self.tr("Space"), "key"), self._play, spacing=step),
                row(back, on, first, spacing=step),
                row(slower, self._tempo, faster, spacing=step),
                self._full_button,
                gap_px=step * 3,
                spread=True,
            )
        )
        return lines

    def _choices(self) -> QWidget:
        self._groove = Box()
        for found in grooves().values():
            self._groove.addItem(groove_title(found.title), found.name)
        named(
            self._groove, self.tr("Groove"), self.tr("Which drum pattern plays. G takes the next, Shift+G the last.")
        )
        self._groove.currentIndexChanged.connect(
            lambda _: self.choose(self.board.lesson.with_groove(self._groove.currentData()))
        )
        self._kits = Box()
        for family, title in TITLES.items():
            self._kits.addItem(spoken(title()), family)
        named(self._kits, self.tr("Drums"), self.tr("Which kind of drum kit plays. D takes the next."))
        self._kits.currentIndexChanged.connect(
            lambda _: self.choose(replace(self.board.lesson, kit_family=self._kits.currentData()))
        )
        bars = [(bars, str(bars), self.tr("Phrases of {n} bars.").format(n=bars)) for bars in PHRASE_BARS]
        self._bars, bars_row = self._pick(bars, lambda value: replace(self.board.lesson, phrase_bars=value))
        hear = [
            (Hear.ALL, self.tr("All"), self.tr("All the drums are heard.")),
            (Hear.KICK, self.tr("Kick"), self.tr("Only the kick is heard.")),
            (Hear.SNARE, self.tr("Snare or clap"), self.tr("Only snare, clap and rim are heard.")),
        ]
        self._hear, hear_row = self._pick(hear, lambda value: replace(self.board.lesson, hear=value))
        voice = [
            (OFF, self.tr("Off"), self.tr("No voice counts.")),
            ("bars", "1 2 3 4, 2 2 3 4", self.tr("A voice counts one two three four, two two three four.")),
            ("letters", "1 A B C, 2 A B C", self.tr("A voice counts one A B C, two A B C.")),
        ]
        self._voice, voice_row = self._pick(voice, lambda value: _with_voice(self.board.lesson, value))
        groups = QWidget()
        parts = []
        for name, key, part in (
            (self.tr("Groove"), "G", row(self._groove)),
            (self.tr("Drums"), "D", row(self._kits)),
            (self.tr("Bars in the phrase"), "P", bars_row),
            (self.tr("Hear"), "H", hear_row),
            (self.tr("Voice"), "V", voice_row),
        ):
            made = QVBoxLayout()
            made.setSpacing(look.STEP_PX)
            made.addLayout(row(label(key, "key"), label(name, "soft"), None, spacing=look.STEP_PX))
            made.addLayout(part)
            parts.append(made)
        groups.setLayout(Flow(*parts, gap_px=look.STEP_PX * 4, line_gap_px=look.STEP_PX * 2, spread=True))
        self._groups = groups
        return groups

    def _pick(
        self, choices: Sequence[tuple[Value, str, str]], lesson: Callable[[Value], Lesson]
    ) -> tuple[dict[Value, QAbstractButton], QHBoxLayout]:
        """A row of exclusive buttons: by value, and as a layout."""
        group = QButtonGroup(self)
        made: dict[Value, QAbstractButton] = {}
        for value, words, description in choices:
            part = button(words, description, "choice", checkable=True)
            part.clicked.connect(lambda _=False, value=value: self.choose(lesson(value)))
            group.addButton(part)
            made[value] = part
        return made, row(*made.values(), None, spacing=look.STEP_PX)

    def _make_keys(self) -> None:
        def cycle(parts: dict[Value, QAbstractButton]) -> None:
            values = list(parts)
            down = next(value for value in values if parts[value].isChecked())
            parts[values[(values.index(down) + 1) % len(values)]].click()

        everywhere, here = Qt.ShortcutContext.WindowShortcut, Qt.ShortcutContext.WidgetWithChildrenShortcut
        keys: tuple[tuple[str, Qt.ShortcutContext, Callable[[], object]], ...] = (
            ("Space", everywhere, self._space),
            ("Return", here, self._press),
            ("Enter", here, self._press),
            ("Left", here, lambda: self.step(-1)),
            ("Right", here, lambda: self.step(1)),
            ("Home", here, self.rewind),
            ("-", everywhere, lambda: self.pace(-TEMPO_STEP_BPM)),
            ("+", everywhere, lambda: self.pace(TEMPO_STEP_BPM)),
            ("=", everywhere, lambda: self.pace(TEMPO_STEP_BPM)),
            ("G", everywhere, lambda: self.choose(self.board.lesson.next_groove(1))),
            ("Shift+G", everywhere, lambda: self.choose(self.board.lesson.next_groove(-1))),
            ("D", everywhere, self._next_kit),
            ("P", everywhere, lambda: cycle(self._bars)),
            ("H", everywhere, lambda: cycle(self._hear)),
            ("V", everywhere, lambda: cycle(self._voice)),
            ("F11", everywhere, lambda: self.fill(not self._full)),
            ("Escape", everywhere, self._escape),
        )
        for key, context, then in keys:
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(context)
            shortcut.setAutoRepeat(key in HELD)
            shortcut.activated.connect(lambda then=then: then())

    # -- actions --------------------------------------------------------------------------------------------------

    def _next_kit(self) -> None:
        self._kits.setCurrentIndex((self._kits.currentIndex() + 1) % self._kits.count())

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
        self.choose(self.board.lesson.faster(by_bpm))

    def choose(self, lesson: Lesson) -> None:
        """Change the lesson."""
        same_tempo = lesson.tempo_bpm == self.board.lesson.tempo_bpm
        self.board.choose(lesson)
        if same_tempo:
            self._prepare()
        else:
            self._settle.start()
        self.redraw()

    def fill(self, full: bool) -> None:
        """Enter or leave full screen."""
        if full != self._full:
            self._full = full
            self.full_window.emit(full)
            self._shown = None
            self.redraw()
            self._play.setFocus()

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

    def _press(self) -> None:
        focus = QApplication.focusWidget()
        if isinstance(focus, QAbstractButton):
            focus.click()
        elif isinstance(focus, QComboBox):
            focus.showPopup()

    def _escape(self) -> None:
        if self._full:
            self.fill(False)
        else:
            self.board.stop()
            self.redraw()

    # -- events and timer -----------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Focus the play button and render the lesson."""
        super().showEvent(event)
        self.window().installEventFilter(self)
        self._arrange()
        self._play.setFocus()
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
        state = (board.lesson, board.playing, board.notice, self._full)
        if state == self._shown:
            return
        before, self._shown = self._shown, state
        lesson = board.lesson
        if before is None or before[0] != lesson:
            self._sheet.show_count(lesson.count(), way=lesson.way)
            self._sheet.show_sounding(board.beat)
        self._title.setText(groove_title(groove(lesson.groove).title) if self._full else self.tr("The tutor's board"))
        turn_into(self._title, "board" if self._full else "title")
        self._lead.setVisible(not self._full)
        self._groups.setVisible(not self._full)
        self._arrange()
        self._notice.setText(spoken(board.notice) if board.notice else "")
        self._notice.setVisible(board.notice is not None)
        self._tempo.setText(self.tr("{n} BPM").format(n=self.locale().toString(round(lesson.tempo_bpm))))
        self._tempo.setMinimumWidth(self._tempo.fontMetrics().horizontalAdvance(self.tr("{n} BPM").format(n=240)))
        # The same width for both texts, so that nothing moves.
        widths = []
        for words in (self.tr("Play"), self.tr("Stop")):
            self._play.setText(words)
            widths.append(self._play.sizeHint().width())
        self._play.setMinimumWidth(max(widths))
        words = self.tr("Stop") if board.playing else self.tr("Play")
        self._play.setText(words)
        named(self._play, words, self._play_words())
        if self._full:
            self._full_button.show_name(self.tr("Leave"), self.tr("Leaves the full window."), self.tr("Esc"))
        else:
            words = self.tr("Sheet and sound alone, over the whole screen.")
            self._full_button.show_name(self.tr("Full window"), words, "F11")
        self._show_choices(lesson)

    def _play_words(self) -> str:
        if self.board.playing:
            return self.tr("Stops the sound. The Space key does the same.")
        return self.tr("Plays from the one of the marked bar, round and round. The Space key does the same.")

    def _show_choices(self, lesson: Lesson) -> None:
        self._bars[lesson.phrase_bars].setChecked(True)
        self._hear[lesson.hear].setChecked(True)
        self._voice[lesson.way if lesson.aloud else OFF].setChecked(True)
        for box, chosen in ((self._groove, lesson.groove), (self._kits, lesson.kit_family)):
            blocked = box.blockSignals(True)
            box.setCurrentIndex(box.findData(chosen))
            box.blockSignals(blocked)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._shown = None
            if self.isVisible():
                self._arrange()


def _with_voice(lesson: Lesson, voice: object) -> Lesson:
    """The lesson with this voice, or none; the sheet's way of counting stays."""
    return replace(lesson, aloud=False) if voice == OFF else replace(lesson, aloud=True, way=str(voice))
