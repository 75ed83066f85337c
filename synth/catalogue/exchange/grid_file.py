"""A grid from a file that a person has: beats as text, or JAMS."""

from pathlib import Path

from synth.base.border import shown
from synth.catalogue.exchange.beats_file import grid_of_beats, read_beats
from synth.catalogue.exchange.jams import grid_of_jams
from synth.recording.grid import Grid

JAMS_ENDINGS = (".jams", ".json")
ENDINGS = (".txt", ".tsv", ".beats", *JAMS_ENDINGS)


def grid_of_file(path: Path, before: Grid) -> Grid:
    """The steady grid of a file, of JAMS by its name's ending, of beats by any other.

    ``before``: that of the recording, or why it has none. Raises ``Trouble`` for a file that is neither, and for
    beats that wander or lie outside the sound.
    """
    if path.suffix.lower() in JAMS_ENDINGS:
        return grid_of_jams(path, before)
    return grid_of_beats(read_beats(path), before, shown(path))
