"""The song: bass, chords, pad, lead and voice, which enter after the intro."""

import numpy as np

from synth.score.metre import Metre
from synth.score.rows import Rows, cells, rows

SCALES = {"minor": (0, 2, 3, 5, 7, 8, 10), "major": (0, 2, 4, 5, 7, 9, 11)}
# Degrees of the scale from 0, a chord a bar: common progressions.
CHORDS = {
    "minor": ((0, 5, 2, 6), (0, 3, 5, 6), (0, 0, 5, 6), (0, 6, 5, 6), (0, 2, 3, 5)),
    "major": ((0, 4, 5, 3), (0, 5, 3, 4), (0, 3, 0, 4), (3, 4, 0, 5)),
}
# A word is a beat of four sixteenths: 1 root, 5 fifth, 8 octave above. Original figures.
BASS = tuple(
    figure.split()
    for figure in (
        "1... ..1. ..1. 8...",
        "..1. ..1. ..1. ..8.",
        "1..1 ..1. 1... 5.8.",
        "1... 1... 1... 5...",
        "1.8. 1.8. 1.8. 1.5.",
        "1... .... 1.1. ....",
    )
)
STABS = tuple(
    figure.split()
    for figure in ("..x. .... ..x. ....", ".... x... .... x...", "x..x ..x. .... ....", "..x. ..x. ..x. ..x.")
)
LEADS = tuple(
    figure.split()
    for figure in ("x..x ..x. x... ..x.", "x.x. x..x .... x...", "..x. x... ..x. x.x.", "x... .x.. x..x ....")
)
# Parts by section: for the first, third, ... phrase, and for the others.
PLAYS: dict[str, tuple[frozenset[str], frozenset[str]]] = {
    "intro": (frozenset(), frozenset()),
    "verse": (frozenset({"bass", "stab", "pluck"}), frozenset({"bass", "pad", "pluck"})),
    "chorus": (frozenset({"bass", "stab", "pad", "voice"}), frozenset({"bass", "stab", "pad", "pluck"})),
    "bridge": (frozenset({"bass", "pad"}), frozenset({"pad", "voice"})),
    "build": (frozenset({"pad", "pluck"}), frozenset({"pad", "stab"})),
    "drop": (frozenset({"bass", "stab", "pluck"}), frozenset({"bass", "stab", "pad", "pluck"})),
    "break": (frozenset({"pad", "voice"}), frozenset({"pad", "pluck"})),
    "outro": (frozenset({"bass"}), frozenset()),
}
LOUD = {"bass": 0.85, "stab": 0.7, "pad": 0.6, "pluck": 0.72, "voice": 0.75}


class Song:
    """Key, chords and figures of a song, drawn from ``generator``; played bar by bar."""

    def __init__(self, metre: Metre, generator: np.random.Generator) -> None:
        def draw(things: tuple[tuple[int, ...], ...] | tuple[list[str], ...]) -> int:
            return int(generator.integers(len(things)))

        self.metre = metre
        mode = ("minor", "major")[int(generator.random() < 0.35)]
        self.scale = SCALES[mode]
        self.root = int(generator.integers(33, 45))  # A1 to G#2
        self.chords = CHORDS[mode][draw(CHORDS[mode])]
        self.bass, self.stab, self.lead = BASS[draw(BASS)], STABS[draw(STABS)], LEADS[draw(LEADS)]
        # The tune is a random walk over five degrees, and repeats.
        self.tune = np.clip(np.cumsum(generator.integers(-2, 3, size=24)), -2, 4).tolist()
        self._bars: dict[tuple[int, frozenset[str]], Rows] = {}

    def plays(self, section: str, phrase_in_section: int) -> frozenset[str]:
        """Parts of a phrase (from 0) of a section."""
        return PLAYS[section][phrase_in_section % 2]

    def bar(self, bar_index: int, parts: frozenset[str]) -> Rows:
        """Bar ``bar_index`` (from 0) of a phrase."""
        key = (bar_index % len(self.chords), parts)
        if key not in self._bars:
            found = [rows([])]
            for part in sorted(parts):
                found.extend(getattr(self, f"_{part}")(key[0]))
            self._bars[key] = np.concatenate(found)
        return self._bars[key]

    def note(self, degree: int, lowest: int) -> int:
        """MIDI note of a degree of the scale, in the octave above ``lowest``."""
        pitch = self.root + self.scale[degree % 7]
        return lowest + (pitch - lowest) % 12

    def _words(self, figure: list[str]) -> list[tuple[float, str]]:
        beats = self.metre.beats_per_bar
        return cells(self.metre, [figure[beat % len(figure)] for beat in range(beats)])

    def _bass(self, bar: int) -> list[Rows]:
        chord = self.chords[bar]
        notes = {"1": self.note(chord, 31), "5": self.note(chord + 4, 31), "8": self.note(chord, 31) + 12}
        words = self._words(self.bass)
        return [rows([(at, "bass", LOUD["bass"])], notes[letter], 0.4) for at, letter in words]

    def _triad(self, bar: int, lowest: int) -> list[int]:
        return [self.note(self.chords[bar] + step, lowest) for step in (0, 2, 4)]

    def _stab(self, bar: int) -> list[Rows]:
        hits = [(at, "stab", LOUD["stab"]) for at, _ in self._words(self.stab)]
        return [rows(hits, note, 0.3) for note in self._triad(bar, 57)]

    def _pad(self, bar: int) -> list[Rows]:
        length = float(self.metre.beats_per_bar)
        return [rows([(0.0, "pad", LOUD["pad"])], note, length) for note in self._triad(bar, 52)]

    def _pluck(self, bar: int) -> list[Rows]:
        chord = self.chords[bar]
        tune = self.tune[(bar % 2) * 12 :]
        return [
            rows([(at, "pluck", LOUD["pluck"])], self.note(chord + 2 * (tune[place % 12] % 4), 69), 0.4)
            for place, (at, _) in enumerate(self._words(self.lead))
        ]

    def _voice(self, bar: int) -> list[Rows]:
        length = max(1.0, self.metre.beats_per_bar - 1.0)
        return [
            rows([(0.0, "voice", LOUD["voice"])], self.note(self.chords[bar] + self.tune[bar] % 3 * 2, 62), length)
        ]
