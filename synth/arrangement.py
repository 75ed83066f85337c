"""Arrangements: a groove and a form become a record's hits, together with their truth."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.fills import draw_fill
from synth.form import Form, Section
from synth.grooves import DRUMS, SHARP_DRUMS, Groove
from synth.hits import Hits
from synth.metre import Count, Metre, check_tempo, steady_count
from synth.truth import Truth

# Raised whenever the same seed gives another record than before.
ARRANGER_VERSION = 1
# After the last bar the drums ring out.
TAIL_S = 1.5
# A hit that microtiming puts this much before a beat still belongs to it when playback starts on that beat.
EARLIEST_S = 0.025

Rows = npt.NDArray[np.float64]  # (n, 4): beats from the bar's start, voice index, velocity, shift in seconds

Playing = tuple[frozenset[str], str]  # the drums that play, and what the hat hand plays


@dataclass(frozen=True, slots=True, eq=False)
class Arrangement:
    """A record that is ready to be mixed down, with its truth.

    ``groove`` is the groove's or MIDI file's name; ``version`` the arranger's. Times count from the sound's
    first frame.
    """

    count: Count
    hits: Hits
    sections: tuple[Section, ...]
    metre: Metre
    tempo_bpm: float
    intro_bars: int
    phrase_bars: int
    seed: int
    groove: str
    version: int = ARRANGER_VERSION

    @property
    def duration_s(self) -> float:
        """Length of the sound: the last bar and the ringing after it."""
        return self.count.end_s + TAIL_S

    def truth(self, sample_rate_hz: int) -> Truth:
        """What is true of the sound at that sample rate."""
        return Truth(
            sample_rate_hz,
            self.tempo_bpm,
            self.metre,
            self.count,
            self.sections,
            self.intro_bars,
            self.phrase_bars,
            self.seed,
            self.version,
        )

    def excerpt(self, first_beat: int, beats: int | None = None, lead_in_s: float = 0.0) -> "Arrangement":
        """``beats`` beats (default: all that follow) from the count's row ``first_beat`` on.

        The first beat falls at ``lead_in_s``; bar and phrase numbers stay those of the record. A section that
        had begun before starts with the excerpt and has the bars that are heard of it.
        """
        if lead_in_s < 0:
            raise ValueError(f"lead_in_s {lead_in_s:g}: 0 or more seconds expected")
        part = self.count.excerpt(first_beat, beats)
        start_s, by_s = float(part.beats_s[0]), lead_in_s - float(part.beats_s[0])
        sections = []
        for section, end_s in zip(self.sections, [s.start_s for s in self.sections[1:]] + [np.inf], strict=True):
            inside = (part.beats_s >= section.start_s - 1e-9) & (part.beats_s < end_s - 1e-9)
            if inside.any():
                bars = len(np.unique(part.bar_number[inside]))
                sections.append(Section(section.name, float(part.beats_s[inside][0]) + by_s, bars))
        hits, rows = self.hits, (self.hits.onset_s >= start_s - EARLIEST_S)
        if beats is not None:
            rows &= hits.onset_s < part.end_s - EARLIEST_S
        return Arrangement(
            part.shifted(by_s),
            hits.where(rows, by_s),
            tuple(sections),
            self.metre,
            self.tempo_bpm,
            self.intro_bars,
            self.phrase_bars,
            self.seed,
            self.groove,
            self.version,
        )


class _Drummer:
    """Plays a groove bar by bar, by layers, and remembers the bars it has played."""

    def __init__(self, groove: Groove, generator: np.random.Generator) -> None:
        self.groove, self.generator = groove, generator
        self.index = {drum: at for at, drum in enumerate(DRUMS)}
        sharp = [drum for drum in SHARP_DRUMS if drum in groove.lines]
        hats = [drum for drum in ("closed_hat", "ride", "shaker", "open_hat") if drum in groove.lines]
        self.core = frozenset(["kick", *sharp[:1], *hats[:1]]) & frozenset(groove.lines)
        self.core = self.core or frozenset(list(groove.lines)[:1])
        extras = sorted(set(groove.lines) - self.core)
        self.extras = [extras[at] for at in generator.permutation(len(extras))]
        self._bars: dict[tuple[int, Playing], Rows] = {}

    def bar(self, bar_index: int, layers: frozenset[str], hats: str) -> Rows:
        """The rows of a bar; ``hats`` names what the hat hand plays."""
        key = (bar_index % self.groove.bars, (layers, hats))
        if key not in self._bars:
            rows = [
                (beats, self.index[drum], velocity, self.groove.shift_ms.get(drum, 0.0) / 1000)
                for beats, drum, velocity in self.groove.hits_in_bar(bar_index)
                if drum in layers and not (hats != "own" and drum in ("closed_hat", "open_hat", "ride"))
            ]
            self._bars[key] = np.array(rows + self.hat_hand(hats)).reshape(-1, 4)
        return self._bars[key]

    def hat_hand(self, hats: str) -> list[tuple[float, int, float, float]]:
        """A bar of another hat pattern than the groove's own."""
        metre = self.groove.metre
        beats = range(metre.beats_per_bar)
        half = 2 / 3 if metre.compound else 0.5
        if hats == "ride":
            return [(beat, self.index["ride"], 0.9 if beat == 0 else 0.7, 0.0) for beat in beats]
        if hats == "open":
            return [(beat + half, self.index["open_hat"], 0.75, 0.0) for beat in beats]
        if hats == "closed":
            places = (0, 1 / 3, 2 / 3) if metre.compound else (0, 0.5)
            return [
                (beat + place, self.index["closed_hat"], 0.7 if place else 0.9, 0.0)
                for beat in beats
                for place in places
            ]
        return []

    def next_layers(self, intro: bool, before: Playing | None) -> Playing:
        """Layers and hat pattern of the next phrase; no bar of it sounds as in the phrase before."""
        everything = self.core | set(self.extras)
        if before is None:
            return (self.core if intro else everything), "own"
        layers, hats = before
        waiting = [drum for drum in self.extras if drum not in layers]
        choices: list[Playing] = [(everything - {drum}, hats) for drum in self.extras]
        choices += [(layers, other) for other in ("own", "ride", "open", "closed") if other != hats]
        choices = [choices[at] for at in self.generator.permutation(len(choices))]
        if waiting and (intro or self.generator.random() < 0.7):
            choices.insert(0, (layers | {waiting[0]}, "own") if intro else (everything, hats))
        return next(choice for choice in choices if self.differ(choice, before))

    def differ(self, one: Playing, other: Playing) -> bool:
        """Whether every bar of the pattern sounds other drums or other places."""
        return all(
            {tuple(row) for row in self.bar(bar, *one)[:, :2].tolist()}
            != {tuple(row) for row in self.bar(bar, *other)[:, :2].tolist()}
            for bar in range(self.groove.bars)
        )

    def fill(self, rows: Rows, longest_beats: int) -> Rows:
        """The bar with a fill over its last beats; the kick plays on beneath it."""
        length, places, drums = draw_fill(self.generator, self.groove.metre, longest_beats)
        start = self.groove.metre.beats_per_bar - length
        kept = rows[(rows[:, 0] < start - 1e-6) | ((rows[:, 1] == self.index["kick"]) & ("kick" not in drums))]
        added = np.zeros((len(drums), 4))
        added[:, 0] = start + places[:, 0]
        added[:, 1] = [self.index[drum] for drum in drums]
        added[:, 2] = places[:, 1]
        return np.concatenate([kept, added])


def arrange(
    groove: Groove, *, tempo_bpm: float, form: Form | str = "intro:8,verse:16", phrase_bars: int = 4, seed: int = 0
) -> Arrangement:
    """A record: the groove played over the form, with something new at every phrase and a fill at its end.

    ``tempo_bpm`` 40 to 240 felt beats a minute; ``phrase_bars`` bars a phrase. The intro begins with kick,
    backbeat and one hat, and the other drums join it phrase by phrase. Same arguments, same record.
    Raises ``Trouble`` for a form that cannot be read, ``ValueError`` for numbers out of range.
    """
    tempo = check_tempo(tempo_bpm)
    form = Form.parse(form) if isinstance(form, str) else form
    generator = np.random.default_rng([ARRANGER_VERSION, seed])
    drummer = _Drummer(groove, generator)
    phrases = form.phrases(phrase_bars)
    per_bar, beat_s = groove.metre.beats_per_bar, 60.0 / tempo
    count = steady_count(tempo, [bars for section in phrases for bars in section], groove.metre)
    blocks: list[Rows] = []
    starts: list[int] = []
    bar = 0
    playing: Playing | None = None
    for (name, _), lengths in zip(form.sections, phrases, strict=True):
        for bars in lengths:
            playing = drummer.next_layers(name == "intro", playing)
            for at in range(bars):
                rows = drummer.bar(at, *playing)
                if at == bars - 1:
                    rows = drummer.fill(rows, per_bar if bars > 1 else 1)
                blocks.append(rows)
                starts.append((bar + at) * per_bar)
            if bar and (name != "intro" or generator.random() < 0.5):
                blocks.append(np.array([[0.0, drummer.index["crash"], 0.9, 0.0]]))
                starts.append(bar * per_bar)
            bar += bars
    hits = _to_hits(blocks, starts, beat_s, generator)
    return Arrangement(
        count,
        hits,
        _sections(form, per_bar * beat_s),
        groove.metre,
        tempo,
        form.intro_bars,
        phrase_bars,
        seed,
        groove.name,
    )


def _to_hits(blocks: Sequence[Rows], starts: Sequence[int], beat_s: float, generator: np.random.Generator) -> Hits:
    """All bars as hits in seconds; velocities vary by a few per cent, as a player's do."""
    rows = np.concatenate(blocks)
    beats = rows[:, 0] + np.repeat(starts, [len(block) for block in blocks])
    onset_s = np.maximum(beats * beat_s + rows[:, 3], 0.0)
    velocity = np.clip(rows[:, 2] * (1 + 0.04 * generator.standard_normal(len(rows))), 0.05, 1.0)
    return Hits.of(onset_s, rows[:, 1], velocity, DRUMS)


def _sections(form: Form, bar_s: float) -> tuple[Section, ...]:
    bar, sections = 0, []
    for name, bars in form.sections:
        sections.append(Section(name, bar * bar_s, bars))
        bar += bars
    return tuple(sections)
