"""Cautions for hearing and hands, shown on several screens."""

from PySide6.QtWidgets import QFrame, QVBoxLayout

from app.ui.base import theme as look
from app.ui.base.words import unbroken
from app.ui.widgets.controls import label


class HearingWords(QFrame):
    """The cautions on a sheet. Figures: WHO-ITU H.870 (2018), read in secondary sources."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("card")
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 3, step * 2, step * 3, step * 2)
        column.setSpacing(step)
        for heading, words in (
            (
                self.tr("Your ears"),
                self.tr(
                    "A program cannot know how loud it is at your ear. For leisure, WHO and ITU (H.870) advise "
                    "at most 80 dBA for 40 hours a week, for children 75 dBA. Every 3 dB more halves the time. "
                    "If you must raise your voice above it, it is too loud."
                ),
            ),
            (
                "",
                self.tr(
                    "Ringing ears, dull hearing or pain: stop now. If it is still there the next day, see a doctor."
                ),
            ),
            (
                self.tr("Your hands"),
                self.tr(
                    "Tap lightly, from the finger. Rest when hand or arm tires. Pain: stop now; if it comes "
                    "back, see a doctor."
                ),
            ),
            (
                self.tr("Where you are"),
                self.tr("Never while driving or cycling, or wherever you need to hear what is around you."),
            ),
        ):
            if heading:
                column.addWidget(label(heading, "strong"))
            column.addWidget(label(unbroken(words), "body", wrap=True))
        column.addStretch(1)
