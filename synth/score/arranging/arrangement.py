"""Arrangements: hits and ground truth of a record, generated from a groove and a form."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints
from synth.base.draws import Draws
from synth.score.arranging.drummer import Drummer
from synth.score.arranging.song import PARTS, Song
from synth.score.arranging.truth import Truth
from synth.score.arranging.turns import PhraseTurn, check_signals
from synth.score.arranging.writer import Writer
from synth.score.departures import Departed, Departure, departures, plan_phrases, tease
from synth.score.form import Form, Section
from synth.score.grooves import LONGEST_SHIFT_MS, Groove
from synth.score.hits import FILTER, Hits
from synth.score.manners import manner_of
from synth.score.metre import Count, Metre, check_tempo, steady_count
from synth.score.recorded import Recorded

# Incremented when the same seed gives another record than before.
ARRANGER_VERSION = 2
# Salt of the random streams. It stays: with it, the form of a record of version 1 is drawn as it was.
SALT = 1
# Seconds of sound after the last bar, in which the drums decay.
TAIL_S = 1.5
# Microtiming may put a hit this many seconds before its beat: it still belongs to that beat.
EARLIEST_S = LONGEST_SHIFT_MS / 1000
# Voices that lead to a turn.
RISING = ("riser", "reversed_crash", FILTER)
# Seconds. A note with less than this left at the start of an excerpt is not repeated there.
SHORTEST_REST_S = 0.15


@dataclass(frozen=True, slots=True, eq=False)
class Arrangement:
    """A record ready for mixing, with its ground truth. Times count from the first frame of the sound.

    ``groove`` is the name of the groove or MIDI file, ``version`` the arranger's. ``turns`` lists the phrase turns
    with their signals, ``exceptions`` the departures from whole phrases. ``tail_s`` seconds follow the last beat; 0
    stops all sound there. Bass and pads give way to the kick by ``duck_db`` (0: they do not). ``recorded`` plays
    beside the hits, or in place of them.
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
    turns: tuple[PhraseTurn, ...] = ()
    exceptions: tuple[Departed, ...] = ()
    tail_s: float = TAIL_S
    duck_db: float = 0.0
    recorded: Recorded | None = None

    @property
    def duration_s(self) -> float:
        """Length of the sound in seconds, tail included."""
        return self.count.end_s + self.tail_s

    def truth(self, sample_rate_hz: int) -> Truth:
        """Ground truth of the sound at a sample rate."""
        shared = {each.name: getattr(self, each.name) for each in fields(Truth) if each.name != "sample_rate_hz"}
        return Truth(sample_rate_hz, **shared)

    def only(self, *voices: str) -> "Arrangement":
        """Keep these voices alone."""
        return replace(self, hits=self.hits.only(*voices))

    def without(self, start_s: float, end_s: float) -> "Arrangement":
        """Remove what sounds from ``start_s`` until ``end_s``; earlier hits ring out.

        A hit that microtiming puts just before a beat belongs to that beat, as in ``excerpt``.
        """
        grid_s = self.hits.grid_s
        inside = (grid_s >= start_s - EARLIEST_S) & (grid_s < end_s - EARLIEST_S)
        recorded = self.recorded and self.recorded.without(start_s, end_s)
        return replace(self, hits=self.hits.where(~inside), recorded=recorded)

    def excerpt(self, first_beat: int, beats: int | None = None, lead_in_s: float = 0.0) -> "Arrangement":
        """Cut ``beats`` beats (default: all that follow) from row ``first_beat`` of the count on.

        The first beat falls at ``lead_in_s`` seconds; bar and phrase numbers stay those of the record. Sections and
        exceptions are clipped to the excerpt. ``ValueError`` for a negative ``lead_in_s`` or beats out of range.
        """
        if lead_in_s < 0:
            raise ValueError(f"lead_in_s {lead_in_s:g}: 0 or more seconds expected")
        part = self.count.excerpt(first_beat, beats)
        start_s, by_s = float(part.beats_s[0]), lead_in_s - float(part.beats_s[0])
        sections = []
        edges = [*part.beats_s.searchsorted([each.start_s - 1e-9 for each in self.sections]).tolist(), len(part)]
        for section, first, last in zip(self.sections, edges, edges[1:], strict=False):
            if first < last:
                bars = _different(part.bar_number[first:last])
                sections.append(Section(section.name, float(part.beats_s[first]) + by_s, bars))
        last_s = part.end_s if beats is not None else np.inf
        return replace(
            self,
            count=part.shifted(by_s),
            hits=_cut(self.hits, start_s, last_s, by_s),
            recorded=self.recorded and self.recorded.within(start_s, last_s).moved(by_s),
            sections=tuple(sections),
            turns=tuple(
                PhraseTurn(turn.time_s + by_s, turn.signals)
                for turn in self.turns
                if start_s - 1e-9 <= turn.time_s < part.end_s - 1e-9
            ),
            exceptions=tuple(
                replace(heard, start_s=heard.start_s + by_s)
                for odd in self.exceptions
                if (heard := self._heard_of(odd, part)) is not None
            ),
        )

    def counted_in(self, silence_s: float) -> "Arrangement":
        """Put ``silence_s`` seconds of silence and a bar without drums first: bar 0, in which a pick-up falls."""
        count = self.count
        row = int(np.argmax(count.bar_number > 0))
        beat_s = float(np.diff(np.append(count.beats_s, count.end_s))[row])
        per_bar = self.metre.beats_per_bar
        beats = per_bar - int(np.sum(count.bar_number == 0)) % per_bar
        moved = self.excerpt(0, lead_in_s=silence_s + beats * beat_s)
        return replace(moved, count=_with_pick_up(moved.count, beats, 1, silence_s))

    def _heard_of(self, odd: Departed, part: Count) -> Departed | None:
        """Clip an exception to a part of the count; one shorter than a bar stays only where its start is inside."""
        start_s = float(part.beats_s[0])
        if not odd.bars:
            return odd if start_s - 1e-9 <= odd.start_s < part.end_s - 1e-9 else None
        until_s = odd.start_s + odd.bars * 60.0 / self.tempo_bpm * self.metre.beats_per_bar
        inside = (part.beats_s >= odd.start_s - 1e-9) & (part.beats_s < until_s - 1e-9)
        if not inside.any():
            return None
        return replace(odd, start_s=max(odd.start_s, start_s), bars=_different(part.bar_number[inside]))


def _different(rising: Ints) -> int:
    """How many different numbers there are in a rising row of one or more."""
    return 1 + int(np.count_nonzero(rising[1:] != rising[:-1]))


@lru_cache(maxsize=8)
def _rising(voices: tuple[str, ...]) -> npt.NDArray[np.bool_]:
    """Which of the voices lead to a turn."""
    return np.array([name in RISING for name in voices], dtype=np.bool_)


def _cut(hits: Hits, start_s: float, end_s: float, by_s: float) -> Hits:
    """Cut hits to ``start_s`` to ``end_s`` and shift them by ``by_s``.

    A note or riser that began before the cut restarts with its remaining length; one that outlasts the end is
    shortened; a riser that leads to a turn beyond the end is dropped.
    """
    grid_s, until_s = hits.grid_s, hits.onset_s + hits.duration_s
    before = grid_s < start_s - EARLIEST_S
    rises = _rising(hits.voices)[hits.voice]
    held = before & (until_s > start_s + SHORTEST_REST_S) & ((hits.pitch > 0) | rises)
    begins = ~before & (grid_s < end_s - EARLIEST_S)
    rows = np.flatnonzero((begins | held) & ~(rises & (until_s > end_s + EARLIEST_S)))
    held = held[rows]
    onset_s, grid_s = (np.where(held, start_s, each[rows]) for each in (hits.onset_s, grid_s))
    moved_s = np.maximum(onset_s + by_s, 0.0)
    left_s = np.maximum(np.minimum(until_s[rows], end_s) - onset_s, 0.0) * (hits.duration_s[rows] > 0)
    order = np.lexsort((hits.voice[rows], moved_s))
    rows = rows[order]
    return Hits(
        moved_s[order],
        hits.voice[rows],
        hits.velocity[rows],
        hits.voices,
        hits.pitch[rows],
        left_s[order],
        hits.take[rows],
        (moved_s - (grid_s + by_s))[order],
    )


def arrange(
    groove: Groove,
    *,
    tempo_bpm: float,
    form: Form | str = "intro:8,verse:16",
    phrase_bars: int = 4,
    seed: int = 0,
    song: bool | Collection[str] = False,
    exceptions: Sequence[str] = (),
    signals: Sequence[str] | None = None,
) -> Arrangement:
    """Generate a record: the groove played over the form, with a change at every phrase and a signal before it.

    ``tempo_bpm`` is 40 to 240 felt beats a minute, ``phrase_bars`` the bars of a phrase. The intro begins with kick,
    backbeat and one hat; the other drums join phrase by phrase. ``song`` adds bass, chords, lead and voice after the
    intro, or those of ``PARTS`` that it names. ``exceptions`` names departures from whole phrases (``Departure``),
    ``signals`` the turn signals to draw from (``Signal``; default: all). The same arguments give the same record.
    Raises ``Trouble`` for a form that cannot be parsed, ``ValueError`` for numbers out of range and unknown names.
    """
    tempo = check_tempo(tempo_bpm)
    form = Form.parse(form) if isinstance(form, str) else form
    # Separate random streams, made when first drawn from: adding a song leaves the drums unchanged.
    drums_draw, form_draw, song_draw, touch_draw, timing_draw, tease_draw = (
        Draws(SALT, seed, stream) for stream in range(6)
    )
    asked = departures(exceptions)
    phrases = plan_phrases(form, phrase_bars, asked, form_draw())
    if Departure.TEASE in asked:
        phrases = tease(phrases, form, tease_draw())
    per_bar = groove.metre.beats_per_bar
    pick_up = int(form_draw().integers(1, per_bar)) if Departure.PICK_UP in asked and per_bar > 1 else 0
    writer = Writer(
        form,
        phrases,
        Drummer(groove, drums_draw()),
        Song(groove.metre, song_draw(), manner_of(groove.family), PARTS if song is True else song) if song else None,
        generator=form_draw(),
        song_generator=song_draw,
        tease_generator=tease_draw,
        beat_s=60.0 / tempo,
        pick_up_beats=pick_up,
        signals=None if signals is None else check_signals(signals),
    )
    writer.write()
    count = steady_count(tempo, [phrase.bars for phrase in phrases], groove.metre, start_s=pick_up * 60.0 / tempo)
    sections = writer.sections()
    return Arrangement(
        count=_with_pick_up(count, pick_up, per_bar - pick_up + 1) if pick_up else count,
        hits=writer.sheet.hits(60.0 / tempo, touch_draw, groove.family, timing_draw),
        sections=sections,
        metre=groove.metre,
        tempo_bpm=tempo,
        intro_bars=sections[0].bars if form.intro_bars else 0,
        phrase_bars=phrase_bars,
        seed=seed,
        groove=groove.name,
        turns=tuple(writer.turns),
        duck_db=manner_of(groove.family).duck_db,
        exceptions=tuple(sorted(writer.exceptions, key=lambda odd: odd.start_s)),
    )


def _with_pick_up(count: Count, beats: int, first: int, start_s: float = 0.0) -> Count:
    """Prepend ``beats`` beats of bar 0, numbered from ``first``, from ``start_s`` on; they belong to no phrase."""
    nought = np.zeros(beats, dtype=np.int64)
    return Count(
        np.concatenate([start_s + (count.beats_s[0] - start_s) / beats * np.arange(beats), count.beats_s]),
        np.concatenate([first + np.arange(beats), count.beat_in_bar]),
        np.concatenate([nought, count.bar_number]),
        np.concatenate([nought, count.bar_in_phrase]),
        np.concatenate([nought, count.phrase_number]),
        count.end_s,
    )
