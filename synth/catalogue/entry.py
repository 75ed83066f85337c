"""A recording as JSON, and back, checked: the catalogue's files, and grids that travel without their music."""

import base64
import os
from dataclasses import asdict, fields, replace
from datetime import date
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct

from synth.base.border import Unfit, fitted
from synth.base.sentences import Sentence, check_depth
from synth.catalogue.recording import Confirmer, Copy, Key, Recording, State
from synth.recording.grid import Grid

FORMAT: Literal["tallybar recording"] = "tallybar recording"
VERSION = 1
LONGEST_S = 4 * 3600.0
# Times of a grid may lie so many s behind the end of the sound.
ROUNDING_S = 0.5
# The first one of a sound that begins with it may lie so many s before the first frame.
EARLIEST_S = 0.5
MOST_COPIES = 100
# Before a path that is no UTF-8 and is kept as hex digits; no path holds it.
NOT_TEXT = "\0"

Text = Annotated[str, Meta(max_length=300)]
Name = Annotated[str, Meta(max_length=4096)]
Hex = Annotated[str, Meta(pattern="^[0-9a-f]{32}$")]
Time = Annotated[float, Meta(ge=0, le=LONGEST_S)]
Share = Annotated[float, Meta(ge=0, le=1)]
Bars = Annotated[int, Meta(ge=0, le=10_000)]
Whole = Annotated[int, Meta(ge=0, le=2**63 - 1)]


class GridEntry(Struct, kw_only=True):
    """The fields of a ``Grid``."""

    tempo_bpm: Annotated[float, Meta(ge=0, le=400)]
    one_s: Annotated[float, Meta(ge=-EARLIEST_S, le=LONGEST_S)]
    start_s: Time
    steady_until_s: Time
    duration_s: Time
    phrase_bars: Literal[4, 8, 16]
    phrase_first: Bars
    intro_bars: Bars | None
    uncertainty_ms: Annotated[float, Meta(ge=0, le=1000)]
    tempo_confidence: Share
    one_confidence: Share
    phrase_confidence: Share
    sure: bool
    beats_per_bar: Annotated[int, Meta(ge=1, le=16)] = 4
    refused: Sentence | None = None
    octave_confidence: Share = 1.0

    def grid(self) -> Grid:
        """The grid; ``Unfit`` where its times do not fit together."""
        values = {each.name: getattr(self, each.name) for each in fields(Grid)}
        if self.refused is not None:
            check_depth("refused", [self.refused])
            return Grid(**values | {"refused": self.refused.to_say()})
        if self.tempo_bpm < 20:
            raise Unfit("'tempo_bpm': a number from 20 expected")
        if not self.one_s < self.steady_until_s <= self.duration_s + ROUNDING_S:
            raise Unfit("'steady_until_s': a time after the first one and within the sound expected")
        if self.start_s >= self.one_s + 60 / self.tempo_bpm:
            raise Unfit("'start_s': a time before the first one expected")
        return Grid(**values)


class KeyEntry(Struct, kw_only=True, frozen=True):
    """The fields of a ``Key``."""

    size: Whole = 0
    changed_ns: int = 0
    ends: Annotated[str, Meta(pattern="^([0-9a-f]{32})?$")] = ""


class CopyEntry(Struct, kw_only=True):
    """The fields of a ``Copy``."""

    path: Name
    key: KeyEntry


class Entry(Struct, kw_only=True):
    """A recording, its anchors (``synth.catalogue.alignment``) and its outline (``synth.catalogue.outline``)."""

    format: Literal["tallybar recording"] = FORMAT
    version: Annotated[int, Meta(ge=1, le=VERSION)] = VERSION
    print: Hex
    path: Name = ""
    title: Text = ""
    artist: Text = ""
    duration_s: Time
    rate_hz: Annotated[int, Meta(ge=0, le=1_000_000)] = 0
    added: Annotated[str, Meta(pattern=r"^\d{4}-\d\d-\d\d$")]
    grid_version: Annotated[int, Meta(ge=1, le=1_000_000)] = 1
    state: State
    confirmed_by: Confirmer = ""
    key: KeyEntry = KeyEntry()
    sound: Annotated[str, Meta(max_length=1_000)] = ""
    copies: Annotated[list[CopyEntry], Meta(max_length=MOST_COPIES)] = []
    grid: GridEntry
    anchors: Annotated[str, Meta(max_length=40_000)] = ""
    outline: Annotated[str, Meta(max_length=250_000)] = ""

    def recording(self) -> Recording:
        """The recording; ``Unfit`` where its parts contradict each other."""
        grid = self.grid.grid()
        if (grid.refused is None) != (self.state in (State.FOUND, State.CONFIRMED)):
            raise Unfit("'state': what has no grid is refused or unreadable")
        if bool(self.confirmed_by) != (self.state is State.CONFIRMED):
            raise Unfit("'confirmed_by': learner or tutor expected where it is confirmed")
        try:
            added, sound = date.fromisoformat(self.added), base64.b64decode(self.sound, validate=True)
        except ValueError as slip:
            raise Unfit("'added' or 'sound': written in another form than expected") from slip
        return Recording(
            self.print,
            path_of(self.path),
            self.title,
            self.artist,
            self.duration_s,
            self.rate_hz,
            grid,
            added,
            self.grid_version,
            self.state,
            self.confirmed_by,
            _key(self.key),
            sound,
            tuple(Copy(path_of(each.path), _key(each.key)) for each in self.copies),
        )


def entry_of(recording: Recording, anchors: bytes = b"", outline: bytes = b"") -> Entry:
    """The entry of a recording. ``Unfit`` for one that could not be read back."""
    return fitted(plain(recording, anchors, outline), Entry)


def anchors_of(entry: Entry) -> bytes:
    """The anchors of an entry; ``Unfit`` where they are none."""
    return _bytes(entry.anchors, "anchors")


def outline_of(entry: Entry) -> bytes:
    """The outline of an entry; ``Unfit`` where it is none."""
    return _bytes(entry.outline, "outline")


def _bytes(text: str, name: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except ValueError as slip:
        raise Unfit(f"'{name}': written in another form than expected") from slip


def plain(recording: Recording, anchors: bytes = b"", outline: bytes = b"") -> dict[str, Any]:
    """A recording as plain values, which ``Entry`` reads."""
    values = {name: getattr(recording, name) for name in ("print", "title", "artist", "duration_s", "rate_hz")}
    return {
        "format": FORMAT,
        "version": VERSION,
        **values,
        "path": path_text(recording.path),
        "added": recording.added.isoformat(),
        "grid_version": recording.grid_version,
        "state": recording.state.value,
        "confirmed_by": recording.confirmed_by,
        "key": asdict(recording.key),
        "sound": base64.b64encode(recording.sound).decode(),
        "copies": [{"path": path_text(each.path), "key": asdict(each.key)} for each in recording.copies],
        "grid": plain_grid(recording.grid),
        "anchors": base64.b64encode(anchors).decode(),
        "outline": base64.b64encode(outline).decode(),
    }


def plain_grid(grid: Grid) -> dict[str, Any]:
    """A grid as plain values, which ``GridEntry`` reads."""
    return asdict(replace(grid, refused=None)) | {"refused": grid.refused and grid.refused.to_json()}


def path_text(path: str) -> str:
    """A path as text that JSON can hold."""
    try:
        path.encode()
    except UnicodeEncodeError:
        return NOT_TEXT + os.fsencode(path).hex()
    return path


def path_of(text: str) -> str:
    """The path of such a text; ``Unfit`` for another one."""
    if not text.startswith(NOT_TEXT):
        return text
    try:
        return os.fsdecode(bytes.fromhex(text[1:]))
    except ValueError as slip:
        raise Unfit("'path': not a path") from slip


def _key(entry: KeyEntry) -> Key:
    return Key(entry.size, entry.changed_ns, entry.ends)
