"""Top of the plan's page: who practises, and for how long."""

from collections.abc import Callable, Mapping
from functools import cached_property

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QWidget

from app.practice.learner.present_learner import PresentLearner
from app.practice.learners import everyone
from app.practice.practice import Practice
from app.ui.practise.plan.minutes import Minutes
from app.ui.practise.plan.plan_card import PlanCard
from app.ui.widgets.controls import Box, label, named, row
from exercises.progress.gains import Tally


class Who(QWidget):
    """Shows who practises where there are several learners; ``chosen`` carries the id of another one."""

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._shown: tuple[tuple[str, ...], int] = ((), 0)
        self.hide()

    @cached_property
    def box(self) -> Box:
        """The learners; made when there are several."""
        made, name = Box(wheel=False), self.tr("Who practises")
        made.setSizeAdjustPolicy(Box.SizeAdjustPolicy.AdjustToContents)
        named(made, name, self.tr("Each learner has a plan, a logbook and choices of their own."))
        made.activated.connect(self._choose)
        line = row(label(name, "soft"), made, None)
        line.setContentsMargins(0, 0, 0, 0)
        self.setLayout(line)
        return made

    def show_learners(self, present: PresentLearner) -> None:
        """List the learners, the present one chosen; hidden where there is one alone."""
        known, place = everyone(present)
        self.setVisible(len(known) > 1)
        if len(known) < 2:
            return
        shown = tuple(f"{each.id} {each.label}" for each in known), place
        if shown != self._shown:
            self._shown = shown
            with QSignalBlocker(self.box):
                self.box.clear()
                for each in known:
                    self.box.addItem(each.label, each.id)
                self.box.setCurrentIndex(place)

    def _choose(self, place: int) -> None:
        if place != self._shown[1]:
            self._shown = (), 0  # listed anew, whether or not it comes to pass
            self.chosen.emit(self.box.itemData(place))


def show_plan(
    practice: Practice,
    plan: PlanCard,
    minutes: Minutes,
    who: Who,
    rungs: Callable[[], Mapping[str, int]],
    before: Callable[[], Mapping[str, Tally]],
) -> None:
    """Show today's plan, its length until it is begun, and who practises; nothing of it away from the plan's page."""
    day, today, at_plan = practice.day, practice.today, practice.at_plan
    plan.setVisible(at_plan and today is not None)
    minutes.setVisible(at_plan and not (today is not None and today.begun))
    if day is not None:
        minutes.show_minutes(day.minutes, today.plan.minutes if today is not None else None)
    if at_plan and today is not None:
        plan.show_today(today, rungs(), before())
    if at_plan:
        who.show_learners(practice.learner)
    else:
        who.hide()
