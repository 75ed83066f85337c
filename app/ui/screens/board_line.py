"""The line below the board's sheet: play, steps, tempo, and the whole screen."""

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.practice.board.tapped_tempo import TappedTempo
from app.ui.base import theme as look
from app.ui.widgets.controls import FIELD_PX, KeyButton, NumberField, button, label, named, quiet, row
from app.ui.widgets.flow import Flow
from synth.device.clock import now_s
from synth.score.metre import TEMPO_RANGE_BPM

EDITS = (Qt.Key.Key_Backspace, Qt.Key.Key_Delete, Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Up, Qt.Key.Key_Down)


class TempoField(NumberField):
    """Whole BPM; takes the keys of a number and leaves all others to the screen. ``done`` by Return."""

    done = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setRange(*(int(bpm) for bpm in TEMPO_RANGE_BPM))
        self.setSuffix(self.tr(" BPM"))
        self.setKeyboardTracking(False)
        self.setFont(look.font(look.TYPE.title, serif=True))  # for its lining figures; the style sheet says the rest
        self.setProperty("kind", "figure")
        named(self, self.tr("Tempo"), self.tr("Beats a minute: type them, or use plus and minus."))

    def sizeHint(self) -> QSize:
        """Wide enough for three digits; the buttons beside it take the place of arrows."""
        words = self.fontMetrics().horizontalAdvance(f"{self.maximum()}{self.suffix()}")
        return QSize(words + look.px(3 * FIELD_PX), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def event(self, event: QEvent) -> bool:
        """Claim only what edits a number: other keys are shortcuts of the screen."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            wanted = event.text().isdigit() or event.key() in EDITS or event.matches(QKeySequence.StandardKey.Paste)
            event.setAccepted(wanted)
            return wanted
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.done.emit()


class BoardLine(QWidget):
    """Buttons as attributes; ``tempo`` carries a tempo in BPM that was typed or tapped."""

    tempo = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.play = button(self.tr("Play"), "", "next")
        self.back = KeyButton(self.tr("Step back"), self.tr("Sounds the beat before."), "←")
        self.on = KeyButton(self.tr("Step on"), self.tr("Sounds the next beat."), "→")
        self.first = KeyButton(self.tr("First one"), self.tr("Back to the phrase's first one."), self.tr("Home"))
        self.slower = KeyButton(self.tr("Slower"), self.tr("Takes the tempo down."), "−")
        self.faster = KeyButton(self.tr("Faster"), self.tr("Takes the tempo up."), "+")
        self.tap = KeyButton(
            self.tr("Tap"), self.tr("Press it with the beat: its tempo is taken over."), self.tr("T")
        )
        self.full = KeyButton("", "", "")
        self.field = TempoField()
        self.field.valueChanged.connect(self.tempo)
        self.field.done.connect(self.play.setFocus)
        self._tapped = TappedTempo()
        self.tap.pressed.connect(self.take_tap)
        for part in (self.back, self.on, self.slower, self.faster):
            part.setAutoRepeat(True)
        for sign in (self.slower, self.faster):
            sign.words.hide()
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(
            Flow(
                row(label(self.tr("Space"), "key"), self.play, spacing=step),
                row(self.back, self.on, self.first, spacing=step),
                row(self.slower, self.field, self.faster, self.tap, spacing=step),
                self.full,
                gap_px=step * 3,
                spread=True,
            )
        )

    def take_tap(self) -> None:
        """Take a tap of the tempo."""
        bpm = self._tapped.tap(now_s())
        if bpm is not None:
            self.tempo.emit(bpm)

    def show_state(self, tempo_bpm: float, *, playing: bool, full: bool) -> None:
        """Show tempo, whether it plays, and whether the screen is filled."""
        with quiet(self.field):
            self.field.setValue(round(tempo_bpm))
        # The same width for both texts, so that nothing moves.
        widths = []
        for words in (self.tr("Play"), self.tr("Stop")):
            self.play.setText(words)
            widths.append(self.play.sizeHint().width())
        self.play.setMinimumWidth(max(widths))
        words = self.tr("Stop") if playing else self.tr("Play")
        self.play.setText(words)
        about = (
            self.tr("Stops the sound. The Space key does the same.")
            if playing
            else self.tr("Plays from the one of the marked bar, round and round. The Space key does the same.")
        )
        named(self.play, words, about)
        if full:
            self.full.show_name(self.tr("Leave"), self.tr("Leaves the full window."), self.tr("Esc"))
        else:
            words = self.tr("Sheet and sound alone, over the whole screen.")
            self.full.show_name(self.tr("Full window"), words, "F11")
