"""The thread that reads what the logbook screen shows.

What is needed for the reading alone is imported by that thread, so that the click is answered at once. None of it may
import Qt: that changes tables of the bindings which the window's thread reads meanwhile.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.ui.charts.content import Content, Question
from synth.base.errors import Trouble

# Python's switch interval while the reader computes. Each Qt call of the window releases the GIL and waits for it: at
# the default of 5 ms, painting a page of a hundred calls would take half a second.
TURN_S = 0.0002


@contextmanager
def _giving_way() -> Iterator[None]:
    """Let the window's thread take the GIL sooner."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(TURN_S)
    try:
        yield
    finally:
        sys.setswitchinterval(before)


class Reader(QObject):
    """Answers one question at a time in a thread; of those that wait, only the last.

    ``read`` carries a ``Content`` or ``Trouble``. ``failed``: an error of the program.
    """

    read = Signal(object)
    failed = Signal()

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.path = path
        self._lock = threading.Lock()
        self._next: Question | None = None
        self._thread: threading.Thread | None = None

    def ask(self, question: Question) -> None:
        """Queue a question."""
        with self._lock:
            self._next = question
            self._start()

    def _start(self) -> None:
        if self._thread is None:
            self._thread = threading.Thread(target=self._work, name="logbook reader")
            self._thread.start()

    def wait(self) -> None:
        """Wait until everything asked is read. The signals come when the event loop runs again."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def _work(self) -> None:
        # The window may have been deleted when the reading ends.
        with suppress(RuntimeError), _giving_way():
            while (question := self._take()) is not None:
                try:
                    self.read.emit(self._answer(question))
                except Exception:
                    self._thread = None
                    self.failed.emit()
                    raise

    def _take(self) -> Question | None:
        """The next question; None, which ends the thread, if there is none."""
        with self._lock:
            question, self._next = self._next, None
            if question is None:
                self._thread = None
            return question

    def _answer(self, question: Question) -> Content | Trouble:
        from app.ui.logbook.answering import read_page
        from exercises.logbook.store import Logbook

        try:
            # A connection of its own: SQLite's belong to the thread that opened them.
            with Logbook.open(self.path) as logbook:
                return read_page(logbook, question)
        except Trouble as trouble:
            return trouble
