"""Songs arranged for the benchmark `records`: General MIDI parts in two dozen styles, independent of our grooves.

Nothing here comes from `synth`: the patterns of the styles (`styles.py`) are put into forms with melodies, chords and
fills that are drawn. The tempo is the one at which the style is counted; every section is a whole number of bars and,
but for the odd two bars before a chorus, of phrases of four. Players are up to some ms beside the grid, never on the
average. A song may begin with drums, without them, with a pick-up, or after some silence.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from tests.recordings.styles import (
    CRASH,
    DRUMS,
    KICK,
    LOUDNESS,
    MAJOR_LOOPS,
    MINOR_LOOPS,
    SCALES,
    SNARE,
    STYLES,
    TOMS,
    Style,
)

# Sections: bars, and what plays: drums (. none, 1 without snares, 2 all), bass, chords, lead.
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
        _section(writer, number, bar, bars, plays)
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


def _section(writer: Writer, number: int, first: int, bars: int, plays: str) -> None:
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


def _struck(row: str) -> Iterator[tuple[int, str, int]]:
    """What strikes in a row: at which sixteenth, its sign, sixteenths until the next or the end."""
    struck = [at for at, sign in enumerate(row) if sign != "."]
    for at, until in pairwise((*struck, len(row))):
        yield at, row[at], until - at


def _bass(writer: Writer, row: str, step: int, root: int, degree: int) -> None:
    low = root - 12 if root > 46 else root
    for at, sign, steps in _struck(row):
        by = 7 if sign == "8" else int(sign) - 1
        writer.strike("bass", step + at, low + _pitch(writer.style, degree + by) - 12 * (degree > 4), 96, steps)


def _chords(writer: Writer, row: str, step: int, root: int, degree: int) -> None:
    tones = [root + _pitch(writer.style, degree + by) for by in (0, 2, 4)]
    tones = [tone - 12 if tone > root + 12 else tone for tone in tones]
    for at, sign, steps in _struck(row):
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
