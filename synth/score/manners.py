"""Manners: how bass, chords, lead and voice move in each family of grooves. Original figures, in common practice.

A word is a beat of four sixteenths. Bass: degrees above the root of the chord (1, 3, 5, 7) and the octave (8); a note
lasts until the next one, ``/`` or ``bass_beats``. Chords and lead: ``x``. Voice: two bars, ``x`` begins a note, which
lasts until the next one or ``/``.
"""

from dataclasses import dataclass

Figure = tuple[str, ...]


def _figures(*lines: str) -> tuple[Figure, ...]:
    return tuple(tuple(line.split()) for line in lines)


@dataclass(frozen=True, slots=True)
class Manner:
    """What a song draws from: figures of each part, the longest bass note in beats, bars that one chord may last.

    Bass and pads give way to the kick by ``duck_db``.
    """

    bass: tuple[Figure, ...]
    chords: tuple[Figure, ...]
    leads: tuple[Figure, ...]
    bass_beats: float = 0.4
    chord_bars: tuple[int, ...] = (1, 2)
    duck_db: float = 0.0


OFFBEATS = _figures(
    "..x. ..x. ..x. ..x.",
    ".x.. x... .x.. x...",
    "..x. .x.. ..x. ....",
    "x..x ..x. ..x. ....",
    "..x. .... ..x. .x..",
    "...x ..x. .x.. ..x.",
)
BACKBEATS = _figures(
    ".... x... .... x...",
    "x... ..x. .... x...",
    "x... x... x... x...",
    "x..x .... x..x ....",
    "..x. x... ..x. x...",
    "x... .... ..x. x...",
)
SPARSE = _figures(
    "x... .... .... ....",
    "x... .... .... ..x.",
    "..x. .... .... x...",
    "x... .... x... ....",
    ".... ..x. .... ....",
    "x..x .... .... ....",
)
RIFFS = _figures(
    "x..x ..x. x... ..x.",
    "x.x. x..x .... x...",
    "..x. x... ..x. x.x.",
    "x... .x.. x..x ....",
    ".xx. ..x. .xx. x...",
    "x..x ..x. .x.. x...",
)
PICKED = _figures(
    "x.x. x.x. x.x. x.x.",
    "x.xx x.xx x.xx x.x.",
    "x... x.x. x... x.x.",
    "x..x .x.. x..x .x..",
    "x.x. ..x. x.x. ..x.",
    "x... xx.. x... xx..",
)
VOICES = _figures(
    "x... .... x... ../. ..x. x... .... /...",
    "x... x... ..x. .../ .... x... x... ./..",
    "..x. .... x... /... ..x. .... x... /...",
    "x.x. x... .../ .... x.x. x... ..x. ./..",
    "x... .... .... /... x... ..x. x... .../",
    ".... x.x. x... /... .... x.x. ..x. ./..",
)

HOUSE = Manner(
    _figures(
        "..1. ..1. ..1. ..1.",
        "..11 ..1. ..15 ..8.",
        ".11. .11. .11. .15.",
        "1..1 ..8. ..1. .5..",
        "..1. .8.. ..1. .81.",
        "1..1 ..1. 1..1 .57.",
    ),
    OFFBEATS,
    RIFFS,
    chord_bars=(1, 2, 4),
    duck_db=5.0,
)
TECHNO = Manner(
    _figures(
        ".111 .111 .111 .111",
        "..1. ..1. ..1. ..8.",
        ".11. 1.1. .11. 1.5.",
        "1.1. .1.1 1.1. .1.8",
        "..11 ..11 ..11 ..81",
        ".1.1 .1.1 .1.1 .1.5",
    ),
    OFFBEATS,
    RIFFS,
    bass_beats=0.25,
    chord_bars=(2, 4),
    duck_db=6.0,
)
DISCO = Manner(
    _figures(
        "1.8. 1.8. 1.8. 1.8.",
        "1.8. 1.8. 1.8. 5.7.",
        "1..8 .81. 1..8 .857",
        "1..1 ..81 ..1. 5.78",
        "1.18 .181 1.18 .157",
        "1... .1.8 1... .578",
    ),
    BACKBEATS,
    RIFFS,
    bass_beats=0.35,
    duck_db=3.0,
)
POP = Manner(
    _figures(
        "1.1. 1.1. 1.1. 1.1.",
        "1... ..1. 1... 5...",
        "1... 1... 5... 3...",
        "1..1 ..1. 1... 5.8.",
        "1... .... 1.1. 5...",
        "1... 3... 5... 3...",
    ),
    BACKBEATS,
    PICKED,
    bass_beats=0.9,
)
SLOW = Manner(
    _figures(
        "1... .... .... ..1.",
        "1... .... ..5. ....",
        "1..1 .... .... 8...",
        "1... ..1/ .... ..5.",
        "1... .... 1... ....",
        "1... ..1. ..8. 1...",
    ),
    SPARSE,
    PICKED,
    bass_beats=1.8,
    chord_bars=(1, 2, 4),
)
SUB = Manner(
    _figures(
        "1... ..1. .... 5...",
        "1... .... ..1. ..8.",
        "1..1 .... ..5. ....",
        "..1. .... 1... ..7.",
        "1... ..8. ..1. ....",
        "1... .... 1..5 ....",
    ),
    SPARSE,
    RIFFS,
    bass_beats=1.2,
    chord_bars=(2, 4),
    duck_db=4.0,
)
DEMBOW = Manner(
    _figures(
        "1..1 ..1. 1..1 ..1.",
        "1... ..1. 1..5 ..8.",
        "1..1 ..5. 1..1 ..5.",
        "1... ..11 1... ..1.",
        "1..8 ..1. 1..8 ..5.",
        "1... .... 1..1 ..1.",
    ),
    OFFBEATS,
    PICKED,
    bass_beats=0.6,
    duck_db=4.0,
)

# By the family that a groove file names; any other family has the manner of pop.
MANNERS = {
    **dict.fromkeys(("house", "afro house", "latin", "minimal", "garage"), HOUSE),
    **dict.fromkeys(("techno", "electro"), TECHNO),
    **dict.fromkeys(("disco", "funk"), DISCO),
    **dict.fromkeys(("hip-hop", "half-time"), SLOW),
    **dict.fromkeys(("drum and bass", "two-step", "breakbeat"), SUB),
    "reggaeton": DEMBOW,
}


def manner_of(family: str) -> Manner:
    """The manner of a groove's family."""
    return MANNERS.get(family, POP)
