"""What becomes of a file: known already, moved, a copy, another encoding, or new.

Nothing is lost: a recording whose file is gone stays, and takes a file that holds it when one turns up.
"""

import hashlib
import os
from dataclasses import replace
from datetime import date
from pathlib import Path

from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.catalogue.alignment import later_s, moved_to
from synth.catalogue.analysis import Found
from synth.catalogue.catalogue import Catalogue, absolute
from synth.catalogue.entry import MOST_COPIES
from synth.catalogue.prints import alike
from synth.catalogue.recording import Copy, Key, Recording, State
from synth.catalogue.seeking import key_of
from synth.recording.decoders import ffmpeg
from synth.recording.grid import Grid
from synth.recording.refusals import NO_FFMPEG, NO_PROCESS

GONE = Template("adding.gone", "{path}: the file went away while it was read.")


def known(catalogue: Catalogue, path: Path | str) -> Recording | None:
    """The recording in a file, if that can be told without decoding; one that has moved is noted where it is now."""
    found = catalogue.unchanged(path)
    if found is not None and found.path != absolute(path) and not Path(found.path).is_file():
        found = None  # a copy, which now stands in
    if found is None and (key := key_of(path)) is not None:
        found = catalogue.same_bytes(key)
        if found is not None:
            found = _placed(catalogue, found, absolute(path), key)
    if found is not None and found.why is not None and found.why.template is NO_FFMPEG and ffmpeg():
        return None  # what was missing is there
    return found


def arrived(catalogue: Catalogue, path: Path | str, found: Found | Trouble, today: date) -> Recording:
    """Keep what was found of a file, or why it cannot be read.

    Raises ``Trouble`` where the file is gone, and where the computer had no process to look at it.
    """
    place, key = absolute(path), key_of(path)
    if key is None or (isinstance(found, Trouble) and found.says.template is NO_PROCESS):
        raise found if isinstance(found, Trouble) else Trouble(GONE(path=shown(path)))
    if isinstance(found, Trouble):
        grid = Grid.none(found.says, 0.0)
        made = Recording(_id(key.ends.encode()), place, "", "", 0.0, 0, grid, today, 1, State.UNREADABLE, "", key)
        _let_go(catalogue, place, made.print)
        catalogue.keep(made)
        return made
    grid = found.grid
    other = same_record(catalogue, found.sound, found.anchors, grid.duration_s)
    if other is not None and other.path not in ("", place) and Path(other.path).is_file():
        return _placed(catalogue, other, place, key)
    if other is None:
        state = State.FOUND if grid.refused is None else State.REFUSED
        id = _id(found.sound + found.anchors or key.ends.encode())
        other = Recording(id, place, found.title, found.artist, grid.duration_s, found.rate_hz, grid, today, 1, state)
    else:
        other = _taken_over(catalogue, other, found)
    _let_go(catalogue, place, other.print)
    title, artist = found.title or other.title, found.artist or other.artist
    other = replace(other, path=place, key=key, rate_hz=found.rate_hz, duration_s=grid.duration_s, sound=found.sound)
    other = replace(other, title=title, artist=artist)
    catalogue.keep(other, found.anchors, found.outline)
    return other


def same_record(catalogue: Catalogue, sound: bytes, anchors: bytes, duration_s: float) -> Recording | None:
    """The recording that sounds like this and has its attacks where these are, whatever the file; None if new."""
    close = alike(sound, duration_s, catalogue)
    return next((each for each in close if later_s(anchors, catalogue.anchors(each.print)) is not None), None)


def _placed(catalogue: Catalogue, recording: Recording, path: str, key: Key) -> Recording:
    """The recording with a file that holds it: its own again, or a copy beside it."""
    if recording.path == path or not os.path.isfile(recording.path):  # noqa: PTH113 - a text, also an empty one
        copies = tuple(each for each in recording.copies if each.path != path)
        placed = replace(recording, path=path, key=key, copies=copies)
    else:
        copies = (*(each for each in recording.copies if each.path != path), Copy(path, key))
        placed = replace(recording, copies=copies[-MOST_COPIES:])
    if placed != recording:
        _let_go(catalogue, path, recording.print)
        catalogue.keep(placed)
    return placed


def _taken_over(catalogue: Catalogue, before: Recording, found: Found) -> Recording:
    """A recording whose file is now another one: what a person has confirmed is moved to its times, the rest anew."""
    if before.state is not State.CONFIRMED:
        return before.with_grid(found.grid)
    moved = moved_to(before.grid, found.anchors, catalogue.anchors(before.print), found.grid.duration_s)
    return before.with_grid(found.grid if moved is None else moved)


def _let_go(catalogue: Catalogue, path: str, but: str) -> None:
    """No other recording is any more at this place, whose file has changed."""
    before = catalogue.at(path)
    if before is not None and before.print != but:
        copies = tuple(each for each in before.copies if each.path != path)
        catalogue.keep(replace(before, path="" if before.path == path else before.path, copies=copies))


def _id(data: bytes) -> str:
    return hashlib.blake2b(data, digest_size=16).hexdigest()
