"""The drummer: plays a groove bar by bar and changes something with every phrase."""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from synth.score.grooves import Groove
from synth.score.hits import HATS, INDEX, SHARP_DRUMS
from synth.score.metre import Metre
from synth.score.rows import BEAT, VOICE, Rows, cells, rows

LETTERS = {
    "s": ("snare", 0.8),
    "S": ("snare", 1.0),
    "g": ("snare", 0.4),
    "k": ("kick", 0.9),
    "c": ("clap", 0.85),
    "h": ("high_tom", 0.85),
    "m": ("mid_tom", 0.88),
    "l": ("low_tom", 0.95),
    "o": ("open_hat", 0.8),
}
# Original patterns. A word is a beat of four sixteenths; letters as in ``LETTERS``, ``.`` a rest. By hand, fills roll
# over the toms and the kick plays on; in club music the kick rests while clap, snare or hat answer.
PLAYED = tuple(
    tuple(fill.split())
    for fill in (
        "s.ss",
        "sgSs",
        "hhml",
        "s.s. ssSS",
        "hh.m m.ll",
        "s..s ..sS",
        "k.ss k.SS",
        "h.hh m.ml",
        "gggs ssSS",
        "s.h. s.m. s.ll",
        "s..s ..s. shml",
        "gggg ssss ssss SSSS",
        "s.s. h.h. m.m. l.lS",
        "hhss mmss llss SkSk",
        "s..s ..s. .s.s SSSo",
    )
)
CLUB = tuple(
    tuple(fill.split())
    for fill in (
        "cc.c",
        ".c.c",
        "s.oo",
        "c.c. cccc",
        "..c. c.cc",
        "o.o. ccSS",
        "c... c.c. cccc",
        "s... ..s. s.oS",
        "c... c... c.c. cccc",
        "s.s. s.s. ssss SSSS",
        "..c. ..c. .c.c c.co",
    )
)
# Families whose kick rests in a fill.
CLUB_FAMILIES = ("house", "afro house", "latin", "minimal", "garage", "techno", "electro", "two-step")


Fill = tuple[str, ...]


def fills_of(family: str) -> tuple[Fill, ...]:
    """The fills of a groove's family."""
    return CLUB if family in CLUB_FAMILIES else PLAYED


def draw_fill(
    generator: np.random.Generator, metre: Metre, longest_beats: int, fills: Sequence[Fill]
) -> tuple[int, Rows]:
    """Draw a fill for the end of a bar: its length in beats, and its rows counted from its own start."""
    longest = max(1, min(longest_beats, metre.beats_per_bar))
    fits = [fill for fill in fills if len(fill) <= longest]
    words = fits[int(generator.integers(len(fits)))]
    return len(words), _fill(metre, words)


@lru_cache(maxsize=128)
def _fill(metre: Metre, words: Fill) -> Rows:
    """Rows of a fill, read-only."""
    made = rows([(beat, *LETTERS[letter]) for beat, letter in cells(metre, words)])
    made.setflags(write=False)
    return made


Playing = tuple[frozenset[str], str]  # drums that play, and the pattern of the hat hand
Places = frozenset[int]  # in a bar, in parts of a beat
Sounds = set[tuple[str, Places]]  # what a bar sounds like: voices and where each is struck
_GRID = 1000  # resolution of positions, parts of a beat
HAT_HANDS = ("own", "ride", "open", "closed")


class Drummer:
    """Plays one groove; variations are drawn from ``generator``."""

    def __init__(self, groove: Groove, generator: np.random.Generator) -> None:
        self.groove, self.generator, self.metre = groove, generator, groove.metre
        self.pattern_bars = groove.bars
        self._bars: dict[tuple[int, Playing, bool], Rows] = {}
        self._lines: dict[tuple[str, int], Rows] = {}
        self._places: dict[tuple[str, int], Places] = {}
        self._shifts: dict[tuple[str, int], frozenset[int]] = {}
        self._sounds: dict[Playing, list[Sounds]] = {}
        self._step_beats = [groove.step_beats(step) for step in range(groove.steps_per_bar)]
        sharp = [drum for drum in SHARP_DRUMS if drum in groove.lines]
        hats = [drum for drum in ("closed_hat", "ride", "shaker", "open_hat") if drum in groove.lines]
        self.core = frozenset(["kick", *sharp[:1], *hats[:1]]) & frozenset(groove.lines)
        self.core = self.core or frozenset(list(groove.lines)[:1])
        extras = sorted(set(groove.lines) - self.core)
        self.extras = [extras[at] for at in generator.permutation(len(extras))]
        self.everything = self.core | set(extras)
        # A core pattern may sound the same from beat one and beat three. Then add the first drum that makes it
        # asymmetric, chosen without regard to the hats.
        if self.tells_the_one((self.core - set(HATS), "own")):
            return
        for drum in self.extras:
            if drum not in HATS and self.tells_the_one((self.core | {drum}, "own")):
                self.core |= {drum}
                self.extras.remove(drum)
                break

    def bar(self, bar_index: int, playing: Playing, half_time: bool = False) -> Rows:
        """Bar ``bar_index`` (from 0) of a phrase. In half time kick and backbeat are stretched, the hats are not."""
        key = (bar_index % (self.pattern_bars * (2 if half_time else 1)), playing, half_time)
        if key not in self._bars:
            self._bars[key] = self._play(*key)
        return self._bars[key]

    def _line(self, drum: str, bar_index: int) -> Rows:
        """Rows of one drum in a bar of the groove."""
        key = (drum, bar_index % self.pattern_bars)
        if key not in self._lines:
            voice, shift_s = INDEX[drum], self.groove.shift_ms.get(drum, 0.0) / 1000
            steps = zip(self._step_beats, self.groove.bar_of(drum, bar_index), strict=False)
            hits = [(beat, voice, velocity, shift_s, 0.0, 0.0) for beat, velocity in steps if velocity]
            self._lines[key] = np.array(hits).reshape(-1, 6)
        return self._lines[key]

    def _play(self, bar_index: int, playing: Playing, half_time: bool) -> Rows:
        per_bar = self.metre.beats_per_bar
        blocks = [rows(self._hat_hits(playing[1]))]
        for drum in self._drums(playing):
            if half_time and drum not in HATS:
                slow = self._line(drum, bar_index // 2).copy()
                slow[:, BEAT] = 2 * slow[:, BEAT] - per_bar * (bar_index % 2)
                blocks.append(slow[(slow[:, BEAT] > -1e-9) & (slow[:, BEAT] < per_bar - 1e-9)])
            else:
                blocks.append(self._line(drum, bar_index))
        return np.concatenate(blocks)

    def _hat_hits(self, hats: str) -> list[tuple[float, str, float]]:
        """A bar of a hat pattern other than the groove's own: one voice, the same on every beat."""
        beats = range(self.metre.beats_per_bar)
        compound = self.metre.compound
        if hats == "ride":
            return [(beat, "ride", 0.75) for beat in beats]
        if hats == "open":
            return [(beat + (2 / 3 if compound else 0.5), "open_hat", 0.75) for beat in beats]
        if hats == "closed":
            places = (0, 1 / 3, 2 / 3) if compound else (0, 0.5)
            return [(beat + at, "closed_hat", 0.7 if at else 0.9) for beat in beats for at in places]
        return []

    def next_phrase(self, section: str, before: Playing | None, opens: bool) -> Playing:
        """Choose drums and hat pattern of the next phrase, so that no bar of it sounds as in the phrase before.

        Intros begin with the core drums and add one a phrase, outros drop one a phrase, breaks leave out kick and
        backbeat. ``opens`` is true for a section's first phrase.
        """
        if before is None:
            first = self.core if section == "intro" else self.everything
            return (self._light() if section == "break" else first), "own"
        layers, hats = before
        waiting = [drum for drum in self.extras if drum not in layers]
        leaving = [drum for drum in reversed(self.extras) if drum in layers]
        choices: list[Playing] = [(self.everything - {drum}, hats) for drum in self.extras]
        choices += [(self.everything if opens else layers, other) for other in HAT_HANDS if other != hats]
        choices = [choices[at] for at in self.generator.permutation(len(choices))]
        if section == "break":
            choices = [(self._light(), hand) for hand in ("own", "closed", "open", "ride")]
        elif section == "outro" and leaving:
            choices.insert(0, (layers - {leaving[0]} if self.core <= layers else self.everything, hats))
        elif section == "intro" and waiting:
            choices.insert(0, (layers | {waiting[0]}, "own"))
        elif opens or not self.core <= layers or (waiting and self.generator.random() < 0.7):
            choices.insert(0, (self.everything, hats))
        fresh = (choice for choice in choices if self.differ(choice, before))
        chosen = next(fresh)
        return chosen if self.tells_the_one(chosen) else next(filter(self.tells_the_one, fresh), chosen)

    def _light(self) -> frozenset[str]:
        return self.everything - {"kick", *SHARP_DRUMS}

    def differ(self, one: Playing, other: Playing) -> bool:
        """Whether every bar of the pattern has other drums or other positions."""
        return all(here != there for here, there in zip(self._heard(one), self._heard(other), strict=True))

    def tells_the_one(self, playing: Playing) -> bool:
        """Whether no bar, ghost notes aside, equals itself shifted by whole beats, as a hat hand's pattern does."""
        drums, beats = self._drums(playing), frozenset(range(1, self.metre.beats_per_bar))
        return not any(
            beats.intersection(*[self._alike(drum, bar) for drum in drums]) for bar in range(self.pattern_bars)
        )

    def _drums(self, playing: Playing) -> list[str]:
        """The groove's lines that are heard, in its order: the order of a set changes between runs."""
        layers, hats = playing
        return [drum for drum in self.groove.lines if drum in layers and (hats == "own" or drum not in HATS)]

    def _heard(self, playing: Playing) -> list[Sounds]:
        """What is heard in each bar of the pattern: voices and where each is struck."""
        if playing not in self._sounds:
            drums = self._drums(playing)
            hand = self._hat_hits(playing[1])
            hats = {(hand[0][1], frozenset([round(beat * _GRID) for beat, *_ in hand]))} if hand else set()
            self._sounds[playing] = [
                hats | {(drum, places) for drum in drums if (places := self._struck(drum, bar))}
                for bar in range(self.pattern_bars)
            ]
        return self._sounds[playing]

    def _struck(self, drum: str, bar: int) -> Places:
        """Where one drum is struck in a bar of the groove."""
        bars = self.groove.lines[drum]
        key = drum, bar % len(bars)
        if key not in self._places:
            hits = zip(self._step_beats, bars[key[1]], strict=True)
            self._places[key] = frozenset([round(beat * _GRID) for beat, velocity in hits if velocity])
        return self._places[key]

    def _alike(self, drum: str, bar: int) -> frozenset[int]:
        """Beats by which one drum's bar, ghost notes aside, can be shifted and be the same."""
        bars = self.groove.lines[drum]
        key = drum, bar % len(bars)
        if key not in self._shifts:
            hits = zip(self._step_beats, bars[key[1]], strict=True)
            places = {round(beat * _GRID) for beat, velocity in hits if velocity > 0.5}
            beats = self.metre.beats_per_bar
            self._shifts[key] = frozenset(
                beat
                for beat in range(1, beats)
                if places == {(place + beat * _GRID) % (beats * _GRID) for place in places}
            )
        return self._shifts[key]

    def fill(self, bar: Rows, longest_beats: int = 4) -> tuple[int, Rows]:
        """Put a fill over the last beats of a bar; returns its length in beats, and the bar.

        A kick that the fill does not play itself plays on, but in club music.
        """
        fills = fills_of(self.groove.family)
        length, added = draw_fill(self.generator, self.metre, longest_beats, fills)
        start = self.metre.beats_per_bar - length
        rests = fills is CLUB or INDEX["kick"] in added[:, VOICE]
        kept = bar[:, BEAT] < start - 1e-6
        if not rests:
            kept |= bar[:, VOICE] == INDEX["kick"]
        filled = np.concatenate([bar[kept], added])
        filled[np.count_nonzero(kept) :, BEAT] += start
        return length, filled

    def roll(self, bar: int, bars: int) -> Rows:
        """A bar of a snare roll of ``bars``: it thickens by thirds, from beats to halves and quarters of a beat."""
        per_bar = self.metre.beats_per_bar
        hits = []
        for beat in range(per_bar):
            part = (1, 2, 3 if self.metre.compound else 4)[3 * (bar * per_bar + beat) // (bars * per_bar)]
            places = beat + np.arange(part) / part
            hits += [(at, "snare", 0.35 + 0.5 * (bar + at / per_bar) / bars) for at in places.tolist()]
        return rows(hits)
