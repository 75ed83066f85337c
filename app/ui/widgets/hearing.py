"""Cautions for hearing and hands, shown on several screens."""

from PySide6.QtWidgets import QFrame, QVBoxLayout

from app.ui.base import theme as look
from app.ui.base.words import unbroken
from app.ui.widgets.controls import label


class HearingWords(QFrame):
    """The cautions on a sheet. Figures: NIOSH 1998 (criteria document, 85 dBA, 3 dB exchange); WHO-ITU H.870 2018."""

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
                    "A program cannot know how loud it is at your ear. NIOSH advises at most 85 dBA over 8 hours a "
                    "day, half the time for every 3 dB more; WHO and ITU (H.870) at most 80 dBA over 40 hours a "
                    "week, less for children. If you must raise your voice above it, it is too loud."
                ),
            ),
            (
                "",
                self.tr(
                    "Ringing ears, dull hearing or pain: stop. If it is still there the next day, see a professional."
                ),
            ),
            (
                self.tr("Your hands"),
                self.tr("Tap lightly, from the finger. Rest when hand or arm tires; pain means stop."),
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
