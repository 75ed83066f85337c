"""Songs arranged for the benchmark `records`: General MIDI parts in two dozen styles, independent of our grooves.

Nothing here comes from `synth`: patterns, chords, melodies and forms are written down and drawn in this file, as is
common practice in each style. The tempo is the one at which the style is counted; every section is a whole number of
bars and, but for the odd two bars before a chorus, of phrases of four. Players are up to some ms beside the grid,
never on the average. A song may begin with drums, without them, with a pick-up, or after some silence.

Patterns: a letter or figure a sixteenth, a bar a row. `x` strikes, `X` strikes hard, `o` softly, `.` rests; in basses
a figure is a degree of the chord, 8 its octave.
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

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
# Chords by degree of the scale, a bar each (half bars: two in brackets).
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
    tags: frozenset[str] = field(default_factory=frozenset)


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
# Sections: bars, and what plays: drums (0 none, 1 without snares, 2 all), bass, chords, lead.
FORMS: tuple[tuple[tuple[int, str], ...], ...] = (
    ((8, "2..."), (16, "2bc."), (8, "2bcl"), (16, "2bc."), (16, "2bcl"), (4, "2bc.")),
    ((4, "2bc."), (8, "2bcl"), (8, "2bcl"), (8, "2bc."), (8, "2bcl"), (8, "2bcl")),
    ((8, "..c."), (16, "2bcl"), (8, "2bc."), (16, "2bcl"), (8, "..cl"), (8, "2bcl")),
    ((4, "..cl"), (8, "1bc."), (8, "2bcl"), (8, "1bc."), (8, "2bcl"), (4, "2b.."), (8, "2bcl")),
    ((16, "1..."), (16, "1bc."), (8, "..c."), (16, "2bcl"), (8, "2b..")),
    ((8, "1b.."), (8, "2bc."), (8, "2bcl"), (8, ".bcl"), (16, "2bcl"), (8, "1b..")),
    ((4, "2..."), (12, "2bcl"), (12, "2bcl"), (12, "2bcl"), (12, "2bcl")),
    ((8, "2bc."), (8, "2bcl"), (2, "1b.."), (16, "2bcl"), (8, "2bc."), (2, "1b.."), (16, "2bcl")),
)
SILENCE_S = (0.0, 0.0, 0.12, 0.6, 1.9)
ATTACK_S = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Arranged:
    """A song: its parts for pretty_midi, and times in s of beats, ones and starts of phrases (None: not of four
    bars each); bars of intro."""

    midi: Any
    tempo_bpm: float
    beats_s: np.ndarray
    ones_s: np.ndarray
    phrases_s: np.ndarray | None
    intro_bars: int | None


class Writer:
    """Notes of a song, placed by sixteenths."""

    def __init__(self, style: Style, tempo_bpm: float, start_s: float, rng: np.random.Generator) -> None:
        self.style, self.rng, self.start_s, self.step_s = style, rng, start_s, 15 / tempo_bpm
        self.notes: dict[str, list[tuple[float, float, int, int]]] = {
            "drums": [],
            "bass": [],
            "chords": [],
            "lead": [],
        }

    def at_s(self, step: float) -> float:
        """Seconds of a sixteenth of the grid, swung."""
        pair = 2 if self.style.sixteenths else 4
        whole, part = divmod(step, pair)
        part /= pair
        swing = self.style.swing
        part = part * 2 * swing if part < 0.5 else swing + (part - 0.5) * 2 * (1 - swing)
        return self.start_s + (whole + part) * pair * self.step_s

    def strike(self, part: str, step: float, pitch: int, loud: float, steps: float = 1.0) -> None:
        """A note."""
        beside_s = float(np.clip(self.rng.normal(0, self.style.loose_ms / 2000), -0.012, 0.012))
        on_s = max(0.0, self.at_s(step) + beside_s)
        loud = int(np.clip(loud * self.rng.uniform(0.9, 1.1), 12, 127))
        self.notes[part].append((on_s, on_s + 0.95 * steps * self.step_s, pitch, loud))


def arranged(style_name: str, seed: int) -> Arranged:
    """A song of a style; the same seed gives the same one."""
    rng = np.random.default_rng([1918, seed])
    style = STYLES[style_name]
    tempo = round(float(rng.uniform(*style.tempo_bpm)), int(rng.integers(0, 3)))
    beat_s = 60 / tempo
    form = FORMS[int(rng.integers(len(FORMS)))]
    while sum(bars for bars, _ in form) * 4 * beat_s > 170 and len(form) > 4:
        form = form[:-1]
    pick_up = int(rng.choice((0, 0, 0, 0, 1, 2, 3)))
    start_s = ATTACK_S + float(rng.choice(SILENCE_S)) + pick_up * beat_s
    writer = Writer(style, tempo, start_s, rng)
    bar, phrases = 0, []
    for number, (bars, plays) in enumerate(form):
        phrases += list(range(bar, bar + bars - bars % 4, 4))
        _section(writer, form, number, bar, bars, plays)
        bar += bars
    _pick_up(writer, pick_up, form[0][1])
    last = 16 * bar
    if rng.random() < 0.7:  # a last chord
        for pitch in (36, 48, 52, 55):
            writer.strike("chords" if pitch > 40 else "bass", last, pitch, 90, 12)
        if style.drums:
            writer.strike("drums", last, CRASH, 100)
            writer.strike("drums", last, KICK, 110)
    ones_s = start_s + 4 * beat_s * np.arange(bar)
    full = next((at for at, (_, plays) in enumerate(form) if plays.startswith(("1b", "2b", ".b"))), 0)
    return Arranged(
        _midi(writer, rng),
        tempo,
        start_s + beat_s * np.arange(-pick_up, 4 * bar),
        start_s + 4 * beat_s * np.arange(-1, bar),  # that of the pick-up's bar as well
        ones_s[phrases] if all(bars % 4 == 0 for bars, _ in form) else None,
        sum(bars for bars, _ in form[:full]) or None,
    )


def _pick_up(writer: Writer, beats: int, plays: str) -> None:
    for step in range(-4 * beats, 0, 2):
        if plays[0] != "." and writer.style.drums:
            writer.strike("drums", step, TOMS[step % 3] if step % 4 else SNARE, 88)
        else:
            writer.strike("lead", step, 67 + int(writer.rng.integers(0, 8)), 84, 2)


def _section(writer: Writer, form: Any, number: int, first: int, bars: int, plays: str) -> None:
    style, rng = writer.style, writer.rng
    # A section that comes again is played again: its draws follow from what plays in it.
    same = np.random.default_rng([int(rng.integers(2)), len(plays.strip(".")), ord(plays[-1])])
    drawn = np.random.default_rng([same.integers(1 << 20), int(writer.step_s * 1e6)])
    root = 40 + int(np.random.default_rng(int(writer.step_s * 1e7)).integers(12))
    loops = style.loops or (MAJOR_LOOPS if style.scale == "major" else MINOR_LOOPS)
    loop = loops[int(drawn.integers(len(loops)))]
    drums = style.drums[int(drawn.integers(len(style.drums)))] if style.drums else {}
    bass, comp = (str(drawn.choice(each)) for each in (style.bass, style.chords))
    motif = _motif(drawn)
    for each in range(bars):
        bar = first + each
        step = 16 * bar
        degree = int(loop[each // style.bars % len(loop)]) - 1
        ends = each == bars - 1 or (each % 4 == 3 and rng.random() < 0.25)
        if plays[0] != "." and drums:
            fill = int(rng.choice((0, 4, 8))) if ends else 0
            _drums(writer, drums, step, plays[0] == "1", 16 - fill)
            _fill(writer, step + 16 - fill, fill)
            if each == 0 and rng.random() < 0.75 and (number or rng.random() < 0.4):
                writer.strike("drums", step, CRASH, 104)
        if "b" in plays:
            _bass(writer, bass, step, root, degree)
        if "c" in plays:
            _chords(writer, comp, step, root + 12, degree)
        if "l" in plays:
            for at, length, by in motif[each % 2]:
                pitch = root + 24 + _pitch(style, degree + by if at == 0 else by)
                writer.strike("lead", step + at, pitch, 88, length)


def _motif(drawn: np.random.Generator) -> list[list[tuple[int, int, int]]]:
    """Two bars of melody: step, length, degree of the scale."""
    found: list[list[tuple[int, int, int]]] = []
    for _ in range(2):
        at, bar = int(drawn.choice((0, 0, 2, 4))), []
        while at < 16:
            length = int(drawn.choice((2, 2, 4, 4, 6, 8)))
            if drawn.random() < 0.8:
                bar.append((at, min(length, 16 - at), int(drawn.integers(0, 8))))
            at += length
        found.append(bar)
    return found


def _pitch(style: Style, degree: int) -> int:
    octave, at = divmod(degree, 7)
    return 12 * octave + SCALES[style.scale][at]


def _drums(writer: Writer, rows: dict[str, str], step: int, plain: bool, steps: int) -> None:
    for voice, row in rows.items():
        if plain and voice in "sc":
            continue
        for at, sign in enumerate(row[:steps]):
            if sign != ".":
                writer.strike("drums", step + at, DRUMS[voice], LOUDNESS[sign] * (0.8 if voice in "hoda" else 1))


def _fill(writer: Writer, step: int, steps: int) -> None:
    for at in range(0, steps, int(writer.rng.choice((1, 2)))):
        drum = SNARE if at < steps / 2 else TOMS[min(2, int(3 * at / steps))]
        writer.strike("drums", step + at, drum, 70 + 40 * at / steps)
    if steps:
        writer.strike("drums", step, KICK, 90)


def _bass(writer: Writer, row: str, step: int, root: int, degree: int) -> None:
    for at, sign in enumerate(row):
        if sign != ".":
            steps = next((by for by in range(1, 16 - at) if row[at + by] != "."), 16 - at)
            by = 7 if sign == "8" else int(sign) - 1
            low = root - 12 if root > 46 else root
            writer.strike("bass", step + at, low + _pitch(writer.style, degree + by) - 12 * (degree > 4), 96, steps)


def _chords(writer: Writer, row: str, step: int, root: int, degree: int) -> None:
    tones = [root + _pitch(writer.style, degree + by) for by in (0, 2, 4)]
    tones = [tone - 12 if tone > root + 12 else tone for tone in tones]
    for at, sign in enumerate(row):
        if sign == ".":
            continue
        steps = next((by for by in range(1, 16 - at) if row[at + by] != "."), 16 - at)
        picked = {"1": tones[:1], "5": tones[1:2], "8": tones[2:]}.get(sign, tones)
        for tone in picked:
            writer.strike("chords", step + at, tone, 0.75 * LOUDNESS.get(sign, 88), steps)


def _midi(writer: Writer, rng: np.random.Generator) -> Any:
    import pretty_midi

    midi = pretty_midi.PrettyMIDI()
    programs = (0, *(int(rng.choice(each)) for each in writer.style.programs))
    for (part, notes), program in zip(writer.notes.items(), programs, strict=True):
        instrument = pretty_midi.Instrument(program, is_drum=part == "drums", name=part)
        instrument.notes = [
            pretty_midi.Note(loud, pitch, on_s, max(off_s, on_s + 0.02)) for on_s, off_s, pitch, loud in notes
        ]
        if notes:
            midi.instruments.append(instrument)
    return midi
