"""The large buttons of the welcome's last page."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout

from app.ui.base import theme as look
from app.ui.widgets.controls import label, layout_of, row

# Height of a card at 100 % text size.
CARD_PX = 320


class Card(QPushButton):
    """A large button with a heading, a sentence and its key; ``ahead`` marks the page's next step."""

    def __init__(self, heading: str, words: str, key: str, *, ahead: bool = False) -> None:
        super().__init__()
        self.setProperty("kind", "card")
        self.setProperty("ahead", ahead)
        self.setAccessibleName(heading)
        self.setAccessibleDescription(words)
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 3, step * 3, step * 3, step * 3)
        column.setSpacing(step)
        parts = [label(heading, "verdict", wrap=True), label(words, "lead", wrap=True)]
        for part in parts:
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            column.addWidget(part)
        column.addStretch(1)
        column.addSpacing(step)
        column.addLayout(row(label(key, "key"), None))
        # A screen reader sees one button and reads the labels as its text.
        self.setMinimumWidth(step * 28)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)  # cards of equal height
        self.setMaximumHeight(look.px(CARD_PX))

    def sizeHint(self) -> QSize:
        return layout_of(self).sizeHint()

    def minimumSizeHint(self) -> QSize:
        return layout_of(self).minimumSize()

    def hasHeightForWidth(self) -> bool:
        """The labels wrap."""
        return True

    def heightForWidth(self, width: int) -> int:
        return layout_of(self).heightForWidth(width)
