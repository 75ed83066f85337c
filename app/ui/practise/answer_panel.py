"""Where a question is answered when the sound is over: choices, a number, or a place in the count.

By keys alone: the figures pick a choice, Return the one that has the keyboard; it gives a number or a place, too. By
mouse alone: every choice, every step of a number has a button.
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
    """Emits ``answered`` with the answer in words, as ``exercises.trial.answers.parse_value`` reads it."""

    answered = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._line = Flow()
        self.setLayout(self._line)
        self._parts: list[QWidget | QShortcut] = []
        self._first: QWidget | None = None
        self._text: Callable[[], str] | None = None

    def ask_choice(self, choices: Sequence[tuple[str, str]]) -> None:
        """Offer choices, each a key and its words; the figure before the words picks it."""
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
        """Ask for a whole number; ``about`` is where its control begins."""
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
        """Show what a kind of question needs, and nothing for a kind that asks nothing.

        ``gives`` names a number that is asked for, ``about`` is where its control begins.
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
        """Put the keyboard on the first control."""
        if self._first is not None:
            self._first.setFocus()
            if isinstance(self._first, QSpinBox):
                self._first.selectAll()

    def _spin(self, name: str, highest: int, start: int = 1) -> QSpinBox:
        spin = NumberField()
        spin.setRange(1, highest)
        spin.setValue(start)
        spin.setMinimumSize(96, look.TARGET_PX)
        named(spin, name, self.tr("Type a figure, or use the arrow keys."))
        self._add(_pair(label(name), spin), spin)
        return spin

    def _offer(self, text: Callable[[], str]) -> None:
        self._text = text
        answer = button(self.tr("Answer"), self.tr("Gives the answer. The Return key does the same."), "next")
        answer.clicked.connect(self.give)
        self._add(_pair(label(self.tr("Return"), "key"), answer), answer)

    def give(self) -> None:
        """Give the number or place that stands in the controls, or the choice that has the keyboard."""
        chosen = QApplication.focusWidget()
        if self._text is not None:
            self.answered.emit(self._text())
        elif isinstance(chosen, QPushButton) and chosen in self._parts:
            chosen.click()

    def _add(self, part: QWidget, control: QWidget | None = None) -> None:
        """Put a part into the line; ``control`` is what takes the keyboard in it, if not all of it."""
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
    """A name with its control, closer to each other than to the next pair."""
    made, line = QWidget(), row(name, control, spacing=look.STEP_PX)
    line.setContentsMargins(0, 0, look.STEP_PX * 2, 0)
    made.setLayout(line)
    return made
