"""The parts of the practise screen, and how they fit into the window."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.ui.base import theme as look
from app.ui.practise.choose.choose_page import ChoosePage
from app.ui.practise.plan.minutes import Minutes
from app.ui.practise.plan.plan_card import PlanCard
from app.ui.practise.plan.plan_top import Who
from app.ui.practise.steps import PractiseSteps
from app.ui.practise.trial.answer_panel import AnswerPanel
from app.ui.practise.trial.ink_drawing import InkDrawing
from app.ui.practise.trial.result_figures import Figures
from app.ui.practise.trial.side_view import SideView
from app.ui.result.verdict_sign import VerdictSign
from app.ui.result.versions_row import VersionsRow
from app.ui.widgets.controls import fit_heading, label, row
from app.ui.widgets.linked_label import LinkedLabel
from app.ui.widgets.screens import Scrolled, ScrollPage
from app.ui.widgets.sheet.count_sheet import CountSheet
from app.ui.widgets.sheet.timing_strip import TimingStrip

# Least height of the sheet while listening and with a result. The latter grows with the text size by up to GROWS_PX,
# so that its figures stay as large as with small text.
SHEET_PX, RESULT_SHEET_PX, GROWS_PX = 176, 208, 72
# Least height of the sheet of a result in a window that is too low for it.
LOW_SHEET_PX = 152
# Greatest width of the plan's page (at 100 % text size).
PLAN_PX = 1200


class PractiseParts(QWidget):
    """The widgets, laid out: ``PractiseScreen`` fills them and says what they do."""

    def __init__(self, practice: Practice, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self.practice = practice
        self._largest = "title"
        self.place = label("", "soft")
        self.heading = label("", "title", wrap=True)
        self.lead = LinkedLabel("lead")
        self._soft = label("", "soft", wrap=True)
        self.notice = label("", "lead", wrap=True)
        self.plan = PlanCard()
        self.minutes = Minutes()
        self.who = Who()
        self.figures = Figures()
        self.versions = VersionsRow()
        self.sign = VerdictSign()
        self.side = SideView()
        self.sheet = CountSheet()
        self.sheet.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.ink = InkDrawing(self.sheet)
        self.strip = TimingStrip()
        self.legend = label("", "small", wrap=True)
        self.panel = AnswerPanel(lambda: practice.now())
        self._choosing: ChoosePage | None = None
        self.steps = PractiseSteps()

        step = look.STEP_PX
        # Scrolls if it does not fit; the next step below it stays visible.
        whole = self._whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        page = self._page = ScrollPage()
        self.page_view = Scrolled(page)
        whole.addWidget(self.page_view, 1)
        column = self._column = QVBoxLayout(page)
        top = QVBoxLayout()
        top.setSpacing(step // 2)
        line = row(self.sign, self.heading, self.minutes)
        line.setAlignment(self.sign, Qt.AlignmentFlag.AlignTop)
        line.setStretch(1, 1)
        top.addWidget(self.who)
        top.addWidget(self.place)
        top.addLayout(line)
        top.addWidget(self.lead)
        top.addWidget(self._soft)
        column.addLayout(top)
        column.addWidget(self.notice)
        self._beside = beside = row(self.versions, self.figures, spacing=step * 6)
        beside.setStretch(1, 1)
        column.addLayout(beside)
        column.addWidget(self.side)
        for tall in (self.plan, self.panel, self.sheet):
            column.addWidget(tall, 1)
        column.addWidget(self.legend)
        column.addWidget(self.strip)
        column.addStretch(0)
        foot = row(self.steps)
        foot.setContentsMargins(step * 5, step, step * 5, step * 2)
        whole.addLayout(foot)

    @property
    def choosing(self) -> ChoosePage:
        """The drills to choose from, made on first use: today's plan does without them."""
        if self._choosing is None:
            self._choosing = ChoosePage(self.practice.wish, self._title_of)
            self._choosing.hide()
            self._column.insertWidget(self._column.indexOf(self.panel), self._choosing, 1)
            self._made_choosing(self._choosing)
        return self._choosing

    def _made_choosing(self, choosing: ChoosePage) -> None:
        """Called once it is made."""

    def _title_of(self, print: str) -> str:
        """The title of an own record by its id; empty for one that is not in the list."""
        records = self.practice.records
        found = None if records is None else records.catalogue.get(print)
        return "" if found is None else found.name

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Fit margins, heading size and the empty sheet to the size of window and text."""
        practice, step = self.practice, look.STEP_PX
        right = step * 5
        if practice.at_plan:  # keep the durations near their items
            right = max(right, self.width() - step * 5 - look.px(PLAN_PX))
        # A result is read on the sheet; before that, sheet and question fit into the window together.
        self._pack(right, low=False, aside=False)
        if practice.phase is Phase.MARKED and self.isVisible() and self._needed() > self.page_view.height():
            self._pack(right, low=True, aside=False)
            below = self._needed()
            if below > self.page_view.height() and self.versions.isHidden():
                self._pack(right, low=True, aside=True)
                if self._needed() >= below:
                    self._pack(right, low=True, aside=False)
        if practice.phase is Phase.MARKED and self.isVisible() and not self.sheet.isHidden():
            self._enlarge()
        if practice.phase is Phase.READY and not practice.at_plan and not practice.chooses and self.isVisible():
            self.sheet.hide()
            needed = self._needed() + self._column.spacing() + SHEET_PX
            self.sheet.setVisible(needed <= self.page_view.height())

    def _enlarge(self) -> None:
        """Give the figures of a result the size of larger text, if half the sheet is seen without scrolling."""
        view_px = self.page_view.height()
        fits = self.sheet.minimumHeight() + max(0, view_px - self._needed())
        most = min(view_px, 2 * (view_px - self.sheet.y()))
        wanted = self.sheet.readable_px(self.sheet.width(), fits, most)
        if wanted > fits:
            self.sheet.setMinimumHeight(wanted)

    def _needed(self) -> int:
        """Height of the whole page."""
        self._column.activate()  # else the rows within it keep the heights of before
        return self._page.heightForWidth(self.width())

    def _pack(self, right: int, *, low: bool, aside: bool) -> None:
        """Arrange the page; ``low`` saves height, with the strip ``aside``, beside the figures."""
        step, large = look.STEP_PX, look.px(100) > look.LARGE
        self._column.setContentsMargins(step * 5, step * (2 if large or low else 3), right, step)
        self._column.setSpacing(step if large or low else step * 2)
        room = self.width() - step * 5 - right - self.sign.taken_px
        fit_heading(self.heading, "title" if low else self._largest, room, shrink=large)
        grown = look.px(GROWS_PX) - GROWS_PX
        marked = self.practice.phase is Phase.MARKED
        self.sheet.setMinimumHeight((LOW_SHEET_PX if low else RESULT_SHEET_PX) + grown if marked else SHEET_PX)
        self.strip.make_low(low)
        line: QBoxLayout = self._beside if aside else self._column
        if line.indexOf(self.strip) < 0:
            (self._column if aside else self._beside).removeWidget(self.strip)
            line.insertWidget(line.count() if aside else self._column.indexOf(self.legend) + 1, self.strip)
            for at in range(1, self._beside.count()):
                self._beside.setStretch(at, int(at == self._beside.count() - 1))
