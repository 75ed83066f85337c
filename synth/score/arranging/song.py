"""The song: bass, chords, pad, lead and voice, which enter after the intro."""

from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from synth.score.manners import POP, VOICES, Figure, Manner
from synth.score.metre import Metre
from synth.score.rows import Note, Rows, cells, notes

SCALES = {"minor": (0, 2, 3, 5, 7, 8, 10), "major": (0, 2, 4, 5, 7, 9, 11)}
# Degrees of the scale from 0, a chord a bar: common progressions.
CHORDS = {
    "minor": ((0, 5, 2, 6), (0, 3, 5, 6), (0, 0, 5, 6), (0, 6, 5, 6), (0, 2, 3, 5)),
    "major": ((0, 4, 5, 3), (0, 5, 3, 4), (0, 3, 0, 4), (3, 4, 0, 5)),
}
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


PARTS = ("bass", "stab", "pad", "pluck", "voice")


class Song:
    """Key, chords and figures of a song in a manner, drawn from ``generator``; played bar by bar.

    The tune of the voice is one hook of two bars, which comes again wherever the voice sings. ``parts`` limits what
    plays.
    """

    def __init__(
        self, metre: Metre, generator: np.random.Generator, manner: Manner = POP, parts: Collection[str] = PARTS
    ) -> None:
        def draw(things: Sequence[Any]) -> Any:
            return things[int(generator.integers(len(things)))]

        self.metre, self.manner, self.parts = metre, manner, frozenset(parts)
        mode = ("minor", "major")[int(generator.random() < 0.35)]
        self.scale = SCALES[mode]
        self.root = int(generator.integers(33, 45))  # A1 to G#2
        self.chords: tuple[int, ...] = draw(CHORDS[mode])
        self.chord_bars: int = draw(manner.chord_bars)
        self.bass: Figure = draw(manner.bass)
        self.stab: Figure = draw(manner.chords)
        self.lead: Figure = draw(manner.leads)
        self.line: Figure = draw(VOICES)
        # The tunes are random walks over five degrees, and repeat.
        self.tune, self.hook = (
            np.clip(np.cumsum(generator.integers(-2, 3, size=24)), -2, 4).tolist() for _ in range(2)
        )
        self._bars: dict[tuple[int, int, frozenset[str]], Rows] = {}
        self._parts: dict[tuple[str, int, int], Rows] = {}

    def plays(self, section: str, phrase_in_section: int) -> frozenset[str]:
        """Parts of a phrase (from 0) of a section."""
        return PLAYS[section][phrase_in_section % 2] & self.parts

    def bar(self, bar_index: int, parts: frozenset[str], phrase: int = 0, phrase_bars: int = 4) -> Rows:
        """Bar ``bar_index`` (from 0) of phrase ``phrase`` of the record; a phrase begins with a chord of its own."""
        per_phrase = -(-phrase_bars // self.chord_bars)
        chord = self.chords[(phrase * per_phrase + bar_index // self.chord_bars) % len(self.chords)]
        key = (chord, bar_index % 2, parts)
        if key not in self._bars:
            self._bars[key] = np.concatenate([self._part(part, chord, key[1]) for part in sorted(parts)])
        return self._bars[key]

    def _part(self, part: str, chord: int, half: int) -> Rows:
        """A bar of a part; only tunes have two halves."""
        key = (part, chord, half if part in ("pluck", "voice") else 0)
        if key not in self._parts:
            self._parts[key] = notes(getattr(self, f"_{part}")(chord, half))
        return self._parts[key]

    def note(self, degree: int, lowest: int) -> int:
        """MIDI note of a degree of the scale, in the octave above ``lowest``."""
        pitch = self.root + self.scale[degree % 7]
        return lowest + (pitch - lowest) % 12

    def _bass(self, chord: int, _: int) -> list[Note]:
        root = self.note(chord, 31)
        degrees = {"8": root + 12} | {letter: self.note(chord + int(letter) - 1, 31) for letter in "1357"}
        return [
            (at, "bass", LOUD["bass"], degrees[letter], length)
            for at, letter, length in _held(self.metre, self.bass, self.manner.bass_beats)
        ]

    def _triad(self, chord: int, lowest: int) -> list[int]:
        return [self.note(chord + step, lowest) for step in (0, 2, 4)]

    def _stab(self, chord: int, _: int) -> list[Note]:
        words = _words(self.metre, self.stab)
        return [(at, "stab", LOUD["stab"], note, 0.3) for note in self._triad(chord, 57) for at, _ in words]

    def _pad(self, chord: int, _: int) -> list[Note]:
        length = float(self.metre.beats_per_bar)
        return [(0.0, "pad", LOUD["pad"], note, length) for note in self._triad(chord, 52)]

    def _pluck(self, chord: int, half: int) -> list[Note]:
        tune = self.tune[half * 12 :]
        return [
            (at, "pluck", LOUD["pluck"], self.note(chord + 2 * (tune[place % 12] % 4), 69), 0.4)
            for place, (at, _) in enumerate(_words(self.metre, self.lead))
        ]

    def _voice(self, chord: int, half: int) -> list[Note]:
        middle = len(self.line) // 2
        figure = self.line[middle:] if half else self.line[:middle]
        return [
            (at, "voice", LOUD["voice"], self.note(chord + 2 * (self.hook[half * 12 + place] % 3), 62), length)
            for place, (at, _, length) in enumerate(_held(self.metre, figure, 4.0))
        ]


@lru_cache(maxsize=256)
def _words(metre: Metre, figure: Figure) -> tuple[tuple[float, str], ...]:
    """Beats and letters of a bar of a figure."""
    return tuple(cells(metre, [figure[beat % len(figure)] for beat in range(metre.beats_per_bar)]))


@lru_cache(maxsize=256)
def _held(metre: Metre, figure: Figure, longest_beats: float) -> tuple[tuple[float, str, float], ...]:
    """Beat, letter and length of every note: until the next letter or the end of the bar."""
    words = _words(metre, figure)
    ends = [*(at for at, _ in words[1:]), float(metre.beats_per_bar)]
    return tuple(
        (at, letter, min(end - at, longest_beats))
        for (at, letter), end in zip(words, ends, strict=True)
        if letter != "/"
    )
