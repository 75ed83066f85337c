"""The learner's own records among the window's screens: the list, and the page of one."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.session import Session
from app.ui.widgets.screens import Screens
from synth.base.errors import Trouble

if TYPE_CHECKING:
    from app.ui.records.record_page import RecordPage
    from app.ui.records.screen import RecordsScreen
    from synth.catalogue.recording import Recording
    from synth.recording.grid import Grid

LIST = "app.ui.records.screen"


class RecordPages(QObject):
    """``list`` and ``page``, each made on first use.

    Signals: ``practised`` with a record to practise on, ``boarded`` with the ``FileRecord`` for the board.
    """

    practised = Signal(object)
    boarded = Signal(object)

    def __init__(self, session: Session, stack: Screens) -> None:
        super().__init__(stack)
        self._session, self._stack = session, stack
        self.list: RecordsScreen | None = None
        self.page: RecordPage | None = None

    def prepare(self) -> None:
        """Make the list ahead, a step a call, while nothing sounds: its first opening has only to show it.

        First its modules, once those without widgets are there, then, if there is any record, itself.
        """
        practice, records = self._session.practice, self._session.practice.records
        if self.list is not None or practice.player.playing or not self._session.shelf_loaded:
            return
        if LIST not in sys.modules:
            import_module(LIST)
        elif records is not None and records.known and len(records.catalogue):
            self.open_list()

    def open_list(self) -> RecordsScreen:
        """The list."""
        if self.list is None:
            from app.ui.records.screen import RecordsScreen

            self.list = RecordsScreen(self._session.shelf, self._stack)
            self.list.opened.connect(self.open)
            self.list.practised.connect(self.practised)
            self.list.boarded.connect(self._board)
            self.list.mark_again.connect(self._mark_again)
            self._stack.addWidget(self.list)
        return self.list

    def open(self, recording: Recording, given: Grid | None = None) -> None:
        """Show one record, and let its count be heard, by its own grid or one that is ``given``."""
        session, practice = self._session, self._session.practice
        if self.page is None:
            from app.ui.records.record_page import RecordPage

            self.page = RecordPage(session.shelf, self._stack)
            self.page.closed.connect(lambda: self._stack.setCurrentWidget(self.open_list()))
            self.page.confirmed.connect(self._confirmed)
            self.page.practised.connect(self.practised)
            self.page.given.connect(self.open)
            self.page.confirmer_chosen.connect(lambda by: session.keeper.change(confirmer=by))
            self._stack.addWidget(self.page)
        confirming = session.shelf.confirming(recording, practice.player, practice.ahead.workers, given)
        if confirming is not None:
            confirming.way, confirming.language = practice.wish.way, session.language
        self._stack.setCurrentWidget(self.page)
        self.page.open(recording, confirming, "tutor" if session.keeper.now.confirmer == "tutor" else "learner")

    def _confirmed(self, made: Recording) -> None:
        """Back to the list, which offers to mark earlier trials on the record again."""
        from app.practice.records.trials_again import trials_on

        records = self.open_list()
        records.offer(trials_on(self._session.practice.learner.logbook, made))
        self._stack.setCurrentWidget(records)

    def _mark_again(self) -> None:
        learner = self._session.practice.learner
        if learner.logbook is not None:
            self._session.shelf.mark_again(learner.logbook.path, learner.relearn)

    def _board(self, recording: Recording) -> None:
        """Let the board play a record, if it has a whole phrase; the list says why not."""
        from app.practice.board.board_phrase import FileRecord

        try:
            record = FileRecord.of(recording.source())
        except Trouble as trouble:
            self._session.shelf.notice = trouble.says
            self.open_list().redraw()
            return
        self.boarded.emit(record)

    def stop(self) -> None:
        """Stop the sound."""
        if self.page is not None:
            self.page.stop()

    def show_confirmer(self) -> None:
        """Show who listens, as the settings have it."""
        if self.page is not None:
            self.page.show_confirmer(self._session.keeper.now.confirmer)

    def arrange(self) -> None:
        """Fit to another text size."""
        if self.list is not None:
            self.list.arrange()
