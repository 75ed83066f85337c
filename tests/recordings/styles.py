"""How two dozen styles are played, as is common practice in each, for the songs of `arranged.py`.

Patterns: a letter or figure a sixteenth, a bar a row. `x` strikes, `X` strikes hard, `o` softly, `.` rests; in basses
a figure is a degree of the chord, 8 its octave, and in chords 1, 5 and 8 are its three tones.
"""

from dataclasses import dataclass

KICK, RIM, SNARE, CLAP, CLOSED, OPEN, CRASH, RIDE = 36, 37, 38, 39, 42, 46, 49, 51
TAMBOURINE, COWBELL, CONGA, LOW_CONGA, SHAKER = 54, 56, 63, 64, 70
TOMS = (50, 47, 43)
DRUMS = {
    "k": KICK,
    "r": RIM,
    "s": SNARE,
    "c": CLAP,
    "h": CLOSED,
    "o": OPEN,
    "d": RIDE,
    "t": TAMBOURINE,
    "b": COWBELL,
    "g": CONGA,
    "l": LOW_CONGA,
    "a": SHAKER,
}
LOUDNESS = {"x": 92, "X": 116, "o": 48}
# Chords by degree of the scale.
MAJOR_LOOPS = (
    ("1", "5", "6", "4"),
    ("1", "4", "1", "5"),
    ("1", "6", "4", "5"),
    ("1", "1", "4", "4"),
    ("2", "5", "1", "1"),
    ("1", "3", "4", "5"),
    ("1", "4", "6", "5"),
)
MINOR_LOOPS = (
    ("1", "6", "3", "7"),
    ("1", "1", "1", "1"),
    ("1", "4", "1", "5"),
    ("1", "7", "6", "5"),
    ("1", "1", "6", "7"),
    ("1", "3", "7", "4"),
)
BLUES = ("1", "1", "1", "1", "4", "4", "1", "1", "5", "4", "1", "5")
SCALES = {"major": (0, 2, 4, 5, 7, 9, 11), "minor": (0, 2, 3, 5, 7, 8, 10)}


@dataclass(frozen=True, slots=True)
class Style:
    """How a style is played. ``drums``: some sets of rows, by voice. ``swing``: share of the long one of two eighths
    (``sixteenths``: of two sixteenths). ``loops``: progressions, ``bars`` of each chord."""

    tempo_bpm: tuple[float, float]
    drums: tuple[dict[str, str], ...]
    bass: tuple[str, ...]
    chords: tuple[str, ...]
    programs: tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]  # of bass, chords, lead
    scale: str = "major"
    loops: tuple[tuple[str, ...], ...] = ()
    bars: int = 1
    swing: float = 0.5
    sixteenths: bool = False
    loose_ms: float = 4.0


EIGHTHS, QUARTERS, OFFS = "x.x.x.x.x.x.x.x.", "x...x...x...x...", "..x...x...x...x."
ALL = "xoxoxoxoxoxoxoxo"
BACK = "....X.......X..."
FOUR = "X...X...X...X..."

STYLES: dict[str, Style] = {
    "rock": Style(
        (104, 148),
        (
            {"k": "X.......X.x.....", "s": BACK, "h": EIGHTHS},
            {"k": "X.x.....x.X.....", "s": BACK, "d": EIGHTHS},
            {"k": "X.....x.X.......", "s": BACK, "o": QUARTERS},
        ),
        ("1.1.1.1.1.1.1.1.", "1.....1.1.....5.", "1...1.1.1...5.3."),
        ("X.......X.......", "x.x.x.xxx.x.x.xx", "X.............x."),
        ((33, 34), (29, 30, 27), (30, 56, 81)),
    ),
    "ballad": Style(
        (70, 84),
        (
            {"k": "X.......X.......", "s": BACK, "h": EIGHTHS},
            {"k": "X......xX.......", "r": BACK, "h": "x.xox.xox.xox.xo"},
        ),
        ("1.......1.......", "1.....1.5......."),
        ("x.......x.......", "1.5.8.5.1.5.8.5."),
        ((32, 33), (0, 4, 24), (73, 40, 52)),
        loops=MAJOR_LOOPS + MINOR_LOOPS[:1],
    ),
    "pop": Style(
        (92, 126),
        (
            {"k": "X.....x.X.......", "s": BACK, "h": ALL, "t": BACK},
            {"k": "X..x..x.X..x....", "c": BACK, "h": OFFS, "a": ALL},
        ),
        ("1..1..1.1..1..1.", "1.....1.1..5..8."),
        ("x..x..x.x..x..x.", "..x...x...x...x."),
        ((33, 38), (0, 88, 25), (80, 53, 11)),
    ),
    "four-snares": Style(
        (112, 138),
        (
            {"k": "X...x..xX...x...", "s": "X...X...X...X...", "t": EIGHTHS},
            {"k": "X.....x.x.......", "s": "x...x...x...x...", "h": EIGHTHS, "t": BACK},
        ),
        ("1..1..5.1..1..3.", "1...3...5...6..."),
        ("....x.......x...", "....x.......x.x."),
        ((32, 33), (26, 0, 61), (56, 65, 53)),
        loose_ms=6,
    ),
    "disco": Style(
        (108, 128),
        ({"k": FOUR, "s": BACK, "o": OFFS, "h": "xx.xxx.xxx.xxx.x"}, {"k": FOUR, "c": BACK, "h": ALL, "t": ALL}),
        ("1.8.1.8.1.8.1.8.", "1..81.8.1..81.85"),
        ("..x.x....xx.x...", "x...x...x...x..."),
        ((33, 36), (27, 48, 4), (61, 48, 80)),
        "minor",
    ),
    "house": Style(
        (118, 128),
        ({"k": FOUR, "c": BACK, "o": OFFS}, {"k": FOUR, "s": BACK, "o": OFFS, "a": ALL}),
        ("..1...1...1..1..", "1..1..1...1..5..", "..11..1...11..8."),
        ("x..x..x...x..x..", "..x...x...x...x.", "x.............x."),
        ((38, 39), (4, 16, 90), (81, 11, 87)),
        "minor",
        bars=2,
    ),
    "trance": Style(
        (132, 142),
        ({"k": FOUR, "o": OFFS, "c": BACK}, {"k": FOUR, "o": OFFS, "h": ALL}),
        ("..1...1...1...1.", ".111.111.111.111"),
        ("x.x.x..x.x.x.x..", "x..............."),
        ((38, 39), (90, 81, 88), (81, 80, 87)),
        "minor",
        bars=2,
        loose_ms=0,
    ),
    "techno": Style(
        (126, 146),
        ({"k": FOUR, "h": OFFS, "r": "...x..x....x..x."}, {"k": FOUR, "o": OFFS, "b": "..x..x..x..x..x."}),
        (".1.1.1.1.1.1.1.1", "1.1..1.11.1..1.1"),
        ("......x.........", "...x..x...x....."),
        ((38, 87), (81, 90, 55), (80, 84, 87)),
        "minor",
        (("1",), ("1", "1", "1", "2")),
        4,
        loose_ms=0,
    ),
    "drum and bass": Style(
        (164, 178),
        (
            {"k": "X.........x.....", "s": BACK, "h": EIGHTHS},
            {"k": "X.x.......x.....", "s": "....X..o.o..X..o", "d": EIGHTHS},
        ),
        ("1.......5.......", "1.....1.....8..."),
        ("x...............", "......x........."),
        ((38, 39), (88, 4, 90), (81, 54, 80)),
        "minor",
        bars=2,
    ),
    "hip-hop": Style(
        (78, 98),
        (
            {"k": "X.....xxx.......", "s": BACK, "h": EIGHTHS},
            {"k": "X..x...x..x.....", "s": BACK, "h": "x.xxx.x.x.xxx.x."},
        ),
        ("1.....1...5.....", "1..1......1...7."),
        ("x.......x.......", "x...............", "..x...x...x...x."),
        ((33, 38), (4, 0, 48), (73, 11, 56)),
        "minor",
        bars=2,
        swing=0.57,
        sixteenths=True,
        loose_ms=6,
    ),
    "trap": Style(
        (132, 150),
        (
            {"k": "X.....x....x....", "c": "........X.......", "h": EIGHTHS},
            {"k": "X..........x..x.", "s": "........X.......", "h": "x.x.x.xxx.x.xxx."},
        ),
        ("1.......1.......", "1...........5..."),
        ("x...............", "x.......x......."),
        ((38, 39), (10, 88, 4), (80, 11, 75)),
        "minor",
        bars=2,
        loose_ms=0,
    ),
    "reggae": Style(
        (70, 86),
        ({"k": BACK, "r": BACK, "h": EIGHTHS}, {"k": FOUR, "r": BACK, "h": "x.xxx.x.x.xxx.x."}),
        ("1.....3.5.......", "..1.1.5...1.1.3."),
        ("..x...x...x...x.", "..xx..xx..xx..xx"),
        ((33, 32), (16, 27, 17), (61, 57, 73)),
        swing=0.55,
        sixteenths=True,
        bars=1,
    ),
    "bossa": Style(
        (112, 140),
        ({"k": "x.....x.x.....x.", "r": "x.....x.....x...", "h": EIGHTHS},),
        ("1.....5.5.....1.", "1.....5.1.....5."),
        ("x...x.....x...x.", "x.....x...x....."),
        ((32,), (24, 4, 0), (73, 66, 11)),
        loops=(("2", "5", "1", "1"), ("1", "6", "2", "5")),
    ),
    "cha-cha": Style(
        (108, 128),
        (
            {"k": "x...........x...", "b": QUARTERS, "g": "..x...x...x.....", "l": "............x.x."},
            {"b": "X.x.X.x.X.x.X.x.", "g": "....X.......X...", "l": "......x.......x.", "a": EIGHTHS},
        ),
        ("1.....5.....8...", "1.......5.....5."),
        ("x...x...x...x...", "..x.x.x...x.x.x."),
        ((32, 33), (0, 61, 16), (56, 73, 0)),
        "minor",
    ),
    "shuffle": Style(
        (84, 132),
        ({"k": "X.......X.......", "s": BACK, "h": EIGHTHS}, {"k": FOUR, "s": BACK, "d": EIGHTHS}),
        ("1...3...5...6...", "1.1.3.3.5.5.6.6."),
        ("..x...x...x...x.", "x.....x.x.....x.", "....x.......x..."),
        ((32, 33), (16, 0, 27), (22, 26, 65)),
        loops=(BLUES, ("1", "4", "1", "5")),
        swing=0.66,
    ),
    "swing": Style(
        (120, 176),
        (
            {"d": "X...X.x.X...X.x.", "h": BACK, "k": "o...o...o...o..."},
            {"d": "X...X.x.X...X.x.", "h": BACK, "s": "..o...........o."},
        ),
        ("1...3...5...7...", "1...5...6...5..."),
        ("......x.........", "x.....x.........", "..x.........x..."),
        ((32,), (0, 26), (65, 56, 71)),
        loops=(("2", "5", "1", "6"), ("1", "6", "2", "5"), BLUES),
        swing=0.64,
        loose_ms=7,
    ),
    "country": Style(
        (96, 124),
        (
            {"k": "X.......X.......", "s": "ooooXoooooooXooo"},
            {"k": "X...X...X...X...", "s": "o.ooX.ooo.ooX.oo", "h": OFFS},
        ),
        ("1.......5.......", "1...5...1...5..."),
        ("....x.......x...", "..x...x...x...x.", "x.x.x.x.x.x.x.x."),
        ((32, 33), (25, 24, 0), (25, 40, 22)),
    ),
    "funk": Style(
        (90, 114),
        (
            {"k": "X..x......x..x..", "s": "....X..o.o..X..o", "h": ALL},
            {"k": "X.x...x...x.....", "s": "....X..o....X.o.", "h": EIGHTHS},
        ),
        ("1..1..7.8..5.7..", "1.....71..5..78."),
        ("..xx..x...xx.x..", "....x..x....x..x"),
        ((36, 37), (28, 7, 16), (61, 65, 56)),
        "minor",
        (("1", "1", "1", "1"), ("1", "1", "4", "4"), ("1", "7", "1", "7")),
        bars=2,
        loose_ms=5,
    ),
    "synthpop": Style(
        (98, 132),
        (
            {"k": FOUR, "s": BACK, "h": ALL},
            {"k": "X.....x.X.......", "s": BACK, "h": EIGHTHS, "c": "............x..x"},
        ),
        ("1.1.1.1.1.1.1.1.", "1.8.1.8.1.8.1.8.", "11.111.111.111.1"),
        ("x..............x", "x..x..x.x..x..x."),
        ((38, 39), (90, 50, 81), (80, 81, 62)),
        "minor",
        loose_ms=1,
    ),
    "metal": Style(
        (144, 180),
        ({"k": ALL, "s": BACK, "o": QUARTERS}, {"k": "X.xxx.xxX.xxx.xx", "s": BACK, "d": EIGHTHS}),
        ("1.111.111.111.11", "1.1.1.1.1.1.1.1."),
        ("x.xxx.xxx.xxx.xx", "X.......X.......", "x.x.x.x.x.x.x.x."),
        ((34,), (30, 29), (30, 84)),
        "minor",
    ),
    "punk": Style(
        (152, 180),
        ({"k": "X.....x.X.x.....", "s": BACK, "h": EIGHTHS}, {"k": "X.......X.......", "s": BACK, "o": QUARTERS}),
        ("1.1.1.1.1.1.1.1.",),
        ("x.x.x.x.x.x.x.x.", "X.......x......."),
        ((34,), (30,), (30, 29)),
        loose_ms=6,
    ),
    "march": Style(
        (108, 124),
        (
            {"k": "X.......X.......", "s": "x.xxx.x.x.xxx.xx"},
            {"k": "X...x...X...x...", "s": "..x...x...x.x.xx", "t": OFFS},
        ),
        ("1.......5.......", "1...5...1...5..."),
        ("....x.......x...", "..x...x...x...x."),
        ((58,), (61, 60), (56, 72, 73)),
        loose_ms=5,
    ),
    "folk": Style(
        (88, 132),
        (),
        ("1.......5.......", "1.......1......."),
        ("x...x.x...x.x.x.", "x...x...x...x...", "x.x.x.x.x.x.x.x."),
        ((32,), (25, 24, 15), (73, 40, 22)),
    ),
    "piano": Style(
        (72, 128),
        (),
        ("1.......8.......", "1...5...8...5..."),
        ("..x.x.x...x.x.x.", "x...x...x...x...", "x.xxx.xxx.xxx.xx"),
        ((0,), (0,), (0, 71, 40)),
    ),
    "strings": Style(
        (84, 144),
        (),
        ("1.......1.......", "1.1.1.1.1.1.1.1."),
        ("x.x.x.x.x.x.x.x.", "x...x...x...x...", "x.xxx.xxx.xxx.xx"),
        ((43, 42), (48, 45), (40, 68, 71)),
        "minor",
    ),
}
