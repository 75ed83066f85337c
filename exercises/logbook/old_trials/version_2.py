"""What rungs drew from in version 2 of the trials: with it, their truth can still be made."""

from dataclasses import replace

from exercises.drills import drills
from exercises.forms.old_rungs import row_of
from exercises.forms.rungs import Rung

# Grooves by drill, and by rung from the first one on.
GROOVES: dict[str, tuple[tuple[str, ...], ...]] = {
    "beat": (
        ("four-on-the-floor",),
        ("backbeat",),
        ("backbeat", "four-on-the-floor"),
        ("disco", "techno", "rock"),
        ("shuffle",),
        ("backbeat", "hip-hop", "dembow"),
        ("broken-beat", "funk", "electro", "two-step"),
        ("backbeat", "four-on-the-floor", "broken-beat", "funk"),
        ("waltz", "five-four", "broken-beat"),
    ),
    "bring-in": (
        ("backbeat",),
        ("backbeat", "rock"),
        ("four-on-the-floor",),
        ("four-on-the-floor", "disco"),
        ("four-on-the-floor", "deep-house", "disco"),
        ("four-on-the-floor", "techno", "broken-beat"),
        ("four-on-the-floor", "broken-beat", "electro"),
        *[("four-on-the-floor", "broken-beat", "backbeat", "two-step")] * 2,
    ),
    "count-along": (
        *[("backbeat",)] * 2,
        ("four-on-the-floor",),
        *[("backbeat", "four-on-the-floor")] * 2,
        ("broken-beat", "electro"),
        ("half-time", "trap"),
        ("waltz", "five-four"),
        ("four-on-the-floor", "techno", "broken-beat"),
    ),
    "drum": (
        ("backbeat",),
        ("four-on-the-floor", "disco"),
        ("backbeat", "rock"),
        ("backbeat", "rock", "broken-beat"),
        ("backbeat",),
        ("backbeat", "rock"),
        ("four-on-the-floor",),
        *[("disco", "half-time")] * 2,
    ),
    "faster": (
        ("backbeat",),
        *[("backbeat", "four-on-the-floor")] * 3,
        *[("backbeat", "four-on-the-floor", "disco", "electro", "rock")] * 6,
    ),
    "feel": (
        *[("backbeat",)] * 3,
        *[("backbeat", "four-on-the-floor")] * 2,
        ("backbeat", "four-on-the-floor", "rock", "disco", "funk", "electro"),
        ("backbeat", "four-on-the-floor"),
        *[("backbeat", "four-on-the-floor", "rock", "disco", "funk", "electro")] * 2,
    ),
    "in-line": (
        ("backbeat",),
        ("four-on-the-floor",),
        ("four-on-the-floor", "backbeat"),
        ("backbeat", "four-on-the-floor"),
        ("backbeat", "broken-beat", "four-on-the-floor"),
        ("four-on-the-floor", "disco", "broken-beat"),
        ("four-on-the-floor", "backbeat"),
        ("four-on-the-floor", "deep-house", "disco"),
        ("four-on-the-floor", "deep-house", "disco", "broken-beat"),
    ),
    "intro": (
        *[("four-on-the-floor", "disco")] * 2,
        *[("four-on-the-floor", "disco", "backbeat", "deep-house", "electro", "techno")] * 5,
        *[("four-on-the-floor", "disco", "backbeat", "deep-house", "electro", "techno", "broken-beat", "half-time")]
        * 2,
    ),
    "land": (
        *[("four-on-the-floor",)] * 2,
        *[("four-on-the-floor", "deep-house", "disco")] * 2,
        ("backbeat", "disco", "four-on-the-floor"),
        ("four-on-the-floor", "deep-house", "disco", "techno"),
        ("broken-beat", "four-on-the-floor", "electro"),
        ("four-on-the-floor", "deep-house", "disco", "broken-beat", "two-step"),
    ),
    "odd-phrase": (
        *[("four-on-the-floor", "disco")] * 2,
        *[("four-on-the-floor", "disco", "backbeat", "deep-house", "electro", "techno")] * 6,
        (
            "four-on-the-floor",
            "disco",
            "backbeat",
            "deep-house",
            "electro",
            "techno",
            "broken-beat",
            "half-time",
            "two-step",
        ),
    ),
    "one": (
        *[("backbeat",)] * 3,
        ("four-on-the-floor",),
        ("four-on-the-floor", "backbeat"),
        ("broken-beat",),
        ("half-time",),
        *[("backbeat", "four-on-the-floor", "broken-beat", "half-time")] * 2,
    ),
    "stopped-bar": (
        ("backbeat",),
        ("backbeat", "rock"),
        ("backbeat", "funk"),
        ("four-on-the-floor", "disco"),
        ("backbeat", "four-on-the-floor"),
        ("broken-beat", "electro", "two-step"),
        ("backbeat", "four-on-the-floor", "broken-beat"),
        ("half-time", "trap"),
        ("four-on-the-floor", "techno", "broken-beat"),
    ),
    "stopped-beat": (
        ("backbeat",),
        ("backbeat", "rock"),
        ("backbeat", "funk"),
        ("four-on-the-floor", "disco"),
        ("broken-beat", "electro"),
        ("backbeat", "funk", "broken-beat", "electro"),
        ("half-time", "trap"),
        ("waltz", "backbeat", "five-four"),
        ("techno", "drum-and-bass", "rock", "two-step"),
    ),
    "tempo": (
        *[("four-on-the-floor",)] * 2,
        ("backbeat",),
        *[("four-on-the-floor", "backbeat")] * 2,
        *[("four-on-the-floor", "backbeat", "disco", "electro", "rock", "funk")] * 4,
    ),
    "through": (
        *[("backbeat",)] * 2,
        ("four-on-the-floor", "disco"),
        *[("backbeat", "four-on-the-floor")] * 2,
        ("backbeat", "four-on-the-floor", "rock"),
        ("backbeat", "broken-beat", "electro"),
        *[("backbeat", "four-on-the-floor", "broken-beat")] * 3,
    ),
    "turn": (
        *[("four-on-the-floor", "disco")] * 4,
        *[("four-on-the-floor", "disco", "backbeat", "electro", "techno")] * 4,
        ("four-on-the-floor", "disco", "backbeat", "electro", "techno", "broken-beat", "two-step"),
    ),
}
# Rungs that drew from another range of tempos.
TEMPOS_BPM = {("count-along", 8): (96.0, 132.0)}


def rung_of_2(drill: str, number: int) -> Rung:
    """A rung as version 2 had it, as far as the truth of its trials goes. ``LookupError`` where it had none."""
    row: Rung = row_of(drill, drills()[drill].rungs, number, 2)
    tempo_bpm = TEMPOS_BPM.get((drill, number), row.tempo_bpm)
    return replace(row, grooves=GROOVES[drill][number - 1], tempo_bpm=tempo_bpm)
