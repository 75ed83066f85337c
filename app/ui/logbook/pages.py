"""The logbook among the window's screens: itself, and the page of one of its trials."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.practice.learners import own_label
from app.session import Session
from app.ui.widgets.screens import Screens
from synth.base.errors import Trouble

if TYPE_CHECKING:
    from app.ui.logbook.screen import LogbookScreen
    from app.ui.logbook.trial_page import TrialPage
    from exercises.trial.kept.record import TrialRecord


class LogbookPages(QObject):
    """``screen`` and ``page``, each made on first use."""

    def __init__(self, session: Session, stack: Screens) -> None:
        super().__init__(stack)
        self._session, self._stack = session, stack
        self.screen: LogbookScreen | None = None
        self.page: TrialPage | None = None

    def open_screen(self) -> LogbookScreen:
        """The logbook."""
        if self.screen is None:
            from app.ui.logbook.screen import LogbookScreen

            learner = self._session.practice.learner
            self.screen = LogbookScreen(learner.logbook, learner.key, own_label(learner), self._stack)
            self.screen.trial_asked.connect(self.open)
            self._stack.addWidget(self.screen)
        return self.screen

    def open(self, record: TrialRecord) -> None:
        """Show a trial; the logbook says why one cannot be opened."""
        from app.practice.trial.looking_back import LookingBack
        from exercises.logbook.old_trials.again import file_of

        practice, ahead = self._session.practice, self._session.practice.ahead
        try:
            looking = LookingBack(
                record,
                practice.player,
                ahead.workers,
                practice.wish.way,
                ahead.language,
                file_of=file_of if practice.records is None else practice.records.file_of,
            )
        except Trouble as trouble:
            self.open_screen().tell(trouble)
            return
        if self.page is None:
            from app.ui.logbook.trial_page import TrialPage

            self.page = TrialPage(practice.records, self._stack)
            self.page.closed.connect(lambda: self._stack.setCurrentWidget(self.open_screen()))
            self._stack.addWidget(self.page)
        self._stack.setCurrentWidget(self.page)
        self.page.open(looking)

    def stop(self) -> None:
        """Stop the sound."""
        if self.page is not None:
            self.page.stop()

    def refresh(self) -> None:
        """Read the logbook again where it is shown."""
        if self.screen is not None and self._stack.currentWidget() is self.screen:
            self.screen.refresh()

    def show_learner(self) -> None:
        """Show the present learner."""
        if self.screen is not None:
            learner = self._session.practice.learner
            self.screen.show_learner(learner.key, own_label(learner))
