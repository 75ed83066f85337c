"""Length of today's practice: a number between two buttons."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from app.ui.widgets.controls import KeyButton, label, named, row
from exercises.learner.plan import LONGEST_MIN, SHORTEST_MIN

STEP_MIN = 5


class Minutes(QWidget):
    """Shows minutes; ``chosen`` carries a new value, 5 to 30 in steps of 5."""

    chosen = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self._minutes = 0
        self._fewer = KeyButton(self.tr("Shorter"), self.tr("Five minutes fewer. The minus key does the same."), "−")
        self._more = KeyButton(self.tr("Longer"), self.tr("Five minutes more. The plus key does the same."), "+")
        self._words = label("", "strong")
        line = row(self._fewer, self._words, self._more)
        line.setContentsMargins(0, 0, 0, 0)
        self.setLayout(line)
        self._keys = []
        for control, by, codes in (
            (self._fewer, -STEP_MIN, ("-", "Num+-")),
            (self._more, STEP_MIN, ("+", "=", "Num++")),
        ):
            control.clicked.connect(lambda _=False, by=by: self._step(by))
            for code in codes:
                shortcut = QShortcut(QKeySequence(code), self)
                shortcut.activated.connect(control.click)
                self._keys.append(shortcut)

    def show_minutes(self, minutes: int, today: int | None = None) -> None:
        """Set the value; ``today`` is the length of a plan that is shorter than that for once."""
        self._minutes = minutes
        if today is None or today >= minutes:
            self._words.setText(self.tr("{n} minutes").format(n=minutes))
        else:
            self._words.setText(self.tr("{n} minutes today").format(n=today))
        named(self._words, self._words.text())
        self._fewer.setEnabled(minutes > SHORTEST_MIN)
        self._more.setEnabled(minutes < LONGEST_MIN)

    def setVisible(self, visible: bool) -> None:
        """Enable the keys while visible."""
        super().setVisible(visible)
        for key in self._keys:
            key.setEnabled(visible)

    def _step(self, by: int) -> None:
        fives = (self._minutes + by) // STEP_MIN if by > 0 else -(-(self._minutes + by) // STEP_MIN)
        self.chosen.emit(min(LONGEST_MIN, max(SHORTEST_MIN, fives * STEP_MIN)))
