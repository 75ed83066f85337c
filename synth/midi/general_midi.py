"""General MIDI 1: percussion notes of the drums, programs of the other voices."""

from pathlib import Path

ENDINGS = (".mid", ".midi")
DRUM_CHANNEL = 9  # channel 10 as players count

# Notes of each drum, the first of which is written; all are read.
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

# Programs from 0: synth bass 1, electric piano 1, warm pad, pizzicato, voice oohs; reverse cymbal for sweeps.
GM_PROGRAMS = {"bass": 38, "stab": 4, "pad": 89, "pluck": 45, "voice": 53}
SWEEP_PROGRAM = 119
SWEEP_NOTES = {"riser": 60, "down_sweep": 48, "impact": 36, "reversed_crash": 64, "filter": 72}
SWEEP_TRACK = "sweeps"
# First and last program of a family, and the voice that plays it.
VOICE_OF_PROGRAMS = ((32, 39, "bass"), (52, 54, "voice"), (40, 51, "pad"), (88, 95, "pad"), (0, 23, "stab"))

PHRASE_MARKER = "phrase"
PICK_UP_MARKER = "pick-up"


def is_midi(name: str | Path) -> bool:
    """Whether the name ends like a MIDI file's."""
    return Path(name).suffix.lower() in ENDINGS
