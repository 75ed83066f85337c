"""Grids that travel without their music: a tutor writes those of a class's records, a learner takes them in.

A line of JSON for each, after a head line; no paths. A grid waits in the catalogue until its record turns up.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta, Struct
from msgspec import json as msgspec_json

from synth.base.border import Unfit, fitted, parsed, read_bytes, shown
from synth.base.errors import Trouble
from synth.base.files import write_bytes
from synth.base.words import Template
from synth.catalogue.adding import same_record
from synth.catalogue.alignment import moved_to
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.entry import Entry, anchors_of, plain
from synth.catalogue.recording import Key, Recording, State

FORMAT: Literal["tallybar grids"] = "tallybar grids"
VERSION = 1
MOST_BYTES, MOST_GRIDS = 60_000_000, 20_000

NO_GRIDS = Template("grids.no_grids", "{path}: this is no file of grids ({why}).")
BAD_LINE = Template("grids.bad_line", "{path}, line {line}: {why}.")
NOTHING = Template("grids.nothing", "No record is confirmed yet: there is no grid to write.")


class Head(Struct):
    """The first line."""

    format: Literal["tallybar grids"]
    version: Annotated[int, Meta(ge=1, le=VERSION)]
    recordings: Annotated[int, Meta(ge=0, le=MOST_GRIDS)]


@dataclass(frozen=True, slots=True)
class Taken:
    """How many grids were new, replaced one that nobody had confirmed, or were left since a person had.

    ``unplaced`` are left as well: they say nothing new, or cannot be put at the times of one's own file.
    """

    new: int = 0
    replaced: int = 0
    left: int = 0
    unplaced: int = 0


def write_grids(catalogue: Catalogue, path: Path) -> int:
    """Write the grids that a person has confirmed; how many. Raises ``Trouble``, also where there is none."""
    chosen = [each for each in catalogue if each.state is State.CONFIRMED]
    if not chosen:
        raise Trouble(NOTHING())
    lines = [msgspec_json.encode(Head(FORMAT, VERSION, len(chosen)))]
    for each in chosen:
        bare = replace(each, path="", copies=(), key=replace(each.key, changed_ns=0))
        lines.append(msgspec_json.encode(plain(bare, catalogue.anchors(each.print))))
    write_bytes(path, b"\n".join(lines) + b"\n")
    return len(chosen)


def take_grids(catalogue: Catalogue, path: Path, today: date) -> Taken:
    """Take in the grids of a file. Raises ``Trouble`` for a wrong line, before any is taken, and on a full disk."""
    taken = Taken()
    for recording, anchors in list(_read(path)):
        mine = catalogue.get(recording.print)
        mine = mine or same_record(catalogue, recording.sound, anchors, recording.duration_s)
        if mine is None:
            catalogue.keep(replace(recording, added=today), anchors)
            taken = replace(taken, new=taken.new + 1)
        elif mine.state is State.CONFIRMED:
            taken = replace(taken, left=taken.left + 1)
        else:
            with_theirs = _with_theirs(catalogue, mine, recording, anchors)
            if with_theirs == mine:
                taken = replace(taken, unplaced=taken.unplaced + 1)
                continue
            catalogue.keep(with_theirs)
            taken = replace(taken, replaced=taken.replaced + 1)
    return taken


def _with_theirs(catalogue: Catalogue, mine: Recording, theirs: Recording, anchors: bytes) -> Recording:
    """One's own recording with their grid at its times; as it was where the grid cannot be placed."""
    if not mine.path:
        grid = theirs.grid
    else:
        moved = moved_to(theirs.grid, catalogue.anchors(mine.print), anchors, mine.duration_s)
        if moved is None:
            return mine
        grid = moved
    mine = mine.with_grid(grid)
    return mine.confirmed(theirs.confirmed_by) if grid is theirs.grid and theirs.confirmed_by else mine


def _read(path: Path) -> Iterator[tuple[Recording, bytes]]:
    lines = read_bytes(path, MOST_BYTES).splitlines()
    try:
        head = fitted(parsed(lines[0] if lines else b""), Head)
    except Unfit as slip:
        raise Trouble(NO_GRIDS(path=shown(path), why=str(slip))) from slip
    if len(lines) != head.recordings + 1:
        why = f"{head.recordings} lines expected after the first"
        raise Trouble(NO_GRIDS(path=shown(path), why=why))
    for number, line in enumerate(lines[1:], 2):
        try:
            entry = fitted(parsed(line), Entry)
            recording, anchors = entry.recording(), anchors_of(entry)
            if recording.state is not State.CONFIRMED:
                raise Unfit("'state': confirmed expected")
        except Unfit as slip:
            raise Trouble(BAD_LINE(path=shown(path), line=number, why=str(slip))) from slip
        yield replace(recording, path="", copies=(), key=Key(recording.key.size, 0, recording.key.ends)), anchors
