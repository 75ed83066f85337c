"""The panel for answers after the sound: a choice, a number, or a position in the count.

Digits pick a choice; Return gives the focused choice, the number or the position. Everything has a button, too.
"""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QPushButton, QSpinBox, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import NumberField, button, label, named, row
from app.ui.widgets.flow import Flow
from exercises.trial.trial import Kind

HIGHEST_NUMBER = 999


class AnswerPanel(QWidget):
    """Emits ``answered`` with the answer as text, as ``exercises.trial.answers.parse_value`` reads it."""

    answered = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._line = Flow()
        self.setLayout(self._line)
        self._parts: list[QWidget | QShortcut] = []
        self._first: QWidget | None = None
        self._text: Callable[[], str] | None = None

    def ask_choice(self, choices: Sequence[tuple[str, str]]) -> None:
        """Offer choices, each a key and its label; the digit before the label picks it."""
        self._clear()
        for number, (key, words) in enumerate(choices, start=1):
            shown = f"{number}   {words}" if number <= 9 and words != str(number) else words
            offer = button(shown, self.tr("Answers: {words}").format(words=words), "answer")
            offer.clicked.connect(lambda _=False, key=key: self.answered.emit(key))
            self._add(offer)
            if number <= 9:
                for code in (f"{number}", f"Num+{number}"):
                    shortcut = QShortcut(QKeySequence(code), self)
                    shortcut.activated.connect(lambda key=key: self.answered.emit(key))
                    self._parts.append(shortcut)

    def ask_number(self, name: str, about: int) -> None:
        """Ask for a whole number; the control starts at ``about``."""
        self._clear()
        number = self._spin(name, HIGHEST_NUMBER, about)
        self._offer(lambda: str(number.value()))

    def ask_position(self, bars: int, beats: int) -> None:
        """Ask for a bar of the phrase and a beat of the bar."""
        self._clear()
        bar = self._spin(self.tr("Bar"), bars)
        beat = self._spin(self.tr("Beat"), beats)
        self._offer(lambda: f"{bar.value()}.{beat.value()}")

    def ask(
        self,
        kind: Kind,
        *,
        choices: Sequence[tuple[str, str]] = (),
        bars: int = 1,
        beats: int = 1,
        gives: str = "",
        about: int = 1,
    ) -> None:
        """Show the controls for a kind of question, or none.

        ``gives`` names the number, ``about`` is its start value.
        """
        if kind is Kind.CHOICE:
            self.ask_choice(choices)
        elif kind is Kind.NUMBER:
            self.ask_number(gives, about)
        elif kind is Kind.POSITION:
            self.ask_position(bars, beats)
        else:
            self._clear()

    def take_focus(self) -> None:
        """Focus the first control."""
        if self._first is not None:
            self._first.setFocus()
            if isinstance(self._first, QSpinBox):
                self._first.selectAll()

    def _spin(self, name: str, highest: int, start: int = 1) -> QSpinBox:
        spin = NumberField()
        spin.setRange(1, highest)
        spin.setValue(start)
        spin.setMinimumSize(96, look.TARGET_PX)
        named(spin, name, self.tr("Type a digit, or use the arrow keys."))
        self._add(_pair(label(name), spin), spin)
        return spin

    def _offer(self, text: Callable[[], str]) -> None:
        self._text = text
        answer = button(self.tr("Answer"), self.tr("Gives the answer. The Return key does the same."), "next")
        answer.clicked.connect(self.give)
        self._add(_pair(label(self.tr("Return"), "key"), answer), answer)

    def give(self) -> None:
        """Emit the number or position set, or the focused choice."""
        chosen = QApplication.focusWidget()
        if self._text is not None:
            self.answered.emit(self._text())
        elif isinstance(chosen, QPushButton) and chosen in self._parts:
            chosen.click()

    def _add(self, part: QWidget, control: QWidget | None = None) -> None:
        """Add a widget to the line; ``control`` is the part of it that takes the focus, by default all."""
        self._line.addWidget(part)
        self._parts.append(part)
        self._first = self._first or control or part

    def _clear(self) -> None:
        for part in self._parts:
            part.setParent(None)
            part.deleteLater()
        while self._line.count():
            self._line.takeAt(0)
        self._parts, self._first, self._text = [], None, None


def _pair(name: QWidget, control: QWidget) -> QWidget:
    """A label and its control with little space between."""
    made, line = QWidget(), row(name, control, spacing=look.STEP_PX)
    line.setContentsMargins(0, 0, look.STEP_PX * 2, 0)
    made.setLayout(line)
    return made
