"""Fills in the truths of trials that were kept without one, in a thread, while nothing sounds."""

import threading
from collections.abc import Callable
from pathlib import Path

from app.logfile import log
from exercises.logbook.old_trials.missing_truths import fill
from exercises.logbook.store import Logbook
from synth.base.errors import Trouble

# Seconds before the first trial, which may wait for that of the learner; of rest after each one (made in some 10 to
# 20 ms); and between two looks while something sounds.
FIRST_S, REST_S, LOOK_S = 5.0, 0.05, 1.0


class FillingIn:
    """The thread; it ends by itself when all is filled in. ``playing`` tells whether something sounds."""

    def __init__(self, path: Path, playing: Callable[[], bool]) -> None:
        self.path, self._playing = path, playing
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._work, name="filling in")

    def begin(self) -> None:
        """Start the thread."""
        self._thread.start()

    def end(self) -> None:
        """Stop after the trial at hand, and wait for it; the rest is filled in another time."""
        self._ended.set()
        if self._thread.ident is not None:
            self._thread.join()

    def _work(self) -> None:
        if self._ended.wait(FIRST_S):
            return
        try:
            # A connection of its own: SQLite's belong to the thread that opened them.
            with Logbook.open(self.path) as logbook:
                for _ in fill(logbook):
                    rest_s = REST_S
                    while self._ended.wait(rest_s) or self._playing():
                        if self._ended.is_set():
                            return
                        rest_s = LOOK_S
        except (Trouble, ValueError) as trouble:  # no logbook, or a row that is none
            log.warning("Old trials were not filled in: %s", trouble)
