"""General MIDI 1: which percussion note is which drum."""

from pathlib import Path

ENDINGS = (".mid", ".midi")
DRUM_CHANNEL = 9  # channel 10 as players count

# General MIDI 1 percussion: the first note of a drum is the one written, all are read.
GM_DRUMS: dict[str, tuple[int, ...]] = {
    "kick": (36, 35),
    "snare": (38, 40),
    "clap": (39,),
    "rim": (37, 75, 76, 77),
    "closed_hat": (42,),
    "open_hat": (46,),
    "pedal_hat": (44,),
    "ride": (51, 53, 59),
    "crash": (49, 52, 55, 57),
    "high_tom": (50, 48),
    "mid_tom": (47, 45),
    "low_tom": (41, 43),
    "shaker": (70, 69, 82),
    "tambourine": (54,),
    "conga": (63, 60, 61, 62, 64, 65, 66),
    "cowbell": (56, 67, 68, 80, 81),
}
DRUM_OF_NOTE = {note: drum for drum, notes in GM_DRUMS.items() for note in notes}

PHRASE_MARKER = "phrase"
PICK_UP_MARKER = "pick-up"


def is_midi(name: str | Path) -> bool:
    """Whether the name is that of a MIDI file, to be read by ``midi_arrangement`` rather than ``groove``."""
    return Path(name).suffix.lower() in ENDINGS
