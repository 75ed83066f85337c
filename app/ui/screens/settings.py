"""The settings screen. Each choice takes effect at once."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QGridLayout, QVBoxLayout, QWidget

from app.practice.plan.today import MOST_RECORDS
from app.settings import LANGUAGES, NOBODY, Settings
from app.ui.base import theme as look
from app.ui.base.words import unbroken
from app.ui.screens.learner_fields import AddLearner, NameField
from app.ui.widgets.card import Card
from app.ui.widgets.choices import Choices
from app.ui.widgets.controls import NumberField, button, label, named, quiet, row, show
from app.ui.widgets.hearing import HearingWords
from app.ui.widgets.screens import ScrollPage, scrolled

# Below this width (at 100 % text size) the cards are stacked.
SIDE_BY_SIDE_PX = 1040
# Width of text fields (at 100 % text size).
FIELD_PX = 240


class SettingsScreen(QWidget):
    """Shows settings. ``changed`` carries names and values; ``welcome_wanted`` asks for the first run,
    ``learner_added`` carries the name of another learner.
    """

    changed = Signal(dict)
    welcome_wanted = Signal()
    learner_added = Signal(str)

    def __init__(self, settings: Settings, path: Path | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        page = ScrollPage()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled(page))
        self._choices: dict[str, Choices] = {}
        system = self.tr("As the desktop")
        look_card, grid = self._card(self.tr("The sheet"))
        self._choice(
            grid,
            "theme",
            self.tr("Colours"),
            ("system", system, ""),
            ("light", self.tr("Light"), self.tr("Dark ink on light paper.")),
            ("dark", self.tr("Dark"), self.tr("Light ink on dark paper.")),
        )
        sizes = (100, 125, 150, 175, 200)
        self._choice(
            grid,
            "text_percent",
            self.tr("Text size"),
            *((size, unbroken(self.tr("{n} %").format(n=size)), "") for size in sizes),
        )
        self._choice(
            grid,
            "reduced_motion",
            self.tr("Movement"),
            (False, self.tr("As usual"), self.tr("The mark on the sheet goes from beat to beat.")),
            (
                True,
                self.tr("Less"),
                self.tr("The mark on the sheet goes from bar to bar; no pen draws while you listen."),
            ),
        )
        self._choice(
            grid,
            "language",
            self.tr("Language"),
            ("system", system, ""),
            *((code, name, "") for code, name in LANGUAGES.items()),
        )
        look_grid = grid
        practice_card, grid = self._card(self.tr("Practice"))
        self._choice(
            grid,
            "way",
            self.tr("Count"),
            ("bars", "1 2 3 4, 2 2 3 4", self.tr("The number of the bar takes the place of the one.")),
            ("letters", "1 A B C, 2 A B C", self.tr("The number of the bar, then letters.")),
        )
        self._choice(
            grid,
            "voice",
            self.tr("Voice"),
            ("window", self.tr("As the window"), self.tr("The voice counts in the language of the window.")),
            *((code, name, "") for code, name in LANGUAGES.items()),
        )
        self._minutes = NumberField()
        self._minutes.setRange(5, 30)
        self._minutes.setSingleStep(5)
        self._minutes.setSuffix(self.tr(" minutes"))
        named(self._minutes, self.tr("A day's practice"), self.tr("How long today's plan is."))
        self._minutes.valueChanged.connect(lambda minutes: self.changed.emit({"minutes_a_day": minutes}))
        self._records = NumberField()
        self._records.setRange(0, round(100 * MOST_RECORDS))
        self._records.setSingleStep(10)
        self._records.setSuffix(self.tr(" % of a plan"))
        named(
            self._records,
            self.tr("On your own records"),
            self.tr("How much of a plan is on your own records; more of it on higher rungs."),
        )
        self._records.valueChanged.connect(lambda percent: self.changed.emit({"records_percent": percent}))
        self._learner = NameField(
            self.tr("Your name"), self.tr("Another name changes nothing else: trials, plan and choices stay.")
        )
        self._learner.setToolTip(self._learner.accessibleDescription())
        self._learner.given.connect(self._rename)
        self._records_name = label(self._records.accessibleName())
        for place, control in ((2, self._minutes), (3, self._learner), (4, self._records)):
            name = self._records_name if control is self._records else label(control.accessibleName())
            grid.addWidget(name, place, 0)
            grid.addWidget(control, place, 1)
        self._grids, self._fields = (look_grid, grid), (self._minutes, self._learner, self._records)
        self.show_records(enough=False)

        others_card, self.another = Card(self.tr("Other learners")), AddLearner()
        self.another.added.connect(self.learner_added)
        others_card.column.addWidget(self.another)
        program_card, grid = self._card(self.tr("The program"))
        again = button(
            self.tr("Show the welcome again"), self.tr("The first steps, the level check, finding a level.")
        )
        again.clicked.connect(self.welcome_wanted)
        grid.addLayout(row(again, None), 0, 0)
        kept = label(self.tr("Kept in {file}").format(file=path) if path else "", "small", wrap=True)
        kept.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        kept.setVisible(path is not None)
        grid.addWidget(kept, 1, 0)
        self._notice = label("", "lead", wrap=True)
        self._notice.hide()

        step = look.STEP_PX
        left, right = QVBoxLayout(), QVBoxLayout()
        for column, parts in (
            (left, (look_card, practice_card)),
            (right, (HearingWords(), others_card, program_card)),
        ):
            column.setSpacing(step * 2)
            for part in parts:
                column.addWidget(part)
            column.setStretchFactor(parts[-1], 1)  # both columns end at the same height
        self._columns = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._columns.setSpacing(step * 2)
        self._columns.addLayout(left, 3)
        self._columns.addLayout(right, 2)
        column = QVBoxLayout(page)
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        column.addWidget(label(self.tr("Settings"), "title"))
        column.addWidget(self._notice)
        column.addLayout(self._columns)
        column.addStretch(1)
        self.show_settings(settings)

    @staticmethod
    def _card(heading: str) -> tuple[Card, QGridLayout]:
        card, grid = Card(heading), QGridLayout()
        grid.setHorizontalSpacing(look.STEP_PX * 3)
        grid.setVerticalSpacing(look.STEP_PX * 2)
        grid.setColumnStretch(1, 1)
        card.column.addLayout(grid)
        card.column.addStretch(1)
        return card, grid

    def _choice(self, grid: QGridLayout, setting: str, name: str, *choices: tuple[object, str, str]) -> None:
        made = Choices(name, choices)
        made.chosen.connect(lambda value: self.changed.emit({setting: value}))
        self._choices[setting] = made
        place = grid.rowCount() if grid.count() else 0
        grid.addWidget(label(name), place, 0)
        grid.addWidget(made, place, 1)

    def _rename(self, name: str) -> None:
        """Ask for another name; an empty one leaves the name."""
        if name:
            self.changed.emit({"learner": name})
        else:
            self._learner.setText(self._named)

    def show_settings(self, settings: Settings) -> None:
        """Show settings without emitting ``changed``."""
        for name, choices in self._choices.items():
            choices.show_value(getattr(settings, name))
        with quiet(self._minutes, self._records):
            self._minutes.setValue(settings.minutes_a_day)
            self._records.setValue(settings.records_percent)
        self._named = "" if settings.learner == NOBODY else settings.learner
        self._learner.setText(self._named)

    def show_records(self, *, enough: bool) -> None:
        """Offer the share of own records once enough of them are confirmed."""
        for part in (self._records_name, self._records):
            part.setVisible(enough)

    def take_language(self) -> None:
        """Focus the language choice, as before a change of language."""
        self._choices["language"].take_focus()

    def show_notice(self, words: str) -> None:
        """Show a line of trouble; hide it for an empty text."""
        show(self._notice, words)

    def arrange(self) -> None:
        """Place the cards side by side if they fit."""
        wide = self.width() >= look.px(SIDE_BY_SIDE_PX)
        # Make the label columns of both cards equally wide, so that the controls align.
        names = [grid.itemAtPosition(at, 0) for grid in self._grids for at in range(5)]
        widest = max(name.sizeHint().width() for name in names if name is not None)
        for grid in self._grids:
            grid.setColumnMinimumWidth(0, widest)
        for field in self._fields:
            field.setFixedWidth(look.px(FIELD_PX))
        self._columns.setDirection(QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.arrange()

    def showEvent(self, event: QShowEvent) -> None:
        """Focus the first choice, or the control used last; arrange for another text size than before."""
        super().showEvent(event)
        used = self.focusWidget()
        if used is None:
            self._choices["theme"].take_focus()
        else:
            used.setFocus()
        self.arrange()
