"""A card: a framed sheet with a heading."""

from PySide6.QtWidgets import QFrame, QVBoxLayout

from app.ui.base import theme as look
from app.ui.widgets.controls import label


class Card(QFrame):
    """``column`` is the layout below the heading."""

    def __init__(self, heading: str) -> None:
        super().__init__()
        self.setObjectName("card")
        step = look.STEP_PX
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(step * 3, step * 2, step * 3, step * 2)
        self.column.setSpacing(step * 2)
        self.column.addWidget(label(heading, "strong"))
