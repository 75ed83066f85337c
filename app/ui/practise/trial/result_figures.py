"""The figures of a result in a row, each above its name: "23 ms" above "spread".

Before a learner has met spread, bias and uncertainty in plain sentences, they stand behind a button.

A name that the help explains is a link to its page: a click, or F1 while focused.
"""

from functools import cached_property

from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.practice.learner.present_learner import PresentLearner
from app.ui.base import theme as look
from app.ui.widgets.controls import label, named
from app.ui.widgets.flow import Flow
from app.ui.widgets.sheet.count_sheet import shift_text
from exercises.logbook.history import spreads
from exercises.trial.marking import FEWEST_HITS
from exercises.trial.result import Result, TapMarks
from synth.base.errors import Trouble

# Results with a spread from which on its figures stand there at once.
MET_FROM = 10
LATER = ("spread", "bias", "uncertainty")
# Height of a name that is a link, with its underline (see the style sheet).
LINK_PX = 26


class Figure(QWidget):
    """One figure; hidden without a value. ``page`` is the id of its help page, if any."""

    def __init__(self, name: str, tip: str, page: str = "") -> None:
        super().__init__()
        self._name = name
        self.value = label("", "figure")
        self.setToolTip(tip)
        self.link: QPushButton | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.value)
        if page:
            self.link = QPushButton(name)
            self.link.setProperty("kind", "link")
            self.link.setProperty("help", page)
            self.link.setCursor(Qt.CursorShape.PointingHandCursor)
            named(self.link, name, tip)
            column.addWidget(self.link, 0, Qt.AlignmentFlag.AlignLeft)
        else:
            beneath = label(name, "small")
            beneath.setMinimumHeight(LINK_PX)  # aligns the values of all figures
            column.addWidget(beneath, 0, Qt.AlignmentFlag.AlignTop)
        self.setAccessibleDescription(tip)

    def show_value(self, text: str) -> None:
        """Show a value; hide the figure for an empty one."""
        self.value.setText(text)
        self.setVisible(bool(text))
        self.setAccessibleName(f"{self._name}: {text}")


class Figures(QWidget):
    """The figures of a result; hidden where there are none.

    Signals: ``help_asked`` with the id of a help page; ``opened`` once the figures in ms are shown: their button,
    which may have the keyboard, is gone then.
    """

    help_asked = Signal(str)
    opened = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._opened = False
        self.hide()

    @cached_property
    def named(self) -> dict[str, Figure]:
        """The figures by name; made when they are first asked for, with the button before them."""
        made = {
            "met": Figure(self.tr("met"), self.tr("How many of the targets had a tap of yours."), "met"),
            "extra": Figure(self.tr("extra taps"), self.tr("Taps that met no target."), "met"),
            "spread": Figure(
                self.tr("spread"),
                self.tr("How far your taps scatter around their own mean (standard deviation)."),
                "spread",
            ),
            "bias": Figure(
                self.tr("bias"),
                self.tr("The mean of your taps, with its 95 % interval: minus is early, plus is late."),
                "bias",
            ),
            "uncertainty": Figure(
                QCoreApplication.translate("help", "Uncertainty").lower(),
                QCoreApplication.translate("help", "The program does not know everything exactly, and it says so."),
                "uncertainty",
            ),
        }
        self.setLayout(Flow(*made.values(), self._later, gap_px=look.STEP_PX * 6))
        for figure in made.values():
            if figure.link is not None:
                page = figure.link.property("help")
                figure.link.clicked.connect(lambda _=False, page=page: self.help_asked.emit(page))
        return made

    @cached_property
    def _later(self) -> QPushButton:
        made = QPushButton(self.tr("Show it in figures"))
        made.setProperty("kind", "link")
        made.setCursor(Qt.CursorShape.PointingHandCursor)
        named(made, made.text(), self.tr("Spread, bias and uncertainty of these taps, in ms."))
        made.clicked.connect(self._show_later)
        return made

    def _show_later(self) -> None:
        """Show the figures from now on."""
        self._opened = True
        self._later.hide()
        for name in LATER:
            self.named[name].setVisible(bool(self.named[name].value.text()))
        self.opened.emit()

    def show_result(self, result: Result | None, calibrated: bool = True, met: bool = True) -> None:
        """Show the figures of a result, or nothing.

        Unless they are ``met``, what is measured in ms is shown where it is asked for.

        Omit the bias without a calibration: it then contains the unknown delay of the equipment.
        """
        shown = {} if result is None or result.taps is None else self._tap_figures(result.taps, calibrated)
        self.setVisible(bool(shown))
        if not shown:
            return
        for name, figure in self.named.items():
            figure.show_value(shown.get(name, ""))
        hidden = [name for name in LATER if name in shown and not (met or self._opened)]
        for name in hidden:
            self.named[name].hide()
        self._later.setVisible(bool(hidden))

    def _tap_figures(self, marks: TapMarks, calibrated: bool) -> dict[str, str]:
        if marks.targets == 1:  # met or not, which the verdict says
            return {}
        shown = {"met": self.tr("{hits} of {targets}").format(hits=marks.hits, targets=marks.targets)}
        if marks.extra:
            shown["extra"] = str(marks.extra)
        if marks.spread_ms is not None and marks.hits >= FEWEST_HITS:
            shown["spread"] = self.tr("{ms:.0f} ms").format(ms=marks.spread_ms)
        if calibrated and marks.bias_ms is not None and marks.bias_ci95_ms is not None and marks.hits >= FEWEST_HITS:
            half = (marks.bias_ci95_ms[1] - marks.bias_ci95_ms[0]) / 2
            shown["bias"] = self.tr("{ms} ± {half:.0f} ms").format(ms=shift_text(marks.bias_ms), half=half)
            if round(marks.uncertainty_ms):
                shown["uncertainty"] = self.tr("{ms:.0f} ms").format(ms=marks.uncertainty_ms)
        return shown


def figures_met(learner: PresentLearner) -> bool:
    """Whether the learner has had results enough to have met the figures; so it is without a logbook, too."""
    try:
        return learner.logbook is None or spreads(learner.logbook, learner.key) >= MET_FROM
    except Trouble:
        return True  # reported on saving
