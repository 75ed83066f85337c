"""Answers in digits: a number, or bar and beat. Empty at first; a keypad types into them for who has no keyboard."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QValidator
from PySide6.QtWidgets import QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import button, label, named, row
from app.ui.widgets.flow import Flow

# Most digits of a field that is left by itself once it is full.
LEFT_AT = 1


class _UpTo(QValidator):
    """Whole numbers from 1 to ``highest``, or nothing yet; anything else cannot be typed."""

    def __init__(self, highest: int, parent: QWidget) -> None:
        super().__init__(parent)
        self._highest = highest

    def validate(self, text: str, at: int) -> tuple[QValidator.State, str, int]:
        """The state of a text."""
        good = text.isascii() and text.isdecimal() and 1 <= int(text) <= self._highest
        states = QValidator.State
        return states.Acceptable if good else states.Invalid if text else states.Intermediate, text, at


class DigitField(QLineEdit):
    """A whole number from 1 to ``highest``, empty at first.

    Signals: ``full`` once its single digit is typed, ``passed`` at a point or comma, ``backed`` at a Backspace with
    nothing left to take away.
    """

    full = Signal()
    passed = Signal()
    backed = Signal()

    def __init__(self, highest: int) -> None:
        super().__init__()
        self.setValidator(_UpTo(highest, self))
        self.setMaxLength(len(str(highest)))
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setProperty("kind", "digits")
        self.setFixedWidth(look.px(88))
        self.textEdited.connect(self._look)

    @property
    def whole(self) -> bool:
        """Whether it holds a number in range."""
        return self.hasAcceptableInput()

    def _look(self) -> None:
        if self.whole and self.maxLength() <= LEFT_AT:
            self.full.emit()

    def type(self, digit: str) -> None:
        """Take a digit of the keypad."""
        before = self.text()
        self.insert(digit)
        if self.text() != before:
            self.textEdited.emit(self.text())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Select what is there, so that a digit replaces it."""
        super().focusInEvent(event)
        self.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let a point or a comma lead on, and Backspace lead back."""
        if event.text() in (".", ","):
            self.passed.emit()
        elif event.key() == Qt.Key.Key_Backspace and not self.text():
            self.backed.emit()
        else:
            super().keyPressEvent(event)


class DigitAnswer(QWidget):
    """Fields in a row, their keypad and the button that gives them; ``given`` has their numbers, joined by points.

    ``fields`` are name and highest number of each. It is given only when every field has a number.
    """

    given = Signal(str)

    def __init__(self, fields: Sequence[tuple[str, int]], hint: str = "") -> None:
        super().__init__()
        self.fields = [DigitField(highest) for _, highest in fields]
        parts: list[QWidget | int | None] = [None]
        for field, (name, highest) in zip(self.fields, fields, strict=True):
            named(field, name, self.tr("A number from 1 to {highest}, typed in digits.").format(highest=highest))
            parts += [label(name, "lead"), look.STEP_PX, field, look.STEP_PX]
            field.textChanged.connect(self._watch)
        for before, after in zip(self.fields, self.fields[1:], strict=False):
            before.full.connect(after.setFocus)
            before.passed.connect(lambda before=before, after=after: before.whole and after.setFocus())
            after.backed.connect(before.setFocus)
        self.answer = button(self.tr("Answer"), self.tr("Gives the answer. The Return key does the same."), "next")
        self.answer.clicked.connect(self.give)
        line = row(*parts, label(self.tr("Return"), "key"), self.answer, None, spacing=look.STEP_PX)
        pad, keys = QWidget(), [self._key(digit) for digit in "1234567890"]
        erase = self._key(self.tr("Erase"), self.tr("Takes the last digit away. Backspace does the same."))
        erase.clicked.connect(self._erase)
        pad.setLayout(Flow(*keys, erase))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.STEP_PX * 2)
        column.addStretch(1)
        column.addLayout(line)
        if hint:
            about = label(hint, "soft", wrap=True)
            about.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            column.addWidget(about)
        below = row(None, pad, None)
        below.setStretch(1, 1000)
        pad.setMaximumWidth(pad.sizeHint().width())
        column.addLayout(below)
        column.addStretch(1)
        self._watch()

    def _key(self, name: str, description: str = "") -> QPushButton:
        """A key of the keypad; the field that is typed into keeps the focus."""
        made = button(name, description or self.tr("Types this digit."))
        made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        if not description:
            made.clicked.connect(lambda _=False: self._field.type(name))
        return made

    @property
    def _field(self) -> DigitField:
        """The field that is typed into: the focused one, else the first without a number."""
        focused = (field for field in self.fields if field.hasFocus())
        return next(focused, next((field for field in self.fields if not field.whole), self.fields[-1]))

    def _erase(self) -> None:
        field = self._field
        if field.text():
            field.backspace()
        else:
            field.backed.emit()

    def _watch(self) -> None:
        self.answer.setEnabled(all(field.whole for field in self.fields))

    def take_focus(self) -> None:
        """Focus the first field."""
        self.fields[0].setFocus()

    def give(self) -> None:
        """Emit the numbers, or go to the first field that has none."""
        missing = next((field for field in self.fields if not field.whole), None)
        if missing is not None:
            missing.setFocus()
        else:
            self.given.emit(".".join(str(int(field.text())) for field in self.fields))
