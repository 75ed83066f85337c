"""The first run in the window: the welcome's pages, then practice, by way of a placement run if the learner likes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.practice.placing import Placing, first_of_all
from app.ui import theme as look
from app.ui.heading import BENCH, PRACTISE
from app.ui.language import pick_language
from app.ui.practise.placement_bar import PlacementBar
from app.ui.screens.welcome import WelcomeScreen
from app.ui.widgets.controls import button, label, row
from app.ui.words import spoken_all
from exercises.learner.placement import Placement

if TYPE_CHECKING:
    from app.ui.window import Window


@dataclass(frozen=True, slots=True)
class Left:
    """Where a first run was left: whether the welcome is shown, its page, whether it waits, and the placement run."""

    shown: bool
    page: int
    waiting: bool
    run: Placing | None


class FirstRun(QObject):
    """Leads through the first run; ``show`` begins it, as often as the learner likes."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        practice = window.practice
        language = pick_language(window.keeper.now.language)
        self.welcome = WelcomeScreen(practice.player, practice.ahead.workers, language, bench=True)
        self.welcome.language.connect(lambda language: window.change({"language": language}))
        self.welcome.volume.connect(window.volume.setValue)
        self.welcome.finished.connect(self._welcomed)
        self.welcome.bench_wanted.connect(self._to_bench)
        window.stack.addWidget(self.welcome)
        self._waiting = QWidget()
        self._waiting.setObjectName("screen")
        back = button(self.tr("Go on with the welcome"), self.tr("The next page of the first run."))
        back.clicked.connect(self._back)
        line = row(label(self.tr("The welcome waits until you have measured."), "strong", wrap=True), back)
        line.setStretch(0, 1)
        line.setContentsMargins(look.STEP_PX * 5, look.STEP_PX, look.STEP_PX * 5, 0)
        self._waiting.setLayout(line)
        self._waiting.hide()
        window.add_line(self._waiting)
        self.bar = PlacementBar(practice)
        self.bar.next_asked.connect(self._ask_next)
        self.bar.stopped.connect(self._to_plan)
        window.practise.marked.connect(self.bar.marked)
        window.add_line(self.bar)
        if practice.ahead.workers is not None:
            # Choosing for the first time makes a trial of every rung: done while the learner reads.
            practice.ahead.workers.submit(Placement().next)

    def show(self) -> None:
        """The pages, from the first one on, without the heading."""
        self.bar.leave()
        self._waiting.hide()
        window = self._window
        self.welcome.show_notice(spoken_all(window.practice.notices))
        if not window.keeper.now.first_run_done:
            window.practise.offer(replace(window.practice.wish, drill=first_of_all().drill, rung=None))
        self.welcome.quieten()
        self._show_page(0)

    @property
    def left(self) -> Left:
        """Where it is now."""
        shown = self._window.stack.currentWidget() is self.welcome
        return Left(shown, self.welcome.page, not self._waiting.isHidden(), self.bar.run)

    def go_on(self, left: Left) -> None:
        """Go on where another, in another language, was left."""
        self.welcome.show_page(left.page)
        self.welcome.show_notice(spoken_all(self._window.practice.notices))
        if left.shown:
            self._show_page(left.page)
        self._waiting.setVisible(left.waiting)
        if left.run is not None:
            self.bar.show_run(left.run)

    def _show_page(self, page: int) -> None:
        """The welcome without the heading."""
        self._window.set_alone(True)
        self._window.stack.setCurrentWidget(self.welcome)
        self.welcome.show_page(page)

    @property
    def placing(self) -> bool:
        """Whether a placement run chooses the trials, or is about to."""
        return self.bar.run is not None and not self.bar.run.over

    def _to_bench(self) -> None:
        """The calibration now; a line above it leads back to the welcome."""
        self._waiting.show()
        self._window.show_tab(BENCH)

    def _back(self) -> None:
        """From the bench to the welcome's next page."""
        self._waiting.hide()
        self._show_page(self.welcome.page + 1)

    def _welcomed(self, place: bool) -> None:
        """The welcome is over: to practice, with a placement run or without."""
        window = self._window
        trouble = window.keeper.change(first_run_done=True, volume=window.volume.value())
        window.show_tab(PRACTISE)
        if trouble:
            window.told.emit(trouble)
        if place:
            practice = window.practice
            standing = None if practice.logbook is None else practice.standing
            self.bar.begin(Placing(practice.course, standing, practice.ahead.workers))

    def _ask_next(self) -> None:
        run, practice = self.bar.run, self._window.practice
        if run is None:
            return
        if not run.over:
            practice.course = run
            self._window.practise.follow()
            return
        practice.course = run.back
        practice.relearn()
        if practice.day is not None and run.asked:
            practice.day.begin = run.begins
        practice.plan_day(anew=bool(run.asked))
        self._window.practise.offer(run.found(practice.wish))

    def _to_plan(self) -> None:
        """After a run that was broken off: the plan's own page, made from what was found, instead of a result."""
        if self._window.practice.follows_day:
            self._window.practise.follow_plan()
