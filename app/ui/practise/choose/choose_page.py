"""Choosing freely: the drills along the ladder, and below them, folded, how the chosen one is played."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app.practice.choosing import OnLadder
from app.practice.trial.next_trial import Wish
from app.ui.base import theme as look
from app.ui.practise.choose.drill_list import DrillList
from app.ui.practise.choose.wish_row import WishRow, summary
from app.ui.widgets.controls import KeyButton, label, row
from exercises.learner.chosen import NOTHING_CHOSEN, Chosen
from synth.device.clock import today


class ChoosePage(QWidget):
    """Shows a ``Wish``. Signals: ``changed`` with another one, ``started`` by a double click, ``unfolded``.

    ``planned`` carries a drill and its place in the plan.
    """

    changed = Signal(object)
    started = Signal()
    unfolded = Signal(bool)
    planned = Signal(str, str)

    def __init__(self, wish: Wish, title_of: Callable[[str], str] = str) -> None:
        """``title_of`` gives the title of an own record by its id."""
        super().__init__()
        self._wish, self._title_of = wish, title_of
        self._chosen = NOTHING_CHOSEN
        self._wishes: WishRow | None = None
        self.list = DrillList()
        self.list.chosen.connect(self._choose_drill)
        self.list.started.connect(self.started)
        self.fold = KeyButton("", "", self.tr("C"))
        self.fold.clicked.connect(lambda: self._unfold(self._wishes is None or self._wishes.isHidden()))
        self.summary = label("", "soft", wrap=True)
        QShortcut(QKeySequence(Qt.Key.Key_C), self).activated.connect(self.fold.click)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.STEP_PX)
        line = row(self.fold, self.summary)
        line.setStretch(1, 1)
        column.addWidget(self.list, 1)
        column.addLayout(line)
        self.show_fold(unfolded=False)

    @property
    def wishes(self) -> WishRow:
        """How the chosen drill is played, made when it is first unfolded."""
        if self._wishes is None:
            self._wishes = WishRow(self._wish, self._title_of)
            self._wishes.hide()
            self._wishes.show_chosen(self._chosen)
            self._wishes.changed.connect(self._tell)
            self._wishes.planned.connect(self.planned)
            self._column.addWidget(self._wishes)
        return self._wishes

    def show_chosen(self, chosen: Chosen) -> None:
        """Show which drills are in every plan and in none."""
        self._chosen = chosen
        if self._wishes is not None:
            self._wishes.show_chosen(chosen)

    def show_fold(self, *, unfolded: bool) -> None:
        """Show or hide the choices of how a drill is played."""
        if unfolded or self._wishes is not None:
            self.wishes.setVisible(unfolded)
        about = self.tr("Rung, groove, drums, records, tempo, mode, and the place in the plan.")
        self.fold.show_name(self.tr("Hide the choices") if unfolded else self.tr("More choices"), about, self.tr("C"))

    def _unfold(self, unfolded: bool) -> None:
        self.show_fold(unfolded=unfolded)
        self.unfolded.emit(unfolded)

    def show_wish(self, wish: Wish, ladder: Sequence[OnLadder]) -> None:
        """Show a wish without emitting ``changed``."""
        self._wish = wish
        self.list.show_ladder(ladder, wish.drill, today())
        if self._wishes is not None:
            self._wishes.show_wish(wish)
        self.summary.setText(summary(wish, self._title_of))

    def take_focus(self) -> None:
        """Focus the list, unless a control of this page has the focus."""
        focused = QApplication.focusWidget()
        if focused is None or not self.isAncestorOf(focused):
            self.list.setFocus()

    def _choose_drill(self, drill: str) -> None:
        """Another drill begins on its fitting rung."""
        if drill != self._wish.drill:
            self._tell(replace(self._wish, drill=drill, rung=None))

    def _tell(self, wish: Wish) -> None:
        self.changed.emit(wish)
