"""The first picture of the window: heading, and what the page will begin with, while all behind it is imported."""

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from app.settings import Settings
from app.ui.base import theme as look
from app.ui.heading import Heading
from app.ui.widgets.controls import fit_heading, label, row
from app.ui.widgets.screens import SIDE_BY_SIDE_PX, inset


class Opening(QWidget):
    """What the page of the practice, or of the welcome, shows first, in the same place; it takes no keys.

    ``settings`` are those it is made of. With ``planned`` the page will show today's plan.
    """

    def __init__(self, settings: Settings, *, welcome: bool, planned: bool) -> None:
        super().__init__()
        self.setObjectName("screen")
        self._beside: QWidget | None = None  # where the welcome has its sheet
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._page = QVBoxLayout()
        if welcome:
            self._begin_welcome()
        else:
            rule = QFrame()
            rule.setObjectName("rule")
            rule.setFixedHeight(1)
            column.addWidget(Heading(settings.start_volume, self))
            column.addWidget(rule)
            if planned:
                self._begin_plan(settings.window_width_px)
        column.addLayout(self._page, 1)
        self._page.addStretch(1)
        for part in self.findChildren(QWidget):
            part.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def _begin_plan(self, room_px: int) -> None:
        """The title and lead of today's plan while it is made; the buttons beside the title come with the page."""
        translate, step = QCoreApplication.translate, look.STEP_PX
        title = label(translate("PlanWords", "Today's practice"), "title", wrap=True)
        title.setMinimumHeight(look.control_px())
        large = look.px(100) > look.LARGE
        fit_heading(title, "title", room_px, shrink=large)
        self._page.setContentsMargins(step * 5, step * (2 if large else 3), step * 5, step)
        self._page.setSpacing(step // 2)
        self._page.addWidget(title)
        lead = translate("PlanWords", "One moment: choosing what helps you most today …")
        self._page.addWidget(label(lead, "lead", wrap=True))

    def _begin_welcome(self) -> None:
        """Name, title and lead of the welcome's first page."""
        translate, step = QCoreApplication.translate, look.STEP_PX
        name = label("Tallybar", "name")
        name.setMinimumHeight(look.control_px())
        title = label(translate("WelcomeScreen", "Know where you are in the music"), "verdict", wrap=True)
        lead = label(
            translate(
                "WelcomeScreen",
                "Tallybar plays drums; you tap, count or answer; "
                "it says how near you were and what to practise next.",
            ),
            "lead",
            wrap=True,
        )
        words = QVBoxLayout()
        words.setSpacing(step * 2)
        words.addWidget(title)
        words.addWidget(lead)
        self._beside = QWidget()
        both = QHBoxLayout()
        both.setContentsMargins(0, step * 3, 0, 0)
        both.setSpacing(step * 6)
        both.addLayout(words, 1)
        both.addWidget(self._beside, 1)
        self._page.setSpacing(step * 3)
        self._page.addLayout(row(name, None))
        self._page.addLayout(both)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._beside is not None:
            beside, above = inset(self.size())
            self._page.setContentsMargins(beside, above, beside, above)
            self._beside.setVisible(self.width() >= look.px(SIDE_BY_SIDE_PX))
