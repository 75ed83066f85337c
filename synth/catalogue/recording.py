"""A recording as the catalogue keeps it: where its file is, its grid, and who has confirmed it."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Literal

from synth.base.words import Say
from synth.recording.grid import Grid
from synth.recording.source import RecordingSource, of_file

Confirmer = Literal["", "learner", "tutor"]


class State(StrEnum):
    """How far a recording has come."""

    FOUND = "found"
    CONFIRMED = "confirmed"
    REFUSED = "refused"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class Key:
    """What tells without reading that a file is unchanged: bytes, time of change in ns, a hash of both its ends."""

    size: int = 0
    changed_ns: int = 0
    ends: str = ""

    @property
    def content(self) -> tuple[int, str]:
        """What files of the same bytes have in common, whenever they were copied or touched."""
        return self.size, self.ends


@dataclass(frozen=True, slots=True)
class Copy:
    """A file with the recording; beside the recording's own it is left alone."""

    path: str
    key: Key


@dataclass(frozen=True, slots=True)
class Recording:
    """One recording of a learner.

    ``print``: its id, 32 hex digits, for good. ``path``: the file that is analysed and played, empty where a grid
    has come without the music. ``duration_s`` and ``rate_hz`` are the file's. ``grid_version`` starts at 1 and rises
    with each change of the grid. ``sound``: what it sounds like, coarsely (``synth.catalogue.prints``). Where there
    is no grid, ``grid.refused`` says why, also for a file that cannot be read.
    """

    print: str
    path: str
    title: str
    artist: str
    duration_s: float
    rate_hz: int
    grid: Grid
    added: date
    grid_version: int = 1
    state: State = State.FOUND
    confirmed_by: Confirmer = ""
    key: Key = Key()
    sound: bytes = b""
    copies: tuple[Copy, ...] = ()

    @property
    def files(self) -> tuple[Copy, ...]:
        """Its file and the copies."""
        return (Copy(self.path, self.key), *self.copies)

    @property
    def usable(self) -> bool:
        """Whether drills may use it: confirmed by a person, or found and sure."""
        return self.state is State.CONFIRMED or (self.state is State.FOUND and self.grid.sure)

    @property
    def why(self) -> Say | None:
        """Why it has no grid."""
        return self.grid.refused

    @property
    def name(self) -> str:
        """Its title, or the file's name without the ending."""
        return self.title or Path(self.path).stem

    def source(self, other: RecordingSource | None = None) -> RecordingSource:
        """As what plays in a trial, with another one to go with it. ``ValueError`` where its grid was refused."""
        return of_file(
            self.path,
            self.grid,
            print=self.print,
            title=self.name,
            grid_version=self.grid_version,
            confirmed_by=self.confirmed_by,
            other=other,
        )

    def with_grid(self, grid: Grid) -> "Recording":
        """With another grid, which nobody has confirmed yet; the same grid changes nothing.

        A grid that is refused makes it a refused recording.
        """
        if grid == self.grid:
            return self
        state = State.FOUND if grid.refused is None else State.REFUSED
        return replace(self, grid=grid, grid_version=self.grid_version + 1, state=state, confirmed_by="")

    def confirmed(self, by: Confirmer) -> "Recording":
        """Confirmed by a person. ``ValueError`` where there is no grid, or nobody."""
        if self.grid.refused is not None:
            raise ValueError("a recording without a grid cannot be confirmed")
        if not by:
            raise ValueError("nobody confirms nothing: learner or tutor expected")
        return replace(self, state=State.CONFIRMED, confirmed_by=by)
