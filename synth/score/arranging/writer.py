"""The writer: writes a record phrase by phrase and logs its turns and exceptions."""

from collections.abc import Collection, Iterator
from itertools import accumulate

import numpy as np

from synth.base.draws import Draws
from synth.score.arranging import fills, turns
from synth.score.arranging.drummer import Drummer, Playing
from synth.score.arranging.song import Song
from synth.score.arranging.turns import SIGNALS, PhraseTurn, Signal
from synth.score.departures import Departed, Departure, Phrase
from synth.score.form import Form, Section
from synth.score.hits import HATS, SHARP_DRUMS
from synth.score.rows import BEAT, Rows, Sheet, notes

# Velocity of everything in a section, as a factor: a drop is 2 to 3 dB louder than a verse, a break softer.
LEVELS = {
    **{"intro": 0.9, "verse": 0.9, "chorus": 1.05, "bridge": 0.85},
    **{"build": 0.8, "drop": 1.25, "break": 0.7, "outro": 0.9},
}
# Parts of which one is heard in a tease, how loud it is there, and how often a break of a song ends without drums.
TEASED, TEASE_LEVEL, SILENT_BREAK = ("bass", "stab", "voice"), 0.5, 0.5
# Parts that play in a phrase without drums.
BREAK_PARTS = frozenset({"pad", "pluck"})


class Writer:
    """Writes the planned phrases into ``sheet``. Call ``write`` once.

    ``pick_up_beats`` precede bar 1; ``signals`` limits the turn signals drawn (None: all).
    """

    def __init__(
        self,
        form: Form,
        phrases: tuple[Phrase, ...],
        drummer: Drummer,
        song: Song | None,
        *,
        generator: np.random.Generator,
        song_generator: Draws,
        tease_generator: Draws,
        beat_s: float,
        pick_up_beats: int = 0,
        signals: Collection[str] | None = None,
    ) -> None:
        self.form, self.phrases, self.drummer, self.generator = form, phrases, drummer, generator
        self.metre = drummer.metre
        self.per_bar = self.metre.beats_per_bar
        self.with_song, self._song = song is not None, song
        self.song_generator, self.tease_generator = song_generator, tease_generator
        self.beat_s, self.pick_up_beats, self.signals = beat_s, pick_up_beats, signals
        usual = turns.usual_signals(drummer.groove.family)
        self._heard = usual if signals is None else frozenset(signals)
        self.sheet = Sheet()
        self.turns: list[PhraseTurn] = []
        self.exceptions: list[Departed] = []
        self.first_bars = [0, *accumulate(phrase.bars for phrase in phrases)]
        self._firsts: dict[int, int] = {}
        for at, phrase in enumerate(phrases):
            self._firsts.setdefault(phrase.section, at)
        self._sizes = [self._size(at) for at in range(1, len(phrases) + 1)]

    @property
    def song(self) -> Song:
        """The song, which without one plays what teases and breaks need."""
        if self._song is None:
            self._song = Song(self.metre, self.song_generator())
        return self._song

    def write(self) -> None:
        """Write every phrase."""
        playing: Playing | None = None
        parts: frozenset[str] = frozenset()
        ended: frozenset[Signal] = frozenset()
        if self.pick_up_beats:
            self._pick_up()
        for at in range(len(self.phrases)):
            playing, parts, ended = self._phrase(at, playing, parts, ended)

    def beat(self, bar: int) -> float:
        """Index of the beat, from the record's first, on which a bar (from 0) begins."""
        return self.pick_up_beats + bar * self.per_bar

    def sections(self) -> tuple[Section, ...]:
        """Sections with their actual bars, which exceptions may have changed."""
        found = []
        for index, (name, _) in enumerate(self.form.sections):
            bars = sum(phrase.bars for phrase in self.phrases if phrase.section == index)
            found.append(Section(name, self.beat(self.first_bars[self._firsts[index]]) * self.beat_s, bars))
        return tuple(found)

    def _phrase(
        self, at: int, before: Playing | None, parts_before: frozenset[str], signals: frozenset[Signal]
    ) -> tuple[Playing, frozenset[str], frozenset[Signal]]:
        """Write phrase ``at``; ``signals`` sound on its first beat. Returns what the next phrase needs to know."""
        phrase = self.phrases[at]
        section = self.form.sections[phrase.section][0]
        first_in_section = self._firsts[phrase.section]
        last = at == len(self.phrases) - 1
        size = self._sizes[at]
        asked_silent = Departure.BREAK_WITHOUT_DRUMS in phrase.odd
        ends = last or self.phrases[at + 1].section != phrase.section
        silent = asked_silent or (
            section == "break" and self.with_song and ends and self.tease_generator().random() < SILENT_BREAK
        )
        tag = Departure.TAG in phrase.odd and before is not None

        playing = before if tag and before else self.drummer.next_phrase(section, before, at == first_in_section)
        parts = self.song.plays(section, at - first_in_section) if self.with_song else frozenset()
        parts = parts_before - {"drums"} if tag else BREAK_PARTS if asked_silent else parts
        sounding = parts if silent else parts | {"drums"}
        if at:
            self._turn(at, signals, before, playing, parts_before, sounding)

        ending: frozenset[Signal] = frozenset()
        if Departure.SILENT_TURN in phrase.odd:
            pass
        elif not last:
            heard = self._heard - set(turns.LAST_BARS) if silent else self._heard
            ending = turns.draw_signals(self.generator, size, heard)
        elif not silent and (self.signals is None or Signal.FILL in self.signals):
            ending = frozenset({Signal.FILL})
        level, start = LEVELS[section], self.beat(self.first_bars[at])
        for bar, drums in enumerate(self._drums(at, playing, ending)):
            if not silent:
                self.sheet.add(start + bar * self.per_bar, drums, level)
            if parts:
                self.sheet.add(start + bar * self.per_bar, self.song.bar(bar, parts, at, phrase.bars), level)
        if Departure.FALSE_TURN in phrase.odd:
            self._false_turn(at)
        if Departure.TEASE in phrase.odd:
            self._tease(at, level)
        turn = self.beat(self.first_bars[at + 1])
        self.sheet.add(turn, turns.before(ending, self.per_bar, phrase.bars, size))
        self._account(at)
        return playing, sounding, ending

    def _false_turn(self, at: int) -> None:
        """A reversed crash and a crash in the middle of phrase ``at``, where nothing turns."""
        phrase = self.phrases[at]
        beat = self.beat(self.first_bars[at] + phrase.bars // 2)
        self.sheet.add(beat, turns.before(frozenset({Signal.REVERSED_CRASH}), self.per_bar, phrase.bars, 2))
        self.sheet.add(beat, turns.after(frozenset({Signal.CRASH}), 2))
        self.exceptions.append(Departed(Departure.FALSE_TURN, beat * self.beat_s, 0))

    def _tease(self, at: int, level: float) -> None:
        """Play one part alone and softly in the second half of phrase ``at``."""
        bars, part = self.phrases[at].bars, TEASED[int(self.tease_generator().integers(len(TEASED)))]
        for bar in range(bars // 2, bars):
            heard = self.song.bar(bar, frozenset({part}), at, bars)
            self.sheet.add(self.beat(self.first_bars[at] + bar), heard, level * TEASE_LEVEL)
        start = self.beat(self.first_bars[at] + bars // 2)
        self.exceptions.append(Departed(Departure.TEASE, start * self.beat_s, bars - bars // 2))

    def _size(self, at: int) -> int:
        """Size of the turn into phrase ``at`` (from 1); the end of the record is a large one."""
        if at == len(self.phrases):
            return 4
        section = self.phrases[at - 1].section
        bars = self.first_bars[at] - self.first_bars[self._firsts[section]]
        return turns.turn_size(bars, self.phrases[at].section != section)

    def _drums(self, at: int, playing: Playing, ending: frozenset[Signal]) -> Iterator[Rows]:
        """Drums of each bar of phrase ``at``."""
        phrase, size, bars = self.phrases[at], self._sizes[at], self.phrases[at].bars
        builds = self.form.sections[phrase.section][0] == "build"
        half_time = Departure.HALF_TIME in phrase.odd
        filled = (bars - 1) // 2 if Departure.FALSE_FILL in phrase.odd else None
        roll = fills.roll_bars(size, bars) if Signal.ROLL in ending else 0
        for bar in range(bars):
            drums = self.drummer.bar(bar, playing, half_time)
            if builds:
                drums = np.concatenate([drums, fills.roll(self.metre, bar, bars)])
            if bar == filled:
                length, drums = self.drummer.fill(drums)
                start = self.beat(self.first_bars[at] + bar + 1) - length
                self.exceptions.append(Departed(Departure.FALSE_FILL, start * self.beat_s, 0))
            if bar >= bars - roll:
                drums = np.concatenate([drums, fills.roll(self.metre, bar - bars + roll, roll)])
            elif bar == bars - 1 and Signal.FILL in ending:
                drums = self.drummer.fill(drums, fills.longest_fill_beats(size, bars))[1]
            elif bar == bars - 1 and Signal.BEAT_WITHOUT_DRUMS in ending:
                drums = turns.without_drums(drums, 1, self.per_bar)
            elif bar == bars - 1 and Signal.BAR_WITHOUT_DRUMS in ending:
                drums = notes([])
            yield drums

    def _turn(
        self,
        at: int,
        signals: frozenset[Signal],
        before: Playing | None,
        playing: Playing,
        parts_before: frozenset[str],
        parts: frozenset[str],
    ) -> None:
        """Write the turn into phrase ``at`` and log its signals."""
        beat = self.beat(self.first_bars[at])
        lines = self.drummer.groove.lines
        sharp = next((drum for drum in SHARP_DRUMS if drum in lines), "clap")
        self.sheet.add(beat, turns.after(signals, self._sizes[at - 1], sharp))
        told = set(signals)
        if before is not None and "drums" in parts_before & parts:
            # A hat of the groove is silent while the hat hand plays another pattern: it neither enters nor leaves.
            unheard = set() if before[1] == playing[1] == "own" else set(HATS)
            told |= {Signal.LAYER_IN} if playing[0] - before[0] - unheard else set()
            told |= {Signal.LAYER_OUT} if before[0] - playing[0] - unheard else set()
            told |= {Signal.HAT_CHANGE} if playing[1] != before[1] else set()
        told |= {Signal.LAYER_IN} if parts - parts_before - {"bass"} else set()
        told |= {Signal.LAYER_OUT} if parts_before - parts else set()
        told |= {Signal.BASS_IN} if "bass" in parts - parts_before else set()
        self.turns.append(PhraseTurn(beat * self.beat_s, tuple(str(signal) for signal in SIGNALS if signal in told)))

    def _pick_up(self) -> None:
        """Write the last beats of a bar, with a fill, before bar 1."""
        bar = self.drummer.bar(0, (self.drummer.everything, "own"))
        bar = self.drummer.fill(bar, self.pick_up_beats)[1]
        kept = bar[bar[:, BEAT] >= self.per_bar - self.pick_up_beats - 1e-6]
        self.sheet.add(self.pick_up_beats - self.per_bar, kept)
        self.exceptions.append(Departed(Departure.PICK_UP, 0.0, 0))

    def _account(self, at: int) -> None:
        """Log the exceptions of phrase ``at``."""
        phrase = self.phrases[at]
        start_s, end_s = (self.beat(self.first_bars[place]) * self.beat_s for place in (at, at + 1))
        for kind in sorted(phrase.odd):
            if kind == Departure.SILENT_TURN:
                self.exceptions.append(Departed(kind, end_s, 0))
            elif kind == Departure.HALF_TIME and at and kind in self.phrases[at - 1].odd:
                where = next(k for k, odd in enumerate(self.exceptions) if odd.kind == kind)
                before = self.exceptions[where]
                self.exceptions[where] = Departed(kind, before.start_s, before.bars + phrase.bars)
            elif kind not in (Departure.FALSE_FILL, Departure.FALSE_TURN, Departure.TEASE):
                self.exceptions.append(Departed(kind, start_s, phrase.bars))
