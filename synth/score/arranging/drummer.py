"""The drummer: plays a groove bar by bar and changes something with every phrase."""

from functools import cached_property, lru_cache
from itertools import compress

import numpy as np

from synth.base.arrays import Ints
from synth.score.arranging.fills import draw_fill
from synth.score.grooves import Groove
from synth.score.hits import HATS, INDEX, SHARP_DRUMS
from synth.score.metre import Metre
from synth.score.rows import BEAT, SHIFT, VELOCITY, VOICE, Rows, rows

Playing = tuple[frozenset[str], str]  # drums that play, and the pattern of the hat hand
Places = frozenset[int]  # in a bar, in parts of a beat
Sounds = dict[str, Places]  # what a bar sounds like: voices and where each is struck
_GRID = 1000  # resolution of positions, parts of a beat
HAT_HANDS = ("own", "ride", "open", "closed")


@lru_cache(maxsize=16)
def _hands(metre: Metre) -> dict[str, tuple[Rows, Sounds]]:
    """A bar of each pattern of the hat hand: one voice, the same on every beat; none for the groove's own."""
    beats, compound = range(metre.beats_per_bar), metre.compound
    places: tuple[float, ...] = (0, 1 / 3, 2 / 3) if compound else (0, 0.5)
    hands: dict[str, list[tuple[float, str, float]]] = {
        "own": [],
        "ride": [(beat, "ride", 0.75) for beat in beats],
        "open": [(beat + (2 / 3 if compound else 0.5), "open_hat", 0.75) for beat in beats],
        "closed": [(beat + at, "closed_hat", 0.7 if at else 0.9) for beat in beats for at in places],
    }
    return {
        name: (rows(hits), {voice: frozenset(round(beat * _GRID) for beat, *_ in hits) for _, voice, _ in hits[:1]})
        for name, hits in hands.items()
    }


class Drummer:
    """Plays one groove; variations are drawn from ``generator``."""

    def __init__(self, groove: Groove, generator: np.random.Generator) -> None:
        self.groove, self.generator, self.metre = groove, generator, groove.metre
        self.pattern_bars, self.per_bar = groove.bars, groove.metre.beats_per_bar
        self._hands = _hands(groove.metre)
        self._drums: dict[Playing, list[str]] = {}
        self._bars: dict[tuple[int, Playing, bool], Rows] = {}
        self._places: dict[tuple[str, int], Places] = {}
        self._shifts: dict[tuple[str, int], int] = {}
        self._sounds: dict[Playing, list[Sounds]] = {}
        self._grid = [round(beat * _GRID) for beat in groove.steps_beats]
        sharp = [drum for drum in SHARP_DRUMS if drum in groove.lines]
        hats = [drum for drum in ("closed_hat", "ride", "shaker", "open_hat") if drum in groove.lines]
        self.core = frozenset(["kick", *sharp[:1], *hats[:1]]) & frozenset(groove.lines)
        self.core = self.core or frozenset(list(groove.lines)[:1])
        extras = sorted(set(groove.lines) - self.core)
        self.extras = [extras[at] for at in generator.permutation(len(extras)).tolist()]
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
            self._bars[key] = self._half_time(*key[:2]) if half_time else self._play(*key[:2])
        return self._bars[key]

    @cached_property
    def _pattern(self) -> list[tuple[Rows, Ints]]:
        """Of each bar of the groove the rows, drum by drum, and which of the groove's lines each belongs to."""
        groove, bars = self.groove, range(self.pattern_bars)
        velocity = np.array([[groove.bar_of(drum, bar) for drum in groove.lines] for bar in bars])
        bar, line, step = velocity.nonzero()
        made = np.zeros((len(bar), 6))
        made[:, BEAT] = np.array(groove.steps_beats)[step]
        made[:, VOICE] = np.array([INDEX[drum] for drum in groove.lines])[line]
        made[:, VELOCITY] = velocity[bar, line, step]
        made[:, SHIFT] = np.array([groove.shift_ms.get(drum, 0.0) / 1000 for drum in groove.lines])[line]
        ends = bar.searchsorted(bars, side="right").tolist()
        return [(made[start:end], line[start:end]) for start, end in zip([0, *ends], ends, strict=False)]

    def _play(self, bar_index: int, playing: Playing) -> Rows:
        made, line = self._pattern[bar_index]
        heard = self._heard_drums(playing)
        drums = made[np.array([drum in heard for drum in self.groove.lines])[line]]
        return drums if playing[1] == "own" else np.concatenate([self._hands[playing[1]][0], drums])

    def _half_time(self, bar_index: int, playing: Playing) -> Rows:
        per_bar, lines = self.per_bar, list(self.groove.lines)
        blocks = [self._hands[playing[1]][0]]
        for drum in self._heard_drums(playing):
            made, line = self._pattern[(bar_index if drum in HATS else bar_index // 2) % self.pattern_bars]
            hits = made[line == lines.index(drum)]
            if drum not in HATS:
                hits[:, BEAT] = 2 * hits[:, BEAT] - per_bar * (bar_index % 2)
                hits = hits[(hits[:, BEAT] > -1e-9) & (hits[:, BEAT] < per_bar - 1e-9)]
            blocks.append(hits)
        return np.concatenate(blocks)

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
        choices = [choices[at] for at in self.generator.permutation(len(choices)).tolist()]
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
        drums = self._heard_drums(playing)
        for bar in range(self.pattern_bars):
            alike = (1 << self.per_bar) - 2
            for drum in drums:
                alike &= self._alike(drum, bar)
                if not alike:
                    break
            if alike:
                return False
        return True

    def _heard_drums(self, playing: Playing) -> list[str]:
        """The groove's lines that are heard, in its order: the order of a set changes between runs."""
        if playing not in self._drums:
            layers, hats = playing
            silent = () if hats == "own" else HATS
            self._drums[playing] = [drum for drum in self.groove.lines if drum in layers and drum not in silent]
        return self._drums[playing]

    def _heard(self, playing: Playing) -> list[Sounds]:
        """What is heard in each bar of the pattern: voices and where each is struck."""
        if playing not in self._sounds:
            drums, hats = self._heard_drums(playing), self._hands[playing[1]][1]
            self._sounds[playing] = [
                hats | {drum: places for drum in drums if (places := self._struck(drum, bar))}
                for bar in range(self.pattern_bars)
            ]
        return self._sounds[playing]

    def _struck(self, drum: str, bar: int) -> Places:
        """Where one drum is struck in a bar of the groove."""
        bars = self.groove.lines[drum]
        key = drum, bar % len(bars)
        if key not in self._places:
            self._places[key] = frozenset(compress(self._grid, bars[key[1]]))
        return self._places[key]

    def _alike(self, drum: str, bar: int) -> int:
        """Beats by which one drum's bar, ghost notes aside, can be shifted and be the same: bit 1 is one beat."""
        bars = self.groove.lines[drum]
        key = drum, bar % len(bars)
        if key not in self._shifts:
            places = {place for place, velocity in zip(self._grid, bars[key[1]], strict=True) if velocity > 0.5}
            length = self.per_bar * _GRID
            self._shifts[key] = sum(
                1 << shift // _GRID
                for shift in range(_GRID, length, _GRID)
                if all((place + shift) % length in places for place in places)
            )
        return self._shifts[key]

    def fill(self, bar: Rows, longest_beats: int = 4) -> tuple[int, Rows]:
        """Put a fill over the last beats of a bar; returns its length in beats, and the bar."""
        fill = draw_fill(self.generator, self.groove, longest_beats)
        kept = bar[:, BEAT] < self.per_bar - fill.beats - 1e-6
        if not fill.kick_rests:
            kept |= bar[:, VOICE] == INDEX["kick"]
        return fill.beats, np.concatenate([bar[kept], fill.rows])
