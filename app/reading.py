"""What the logbook screen shows: who asks, what comes back, and the thread that reads it.

What is needed for the reading alone is imported by that thread, so that the click is answered at once.
"""

from __future__ import annotations

import threading
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.garbage import held
from synth.errors import Trouble

if TYPE_CHECKING:
    from exercises.logbook.history import Change, Week
    from exercises.logbook.mistakes import Mistakes
    from exercises.logbook.overview import Place, Task
    from exercises.logbook.record import TrialRecord
    from exercises.logbook.trends import Trend
    from exercises.words import Say


@dataclass(frozen=True, slots=True)
class Question:
    """Whose practice, of which drill (None: all) and in which band of tempo (None: all) is to be shown."""

    learner: str | None = None
    drill: str | None = None
    band: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """The answer: all that the screen shows. ``benches`` are those of the drill's days, the first included."""

    question: Question
    learners: tuple[str, ...] = ()
    invented: int = 0
    trials: int = 0
    places: tuple[Place, ...] = ()
    weeks: tuple[Week, ...] = ()
    tasks: tuple[Task, ...] = ()
    latest: tuple[TrialRecord, ...] = ()
    bands: tuple[int, ...] = ()
    trend: Trend | None = None
    benches: tuple[Change, ...] = ()
    mistakes: Mistakes | None = None
    answers: tuple[tuple[str, Say], ...] = ()


class Reader(QObject):
    """Reads one question at a time; of those asked meanwhile only the last is answered.

    ``read`` brings a ``Page`` or the ``Trouble`` that there was. With the first page the charts are loaded as well,
    and ``charts_loaded`` says that they are: their library takes longer than the reading.
    """

    read = Signal(object)
    charts_loaded = Signal()

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.path = path
        self._lock = threading.Lock()
        self._next: Question | None = None
        self._thread: threading.Thread | None = None
        self._loaded = False

    def ask(self, question: Question) -> None:
        """Have a question answered."""
        with self._lock:
            self._next = question
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="logbook reader")
                self._thread.start()

    def wait(self) -> None:
        """Wait until everything asked is read. The signals come when the event loop runs again."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def _work(self) -> None:
        # The window may be gone when the reading is done: then there is nobody to tell.
        with suppress(RuntimeError):
            while (question := self._take()) is not None:
                self.read.emit(self._answer(question))
                if not self._loaded:
                    with held():
                        import app.logbook_charts  # noqa: F401

                    self._loaded = True
                    self.charts_loaded.emit()

    def _take(self) -> Question | None:
        with self._lock:
            question, self._next = self._next, None
            if question is None:
                self._thread = None
            return question

    def _answer(self, question: Question) -> Page | Trouble:
        from app.page import read_page
        from exercises.logbook.store import Logbook

        try:
            # A connection of its own: SQLite's belong to the thread that opened them.
            with Logbook.open(self.path) as logbook:
                return read_page(logbook, question)
        except Trouble as trouble:
            return trouble
