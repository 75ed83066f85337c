"""Many files analysed one after the other, by a thread and one process of the lowest priority.

What waits is kept on disk, so that it goes on when the program starts again, however it ended.
"""

import threading
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

from msgspec import Meta
from msgspec import json as msgspec_json

from synth.base.border import Unfit, fitted, read_json, shown
from synth.base.errors import Trouble
from synth.base.files import make_folder, write_bytes
from synth.base.words import Say, Template
from synth.catalogue.adding import arrived, known
from synth.catalogue.analysis import Analysis, Found, Stopped
from synth.catalogue.catalogue import WAITING, Catalogue, absolute
from synth.catalogue.entry import Name, path_of, path_text
from synth.catalogue.gathering import MOST_FILES
from synth.catalogue.recording import Recording

LOST = Template("queue.lost", "What still waits to be analysed could not be read ({why}).")
MOST_BYTES = 60_000_000
# The list on disk is written again after so many files; those before are told as known in a moment.
WRITTEN_EVERY = 50

Names = Annotated[list[Name], Meta(max_length=MOST_FILES)]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the queue is: files done of all since it was last empty, and the one being analysed (or none)."""

    done: int
    of: int
    path: str = ""
    standing: bool = False

    @property
    def over(self) -> bool:
        """Whether nothing is left."""
        return self.done >= self.of


class Queue:
    """Files that wait for their analysis. Its methods return at once and may be called from any thread.

    ``told`` is called from the queue's thread when a file is done: with its path and the recording, or the sentence
    that says why there is none. ``kept`` says whether what waits is kept on disk.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        today: Callable[[], date],
        told: Callable[[str, Recording | Say], None] = lambda path, what: None,
        *,
        kept: bool = True,
    ) -> None:
        self._catalogue, self._today, self._told = catalogue, today, told
        self._file = catalogue.folder / WAITING if kept else None
        self._changed = threading.Condition()
        self._waiting: list[str] = self._read()
        self._done, self._of = 0, len(self._waiting)
        self._path = ""
        self._analysis: Analysis | None = None
        self._standing = self._closed = self._cut = False
        self._unwritten = 0
        self._thread: threading.Thread | None = None
        self._start()

    @property
    def progress(self) -> Progress:
        """How far it is; never waits, though the list may be written to disk at the moment."""
        return Progress(self._done, self._of, self._path, self._standing)

    def add(self, paths: Iterable[Path | str], *, first: bool = False) -> None:
        """Let files wait at the end, or before all others; those that wait already move."""
        names = list(dict.fromkeys(map(absolute, paths)))
        with self._changed:
            there, new = set(self._waiting), set(names)
            rest = [each for each in self._waiting if each not in new] if first else self._waiting
            fresh = [each for each in names if first or each not in there]
            self._of += sum(each not in there for each in fresh)
            self._waiting = [*fresh, *rest] if first else [*rest, *fresh]
            self._write()
            self._start()
            self._changed.notify_all()

    def stand_still(self, still: bool) -> None:
        """Stand still while a trial sounds, and go on. Where a process cannot stand still its file begins anew."""
        with self._changed:
            self._standing = still
            if self._analysis is not None and not self._analysis.stand_still(still) and still:
                self._waiting.insert(0, self._path)
                self._cut_off()
            self._changed.notify_all()

    def cancel(self) -> None:
        """Forget what waits, and end what is being analysed."""
        with self._changed:
            self._waiting = []
            self._of = self._done + bool(self._path)
            self._cut_off()
            self._write()

    def close(self) -> None:
        """End it all; what waits is there at the next start."""
        with self._changed:
            self._closed = True
            if self._path and not self._cut:
                self._waiting.insert(0, self._path)
            self._cut_off()
            self._write()
            self._changed.notify_all()
        self.wait()

    def wait(self, timeout_s: float | None = None) -> bool:
        """Wait until nothing waits; whether it came to that."""
        thread = self._thread
        if thread is not None:
            thread.join(timeout_s)
        return thread is None or not thread.is_alive()

    def _cut_off(self) -> None:
        """Stop what is being looked at."""
        self._cut = True
        if self._analysis is not None:
            self._analysis.stop()

    # --- the thread, which is there while something waits

    def _start(self) -> None:
        if self._waiting and not self._closed and (self._thread is None or not self._thread.is_alive()):
            self._thread = threading.Thread(target=self._run, name="records", daemon=True)
            self._thread.start()

    def _run(self) -> None:
        while (path := self._next()) is not None:
            what: Recording | Say | None = None
            try:
                what = self._looked_at(path)
            except Trouble as trouble:
                what = trouble.says
            except Stopped:
                pass
            except Exception:  # a fault of the program: told as in any thread, and the others go on
                with self._changed:
                    self._thread = None
                    self._over(path)
                    self._start()
                raise
            with self._changed:
                again = self._over(path)
            if what is not None and not again:
                self._told(path, what)

    def _over(self, path: str) -> bool:
        """Note that a file is done, unless it waits once more; whether it does."""
        self._path, self._analysis = "", None
        again = path in self._waiting
        if not again:
            self._done += 1
        return again

    def _next(self) -> str | None:
        with self._changed:
            while self._standing and not self._closed and self._waiting:
                self._changed.wait()
            if self._closed or not self._waiting:
                if not self._closed:
                    self._done = self._of = 0
                    self._write()
                self._thread = None
                return None
            self._path, self._cut = self._waiting.pop(0), False
            self._unwritten += 1
            if self._unwritten >= WRITTEN_EVERY:
                self._write()
            return self._path

    def _looked_at(self, path: str) -> Recording:
        if (there := known(self._catalogue, path)) is not None:
            return there
        try:
            found: Found | Trouble = self._analysed(path)
        except Trouble as trouble:
            found = trouble
        return arrived(self._catalogue, path, found, self._today())

    def _analysed(self, path: str) -> Found:
        analysis = Analysis(path)
        with self._changed:
            self._analysis = analysis
            if self._cut:
                analysis.stop()
            elif self._standing:
                analysis.stand_still(True)
        return analysis.found()

    # --- on disk

    def _read(self) -> list[str]:
        if self._file is None or not self._file.exists():
            return []
        try:
            return [path_of(each) for each in fitted(read_json(self._file, MOST_BYTES), Names)]
        except (Trouble, Unfit) as slip:
            self._catalogue.notices.append(LOST(why=slip.says if isinstance(slip, Trouble) else shown(slip)))
            return []

    def _write(self) -> None:
        self._unwritten = 0
        if self._file is None:
            return
        now = [self._path] if self._path and not self._cut else []
        waiting = list(dict.fromkeys([*now, *self._waiting]))
        with suppress(Trouble):  # a full disk: what waits is lost with the program, nothing else
            if waiting:
                make_folder(self._file.parent)
                write_bytes(self._file, msgspec_json.encode([path_text(each) for each in waiting]))
            elif self._file.exists():
                self._file.unlink(missing_ok=True)
