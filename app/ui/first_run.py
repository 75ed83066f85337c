"""The first run: the welcome's pages, then an optional placement run, then practice."""

from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QSlider, QWidget

from app.practice.plan.placing import Placing, first_of_all
from app.session import Session
from app.settings import NOBODY
from app.ui.base.language import pick_language
from app.ui.base.words import spoken_all
from app.ui.heading import PRACTISE
from app.ui.practise.plan.placement_bar import PlacementBar
from app.ui.screens.welcome import WelcomeScreen
from exercises.learner.placement import Placement


@dataclass(frozen=True, slots=True)
class Left:
    """State of a first run: whether the welcome is visible, its page, and the placement run."""

    shown: bool
    page: int
    run: Placing | None


class FirstRun(QObject):
    """Leads through the first run; ``show`` starts it, any number of times.

    The owner places ``welcome`` among the screens and ``bar`` above them, and handles the signals: show
    the welcome or a tab, report trouble, offer a wish, the next trial or the plan.
    """

    page_shown = Signal()
    tab_wanted = Signal(int)
    told = Signal(object)
    offered = Signal(object)
    asked = Signal()
    plan_wanted = Signal()

    def __init__(self, session: Session, volume: QSlider, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._volume = session, volume
        language = pick_language(session.keeper.now.language)
        self.welcome = WelcomeScreen(session.calibrator, session.workers, language, parent)
        self.welcome.volume.connect(volume.setValue)
        self.welcome.finished.connect(self.welcomed)
        self.bar = PlacementBar(session.practice)
        self.bar.next_asked.connect(self._ask_next)
        self.bar.stopped.connect(self._to_plan)
        if session.workers is not None:
            # The first choice of a trial makes one of every rung: compute it while the learner reads.
            session.workers.submit(Placement().next)

    def show(self) -> None:
        """Show the first page, without the heading."""
        self.bar.leave()
        practice = self._session.practice
        self.welcome.show_notice(spoken_all(practice.notices))
        if not self._session.keeper.now.first_run_done:
            self.offered.emit(replace(practice.wish, drill=first_of_all().drill, rung=None))
        self.welcome.quieten()
        self._show_name()
        self._show_page(0)

    @property
    def left(self) -> Left:
        """The present state."""
        shown = not self.welcome.isHidden()
        return Left(shown, self.welcome.page, self.bar.run)

    def go_on(self, left: Left) -> None:
        """Restore a first run in another language."""
        self._show_name()
        self.welcome.show_page(left.page)
        self.welcome.show_notice(spoken_all(self._session.practice.notices))
        if left.shown:
            self._show_page(left.page)
        if left.run is not None:
            self.bar.show_run(left.run)

    def _show_name(self) -> None:
        name = self._session.keeper.now.learner
        self.welcome.show_name("" if name == NOBODY else name)

    def _show_page(self, page: int) -> None:
        self.page_shown.emit()
        self.welcome.show_page(page)

    @property
    def placing(self) -> bool:
        """Whether a placement run is on or about to start."""
        return self.bar.run is not None and not self.bar.run.over

    def welcomed(self, place: bool) -> None:
        """End the welcome and start practice, with a placement run if ``place``."""
        trouble = self._session.keeper.change(first_run_done=True, volume=self._volume.value())
        self.tab_wanted.emit(PRACTISE)
        if trouble:
            self.told.emit(trouble)
        if place:
            practice = self._session.practice
            levels = None if practice.learner.logbook is None else practice.learner.levels
            self.bar.begin(Placing(practice.course, levels, self._session.workers))

    def _ask_next(self) -> None:
        run, practice = self.bar.run, self._session.practice
        if run is None:
            return
        if not run.over:
            practice.course = run
            self.asked.emit()
            return
        practice.course = run.back
        practice.learner.relearn()
        if practice.day is not None and run.asked:
            practice.day.begin = run.begins
        practice.plan_day(anew=bool(run.asked))
        self.offered.emit(run.found(practice.wish))

    def _to_plan(self) -> None:
        """Show the plan's page instead of the last result after a run was stopped."""
        if self._session.practice.follows_day:
            self.plan_wanted.emit()
