"""The learner's own records as material of practice: which one comes next in a drill. No widgets.

A record is drawn for each trial and stays drawn until that trial is taken, so that it can be made ahead.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from random import Random
from threading import Lock

from exercises.drills import drill
from exercises.logbook.old_trials.again import file_of
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.recording import Recording, State
from synth.recording.source import RecordingSource, near
from synth.score.recorded import Recorded

# What a wish says instead of a recording's id for any of them.
ANY = "any"
# Records that a person has confirmed before the plan mixes them in.
LEAST_CONFIRMED = 3
# Records, or pairs of them, that are tried for one trial, which takes 2 ms each.
MOST_TRIED = 30
# Second ones that are tried with each.
MOST_OTHERS = 5

NONE_FITS = Template(
    "own_records.none_fits", "None of your records fits this drill. Add records, or confirm them by ear."
)
OTHERS_LEFT = Template(
    "own_records.others_left", "None of {n} records fits this drill. Begin again to try others, or choose a record."
)
NOT_THERE = Template(
    "own_records.not_there", "The file of {title} is not to be found. Look whether its drive is there."
)
UNCONFIRMED = Template("own_records.unconfirmed", "The count of {title} is unsure. Confirm it by ear first.")
BY_LEARNER = Template("by_whom.learner", "You have confirmed its count by ear.")
BY_TUTOR = Template("by_whom.tutor", "The tutor has confirmed its count by ear.")
NOT_CONFIRMED = Template("by_whom.not_confirmed", "Its count is not confirmed by ear.")
ANOTHER_COUNT = Template("by_whom.another_count", "Its count was set right after this trial.")


@dataclass(slots=True, eq=False)
class OwnRecords:
    """Draws from ``catalogue``, which ``open`` reads when it is first needed. ``random`` chooses."""

    open: Callable[[], Catalogue] = Catalogue
    random: Random = field(default_factory=Random)
    _catalogue: Catalogue | None = None
    _drawn: dict[tuple[str, int, str], RecordingSource] = field(default_factory=dict)
    _before: str = ""
    _unfit: set[tuple[str, int, str]] = field(default_factory=set)
    _enough: bool | None = None
    _reading: Lock = field(default_factory=Lock)

    @property
    def known(self) -> bool:
        """Whether the catalogue has been read, which takes a while where it is large."""
        return self._catalogue is not None

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue, from any thread."""
        if self._catalogue is None:
            with self._reading:
                if self._catalogue is None:
                    self._catalogue = self.open()
        return self._catalogue

    @property
    def enough(self) -> bool:
        """Whether enough of them are confirmed for the plan."""
        if self._enough is None:
            confirmed = sum(each.state is State.CONFIRMED for each in self.catalogue.usable())
            self._enough = confirmed >= LEAST_CONFIRMED
        return self._enough

    def draw(self, drill_id: str, rung: int, which: str) -> RecordingSource:
        """The record of the next trial: ``ANY`` that fits, or the one with an id. ``Trouble`` where none does."""
        key = drill_id, rung, which
        if key not in self._drawn:
            self._drawn = {key: self._drawn_anew(drill_id, rung, which)}
        return self._drawn[key]

    def file_of(self, print: str) -> str | None:
        """The file of a record, by its id; None where it is not there."""
        return file_of(print, self.catalogue)

    def taken(self) -> None:
        """The record that was drawn is heard, or cannot be: the next one is another, where there are several."""
        for source in self._drawn.values():
            self._before = source.sound.print
        self._drawn = {}

    def changed(self) -> None:
        """A grid was set right, or a record came or went: what was drawn holds no more."""
        self._drawn, self._enough = {}, None
        self._unfit.clear()

    def _drawn_anew(self, drill_id: str, rung: int, which: str) -> RecordingSource:
        usable = self.catalogue.usable()
        trouble = Trouble(NONE_FITS())
        if which != ANY:
            wanted = [self._one(which, usable)]
        else:
            untried = [each for each in usable if (drill_id, rung, each.print) not in self._unfit]
            wanted = self.random.sample(untried, min(len(untried), MOST_TRIED))
            wanted.sort(key=lambda each: each.print == self._before)  # the one of before comes last
            if len(untried) > len(wanted):
                trouble = Trouble(OTHERS_LEFT(n=MOST_TRIED))
        sources = (source for each in wanted for source in self._with_others(drill_id, each, usable))
        for source in islice(sources, MOST_TRIED):
            try:
                drill(drill_id).make(rung, 0, recording=source)
            except Trouble as slip:
                trouble = slip if which != ANY else trouble
                if drill(drill_id).records == 1:  # with another second one it may fit
                    self._unfit.add((drill_id, rung, source.sound.print))
                continue
            return source
        raise trouble

    def _one(self, print: str, usable: list[Recording]) -> Recording:
        found = self.catalogue.get(print)
        if found is None:
            raise Trouble(NONE_FITS())
        if found not in usable:
            raise Trouble((UNCONFIRMED if Path(found.path).is_file() else NOT_THERE)(title=found.name))
        return found

    def _with_others(self, drill_id: str, one: Recording, usable: list[Recording]) -> Iterator[RecordingSource]:
        """The source of a record, with one after the other of nearly its tempo where the drill takes two."""
        others = [each for each in usable if each.print != one.print and near(each.grid, one.grid.tempo_bpm)]
        if drill(drill_id).records < 2 or not others:
            yield one.source()
            return
        for other in self.random.sample(others, min(len(others), MOST_OTHERS)):
            yield one.source(other.source())


def by_whom(records: OwnRecords | None, heard: Recorded) -> Say:
    """Who had confirmed the count of a trial on a record, unless it was set right since."""
    recording = None if records is None else records.catalogue.get(heard.print)
    if recording is not None and recording.grid_version != heard.grid_version:
        return ANOTHER_COUNT()
    return {"learner": BY_LEARNER, "tutor": BY_TUTOR}.get(heard.confirmed_by, NOT_CONFIRMED)()
