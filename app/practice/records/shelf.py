"""The learner's records as a list: searched, sorted, with their states; files on their way into it. No widgets."""

import os
from collections import deque
from collections.abc import Callable, Iterable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from threading import Lock
from typing import Protocol

from app.practice.records.confirming import Confirming
from app.practice.records.own_records import LEAST_CONFIRMED, OwnRecords
from app.practice.records.trials_again import marked_again, marked_say
from app.practice.records.written import REPLACES, Wanted, write
from exercises.logbook.old_trials.remark import Remarked
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.words import Say, Template, plural
from synth.base.working import said
from synth.catalogue.catalogue import WAITING, Catalogue
from synth.catalogue.gathering import gathered
from synth.catalogue.queue import Progress, Queue
from synth.catalogue.recording import Recording, State
from synth.device.clock import today
from synth.device.playback import Player
from synth.recording.grid import Grid

ADDED, ADDED_ONE, NOTHING_NEW = (
    Template("shelf.added", "{n} files wait for their analysis."),
    Template("shelf.added_one", "One file waits for its analysis."),
    Template("shelf.nothing_new", "No file was added."),
)
ANALYSED = Template("shelf.analysed", "The analysis is done.")
FORGOTTEN = Template("shelf.forgotten", "{title} is out of the list. Its file is where it was.")
BACK = Template("shelf.back", "{title} is in the list again.")
LEFT = Template("shelf.left", "The count of {title} is as it was.")
CONFIRMED = Template("shelf.confirmed", "The count of {title} is confirmed.")
ENOUGH = Template(
    "shelf.enough", "{least} records are confirmed: from now on a plan has trials on them. The settings say how many."
)


class By(StrEnum):
    """The order of the list."""

    TITLE = "title"
    TEMPO = "tempo"
    STATE = "state"


class Stand(StrEnum):
    """What a learner is told of a record; those that a person is to hear come first."""

    UNSURE = "unsure"
    SURE = "sure"
    CONFIRMED = "confirmed"
    REFUSED = "refused"
    UNREADABLE = "unreadable"


ORDER = tuple(Stand)


class Waiting(Protocol):
    """What the list needs of ``synth.catalogue.queue.Queue``."""

    @property
    def progress(self) -> Progress:
        """How far it is."""

    def add(self, paths: Iterable[Path | str], *, first: bool = False) -> None:
        """Let files wait."""

    def stand_still(self, still: bool) -> None:
        """Stand still, or go on."""

    def cancel(self) -> None:
        """Forget what waits."""

    def close(self) -> None:
        """End it."""


# Reading the list, looking which files are there, gathering, marking again and writing may go on together.
JOBS = 5
# From a catalogue and what is called with a file that is done.
Told = Callable[[str, Recording | Say], None]
QueueOf = Callable[[Catalogue, Told], Waiting]


def queue_of(catalogue: Catalogue, told: Told) -> Waiting:
    """The queue of this computer."""
    return Queue(catalogue, today, told)


def stand_of(recording: Recording) -> Stand:
    """How a recording stands."""
    if recording.state is State.FOUND:
        return Stand.SURE if recording.grid.sure else Stand.UNSURE
    return Stand(recording.state.value)


@dataclass(slots=True, eq=False)
class Shelf:
    """The list of ``records``. ``poll`` takes over what threads have done; nothing here waits for them.

    ``search``, ``by`` and ``unsure`` (those alone that a person is to hear) say what ``rows`` gives. ``missing`` are
    the ids whose files are not to be found, as ``look`` found. ``gathering`` makes files of what was chosen.
    ``workers`` are its own: what they do takes long, and trials are not kept waiting.
    """

    records: OwnRecords
    queue_of: QueueOf = queue_of
    gathering: Callable[[Iterable[Path | str]], list[Path]] = gathered
    workers: Executor = field(default_factory=lambda: ThreadPoolExecutor(JOBS, "shelf"))
    search: str = ""
    by: By = By.TITLE
    unsure: bool = False
    notice: Say | None = None
    missing: frozenset[str] = frozenset()
    put_away: tuple[Recording, bytes, bytes] | None = None
    _queue: Waiting | None = None
    _told: deque[tuple[str, Recording | Say]] = field(default_factory=deque)
    _gathering: Future[int] | None = None
    _texts: dict[str, tuple[Recording, str]] = field(default_factory=dict)
    _reading: Future[Catalogue] | None = None
    _looking: Future[frozenset[str]] | None = None
    _marking: Future[Remarked] | None = None
    _writing: Future[Say] | None = None
    _still: bool = False
    _over: bool = False
    _making: Lock = field(default_factory=Lock)
    _after: Callable[[], object] | None = None

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue."""
        return self.records.catalogue

    @property
    def ready(self) -> bool:
        """Whether the list has been read."""
        return self.records.known

    def read(self) -> None:
        """Read the list, in a thread, unless closed; ``poll`` says so then, also where it was read meanwhile."""
        if self._reading is None and not self._over:
            self._reading = self.workers.submit(lambda: self.records.catalogue)

    # -- the list -------------------------------------------------------------------------------------------------

    def rows(self) -> list[Recording]:
        """The records that are shown, in their order."""
        words = self.search.casefold().split()
        found = [
            each
            for each in self.catalogue
            if (not self.unsure or stand_of(each) is Stand.UNSURE)
            and (not words or all(word in self._text(each) for word in words))
        ]
        if self.by is By.TEMPO:
            found.sort(key=lambda each: each.grid.tempo_bpm or float("inf"))
        elif self.by is By.STATE:
            found.sort(key=lambda each: ORDER.index(stand_of(each)))
        return found

    def _text(self, recording: Recording) -> str:
        """What is searched in a record."""
        kept = self._texts.get(recording.print)
        if kept is None or kept[0] is not recording:
            name = os.path.basename(recording.path)  # noqa: PTH119 - a text, for speed
            kept = self._texts[recording.print] = recording, f"{recording.title} {recording.artist} {name}".casefold()
        return kept[1]

    @property
    def many(self) -> int:
        """How many there are in all."""
        return len(self.catalogue)

    def look(self) -> None:
        """Look which files are there, in a thread: a drive may take its time."""
        if self._looking is None and not self._over:
            self._looking = self.workers.submit(_missing, self.catalogue)

    # -- files in and out -----------------------------------------------------------------------------------------

    @property
    def queue(self) -> Waiting:
        """What waits for its analysis; it goes on where it was when this is first asked for."""
        with self._making:
            if self._queue is None:
                self._queue = self.queue_of(self.catalogue, lambda path, what: self._told.append((path, what)))
                self._queue.stand_still(self._still)
            return self._queue

    @property
    def progress(self) -> Progress:
        """How far the analysis is."""
        return Progress(0, 0) if self._queue is None else self._queue.progress

    @property
    def gathering_files(self) -> bool:
        """Whether files are still looked for in what was chosen."""
        return self._gathering is not None

    def begin(self) -> None:
        """Go on with what waited when the program ended."""
        if self._queue is None and not self._over and (self.catalogue.folder / WAITING).exists():
            self.queue.stand_still(self._still)

    def add(self, paths: Iterable[Path | str]) -> None:
        """Add files, folders and playlists; what was chosen now is analysed first."""
        self.notice = None
        self._gathering = self.workers.submit(self._gathered, list(paths))

    def _gathered(self, paths: list[Path | str]) -> int:
        """Find the files that are meant and let them wait; how many they are."""
        files = self.gathering(paths)
        self.queue.add(files, first=True)
        return len(files)

    def stand_still(self, still: bool) -> None:
        """Let the analysis stand still while a trial sounds."""
        if still != self._still:
            self._still = still
            if self._queue is not None:
                self._queue.stand_still(still)

    def cancel(self) -> None:
        """Analyse nothing more; what is in the list stays."""
        if self._gathering is not None:
            self._gathering.cancel()
            self._gathering = None
        if self._queue is not None:
            self._queue.cancel()

    def forget(self, recording: Recording) -> None:
        """Take a record out of the list; ``put_back`` undoes it."""
        try:
            id = recording.print
            self.put_away = recording, self.catalogue.anchors(id), self.catalogue.outline(id)
            self.catalogue.forget(recording.print)
            self.notice = FORGOTTEN(title=recording.name)
        except Trouble as trouble:
            self.put_away, self.notice = None, trouble.says
        self.records.changed()

    def put_back(self) -> None:
        """Put the record back that was taken out last."""
        if self.put_away is None:
            return
        recording, anchors, outline = self.put_away
        try:
            self.catalogue.keep(recording, anchors, outline)
            self.put_away, self.notice = None, BACK(title=recording.name)
        except Trouble as trouble:
            self.notice = trouble.says
        self.records.changed()

    def poll(self) -> bool:
        """Take over what the threads have done; whether the list has changed."""
        if not self.ready:
            return False
        news, self._reading = self._reading is not None, None
        while self._told:
            _, what = self._told.popleft()
            news = True
            if isinstance(what, Say):
                self.notice = what
        if self._gathering is not None and self._gathering.done():
            done, self._gathering = self._gathering, None
            self.notice = said(done, _added_say)
        if self._looking is not None and self._looking.done():
            found, self._looking = self._looking.result(), None
            news = news or found != self.missing
            self.missing = found
        if self._marking is not None and self._marking.done():
            marking, self._marking = self._marking, None
            self.notice = said(marking, marked_say)
            if self._after is not None:
                self._after()
        self.notice = self.wrote() or self.notice
        if self.catalogue.notices:
            self.notice = self.catalogue.notices.pop(0)
        if self.notice is not None and self.notice.template in (ADDED, ADDED_ONE) and self.progress.over:
            self.notice = ANALYSED()
        if news:
            self.records.changed()
        return news

    def close(self) -> None:
        """End the threads; what waits is analysed after the next start."""
        if self._queue is not None:
            self._queue.close()
        self._over = True
        self.workers.shutdown()

    # -- as files -------------------------------------------------------------------------------------------------

    def write(self, out: Path, wanted: Wanted) -> None:
        """Write a record as a sound, in a thread; ``wrote`` says how it went. ``Trouble``: it would replace one."""
        if self.catalogue.lists(out):
            raise Trouble(REPLACES(path=shown(out)))
        if self._writing is None:
            self._writing = self.workers.submit(write, out, wanted, lambda: self._over)

    @property
    def writing(self) -> bool:
        """Whether a sound is being written."""
        return self._writing is not None

    def wrote(self) -> Say | None:
        """What became of a sound that was written, once."""
        if self._writing is None or not self._writing.done():
            return None
        done, self._writing = self._writing, None
        return said(done, lambda written: written)

    # -- one record -----------------------------------------------------------------------------------------------

    def confirming(
        self, recording: Recording, player: Player, workers: Executor | None, given: Grid | None = None
    ) -> Confirming | None:
        """A record to be heard and set right on a player, by its own grid or one that is ``given``.

        None where it has no count, or no file.
        """
        if (given or recording.grid).refused is not None or not Path(recording.path).is_file():
            return None
        outline = self.catalogue.outline(recording.print)
        return Confirming(recording, player, outline, workers, given=given)

    # -- confirming -----------------------------------------------------------------------------------------------

    def confirm(self, recording: Recording) -> bool:
        """Keep a record that a person has confirmed; whether that was possible."""
        enough = self.records.enough
        try:
            self.catalogue.keep(recording)
        except Trouble as trouble:
            self.notice = trouble.says
            return False
        self.records.changed()
        self.notice = CONFIRMED(title=recording.name)
        if self.records.enough and not enough:
            self.notice = ENOUGH(least=LEAST_CONFIRMED)
        return True

    def leave(self, recording: Recording) -> None:
        """Say that what was set right was not kept."""
        self.notice = LEFT(title=recording.name)

    @property
    def marking(self) -> bool:
        """Whether trials are being marked again."""
        return self._marking is not None

    def mark_again(self, logbook: Path, after: Callable[[], object]) -> None:
        """Mark the trials of a logbook again, by the counts that were set right; then call ``after``."""
        if self._marking is None:
            self._after = after
            self._marking = self.workers.submit(marked_again, logbook, self.catalogue)


def _added_say(files: int) -> Say:
    return plural(files, ADDED_ONE, ADDED) if files else NOTHING_NEW()


def _missing(catalogue: Catalogue) -> frozenset[str]:
    return frozenset(each.print for each in catalogue if each.path and not os.path.isfile(each.path))  # noqa: PTH113
