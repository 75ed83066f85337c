"""The choices of a question: large buttons with their keys, in columns of equal width."""

from collections.abc import Sequence

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import KeyButton, named, row, turn_into
from app.ui.widgets.grid import Grid

# Widest and highest offer at 100 % text size.
WIDE_PX, HIGH_PX = 320, 88
# So many choices are in sight one below the other in large text.
SEEN = 4
# Of more choices the lines stand this close.
FEW, CLOSE_PX = 6, 3
ARROWS = (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down)


class Offer(KeyButton):
    """One choice; checked once it is picked. ``kind`` is that of its words."""

    def __init__(self, words: str, description: str, key: str, kind: str) -> None:
        super().__init__(words, description, key)
        self.setProperty("kind", "offer")
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Expanding)
        turn_into(self.words, kind)
        self.hint.setVisible(bool(key))
        self.line.addStretch(1)


class OfferGrid(Grid):
    """A grid whose parts grow with the height that there is, in the middle of it."""

    def setGeometry(self, rect: QRect) -> None:
        """Share the height between the lines."""
        lines = -(-len(self._shown) // self._columns(rect.width()))
        most_px = lines * look.px(HIGH_PX) + (lines - 1) * self._line_gap_px
        height = min(rect.height(), most_px)
        super().setGeometry(QRect(rect.x(), rect.y() + (rect.height() - height) // 2, rect.width(), height))

    def _line_px(self, height: int, lines: int) -> float:
        return max(super()._line_px(height, lines), (height - (lines - 1) * self._line_gap_px) / lines)


class Offers(QWidget):
    """Shows choices, each a key of an answer and its words; ``picked`` has the key.

    A digit picks its choice, and so does a click, or the space bar where the focus is. No choice has the focus until
    an arrow key or Tab gives it to one.
    """

    picked = Signal(str)

    def __init__(self, choices: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        named(self, self.tr("Answers"), self.tr("Press the digit beside an answer, or go to it with the arrow keys."))
        self.offers: dict[str, Offer] = {}
        # In large text many choices stand in two columns, and so in sight, in smaller words alone.
        kind = "body" if len(choices) > SEEN and look.px(100) > look.LARGE else "lead"
        for number, (key, words) in enumerate(choices, start=1):
            digit = str(number) if number <= 9 else ""
            offer = Offer(words, self.tr("Answers: {words}").format(words=words), digit, kind)
            offer.clicked.connect(lambda _=False, key=key: self.picked.emit(key))
            self.offers[key] = offer
            for code in (digit, f"Num+{digit}") if digit else ():
                QShortcut(QKeySequence(code), self).activated.connect(lambda key=key: self.picked.emit(key))
        holder = QWidget()
        gap_px = look.STEP_PX if len(choices) <= FEW else CLOSE_PX
        grid = OfferGrid(*self.offers.values(), gap_px=look.STEP_PX * 2, line_gap_px=gap_px)
        holder.setLayout(grid)
        holder.setMaximumWidth(max(2, min(4, len(choices))) * look.px(WIDE_PX))
        line = row(None, holder, None)
        line.setContentsMargins(0, 0, 0, 0)
        line.setStretch(1, 1000)
        self.setLayout(line)

    def show_picked(self, key: str | None) -> None:
        """Check the choice of this key."""
        for each, offer in self.offers.items():
            offer.setChecked(each == key)

    def take_focus(self) -> None:
        """Focus none of the choices, so that no key takes one by accident."""
        self.setFocus()

    def give(self) -> None:
        """Pick the choice that has the focus, if one has."""
        focused = QApplication.focusWidget()
        for key, offer in self.offers.items():
            if offer is focused:
                self.picked.emit(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the first choice with an arrow key."""
        if event.key() in ARROWS and self.hasFocus():
            next(iter(self.offers.values())).setFocus(Qt.FocusReason.TabFocusReason)
        else:
            super().keyPressEvent(event)
