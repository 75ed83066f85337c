"""A phrase of a groove as a seamless loop, and each of its beats by itself.

The phrase is mixed several times in a row. From the second round on, the decay of the round before is in the mix,
so the last frame of a round continues at its first.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.recording.teaching import in_front
from synth.score.arranging.arrangement import EARLIEST_S, Arrangement, arrange
from synth.score.arranging.even_phrase import even_phrase
from synth.score.arranging.sequence import delayed, stretched
from synth.score.grooves import Groove
from synth.score.hits import Hits
from synth.score.metre import TEMPO_RANGE_BPM, Count, check_tempo, steady_count, to_frames
from synth.sound.gain import scale_to
from synth.sound.kit import Kit, Take
from synth.sound.limiter import CELL, SEARCH_FROM, limit
from synth.sound.loudness import LOUDNESS_LUFS
from synth.sound.mix import Mix
from synth.sound.recorded import fade, recorded_take
from synth.sound.spoken import spoken_count

PHRASE_BARS = (4, 8, 16, 32)
# Seconds, longer than the decay of any drum of the kit.
LONGEST_RING_S = 8.0
# Seconds before beat one, for early hits and the start of the first word.
LEAD_S = 0.2
# Decay of a single beat and the fade at its end, seconds.
BEAT_RING_S, BEAT_FADE_S = 1.6, 0.4
# Fade-in in seconds where playback starts inside a round.
FADE_IN_S = 0.01

SHORT = Template("loop.short", "{title} is too short for a phrase of {bars} bars.")


@dataclass(frozen=True, slots=True, eq=False)
class Second:
    """A second record in the loop: the first one's phrase as another record plays it, on ``kit``.

    It begins ``beats`` beats after the first one's phrase, 0 to less than a phrase, and goes round with it.
    """

    kit: Kit
    beats: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """A record of the loop: its phrase, beat one at ``LEAD_S``, its kit, and beats by which it comes later."""

    phrase: Arrangement
    kit: Kit
    beats: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """A phrase as a loop.

    ``samples`` float32 (frames, 2): ``lead_frames`` before beat one, then some rounds, of which the last
    ``round_frames`` frames may be repeated for ever. ``count`` is the phrase's, beat one at 0 s; ``phrase`` the
    arrangement, beat one at ``LEAD_S``; ``beside`` the second record's, if any; ``scale`` the gain of the mix.
    ``bed`` is what the phrase has of a recording: its onset in s of the phrase, and its sound.
    """

    samples: Samples
    round_frames: int
    lead_frames: int
    count: Count
    phrase: Arrangement
    kit: Kit
    spoken: str | None
    scale: float
    language: str = "en"
    beside: _Part | None = None
    bed: tuple[float, Take] | None = None

    def beat_at(self, frame: float) -> int | None:
        """Row of the count that sounds at a frame of ``samples`` or of its repetition; None before beat one."""
        if frame < self.lead_frames:
            return None
        at_s = (frame - self.lead_frames) % self.round_frames / self.kit.sample_rate_hz
        # Half a frame of tolerance: a beat's rounded frame may lie before the beat.
        return int(np.searchsorted(self.count.beats_s, at_s + 0.5 / self.kit.sample_rate_hz, side="right")) - 1

    def start_frame(self, beat: int) -> int:
        """Frame of ``samples`` where playback must start so that ``beat`` is heard whole."""
        early = to_frames(EARLIEST_S, self.kit.sample_rate_hz)
        beat_frame = to_frames(self.count.beats_s[beat], self.kit.sample_rate_hz)
        return 0 if beat == 0 else int(self.lead_frames + beat_frame - early)

    def samples_from(self, beat: int) -> Samples:
        """``samples`` from ``start_frame(beat)`` on, with a short fade-in."""
        first = self.start_frame(beat)
        if first == 0:
            return self.samples
        part = self.samples[first:].copy()
        rise = round(FADE_IN_S * self.kit.sample_rate_hz)
        part[:rise] *= np.linspace(0, 1, rise, endpoint=False, dtype=np.float32)[:, None]
        return part

    def beat_sound(self, beat: int) -> Samples:
        """What is struck (and said) on one beat until the next, as loud as in the loop, ringing out by itself."""
        lead_s = LEAD_S if self.spoken else EARLIEST_S
        alone = self.phrase.excerpt(beat, 1, lead_in_s=lead_s)
        rate = self.kit.sample_rate_hz
        beds = self._bed_of(alone, float(self.phrase.count.beats_s[beat]) - lead_s)
        mix = _mix(alone.hits, alone.count, self.kit, self.spoken, self.language, self.phrase.duck_db, beds)
        if self.beside is not None:
            late = (beat - self.beside.beats) % len(self.count)
            other = self.beside.phrase.excerpt(late, 1, lead_in_s=lead_s)
            mix = Mix.together([mix, Mix.of(other.hits, self.beside.kit, duck_db=other.duck_db)])
        out = np.zeros((int(to_frames(alone.count.end_s + BEAT_RING_S, rate)), 2), dtype=np.float32)
        _mix_into(out, mix, self.scale)
        fall = round(BEAT_FADE_S * rate)
        out[-fall:] *= np.linspace(1, 0, fall, dtype=np.float32)[:, None]
        return out

    def _bed_of(self, alone: Arrangement, from_s: float) -> list[tuple[float, Take]]:
        """What a part of the phrase, from ``from_s`` s of it on, has of the bed."""
        if self.bed is None or alone.recorded is None:
            return []
        (start_s, take), heard, rate = self.bed, alone.recorded, self.kit.sample_rate_hz
        first, last = to_frames([from_s + at_s - start_s for at_s in (heard.start_s, heard.end_s)], rate).tolist()
        samples = take.samples[max(0, first) : last].copy()
        fade(samples, heard, heard.start_s, rate)
        return [(heard.start_s, replace(take, samples=samples))]


def loop(
    source: Groove | Arrangement,
    kit: Kit,
    *,
    tempo_bpm: float,
    phrase_bars: int = 4,
    voices: tuple[str, ...] = (),
    spoken: str | None = None,
    language: str = "en",
    seed: int = 0,
    song: bool = False,
    second: Second | None = None,
    intro_bars: int = 0,
) -> Loop:
    """Render ``phrase_bars`` (4, 8, 16 or 32) bars as a loop.

    ``source`` is a groove, of which the middle of a record is played, or a record, from its first whole bar on,
    repeated where it is shorter, at an even tempo, or a recording, from its first beat on, each time behind
    ``intro_bars`` bars of drums. ``voices``: audible drums (empty: all). ``song``: with bass and chords, and with all
    else that a record has. ``spoken``: "bars" or "letters" adds the spoken count in ``language``. The round is a
    whole number of limiter cells of 16 frames, which changes the tempo by less than 0.01 %. The same arguments give
    the same samples. ``ValueError`` for numbers out of range and unknown ways of counting, ``Trouble`` for a record
    that has too much in it, and a recording that is shorter.
    """
    if phrase_bars not in PHRASE_BARS:
        raise ValueError(f"a phrase of {phrase_bars} bars: one of {PHRASE_BARS} expected")
    phrases = [intro_bars, phrase_bars] if intro_bars else [phrase_bars]
    rate, beats = kit.sample_rate_hz, sum(phrases) * source.metre.beats_per_bar
    if second is not None and not 0 <= second.beats < beats:
        raise ValueError(f"a second record {second.beats} beats later: 0 to {beats - 1} expected")
    round_frames, tempo = _whole_cells(beats, check_tempo(tempo_bpm), rate)
    lead_frames = round(LEAD_S * rate / CELL) * CELL

    def phrase_of(seed: int) -> Arrangement:
        lead_s = lead_frames / rate
        return loop_phrase(
            source, tempo, phrase_bars, lead_s, voices=voices, seed=seed, song=song, intro_bars=intro_bars
        )

    phrase = phrase_of(seed)
    round_s = round_frames / rate
    before = int(np.ceil(LONGEST_RING_S / round_s))
    hits = _repeated(phrase.hits, before + 2, round_s)
    count = steady_count(tempo, phrases * (before + 2), source.metre, start_s=lead_frames / rate)
    bed = None if phrase.recorded is None else recorded_take(phrase.recorded, rate)
    beds = [] if bed is None else [(bed[0] + number * round_s, bed[1]) for number in range(before + 2)]
    mix = _mix(hits, count, kit, spoken, language, phrase.duck_db, beds)
    beside = None
    if second is not None:
        beside = _Part(phrase_of(seed + 1), second.kit, second.beats)
        late = _repeated(beside.phrase.hits, before + 3, round_s, second.beats * round_s / beats - round_s)
        mix = Mix.together([mix, Mix.of(late, second.kit, duck_db=phrase.duck_db)])
    frames = lead_frames + (before + 1) * round_frames
    # Mixed beyond its end, so that early hits of the next round are included and limited.
    out = np.zeros((frames + rate // CELL * CELL, 2), dtype=np.float32)
    scale = scale_to(mix, frames, LOUDNESS_LUFS)
    _mix_into(out, mix, scale)
    out.setflags(write=False)
    whole = steady_count(tempo, phrases, source.metre)
    return Loop(
        *(out[:frames], round_frames, lead_frames, replace(whole, end_s=round_s), phrase, kit, spoken, float(scale)),
        language,
        beside,
        bed,
    )


def loop_phrase(
    source: Groove | Arrangement,
    tempo_bpm: float,
    phrase_bars: int,
    lead_in_s: float = 0.0,
    *,
    voices: tuple[str, ...] = (),
    seed: int = 0,
    song: bool = False,
    intro_bars: int = 0,
) -> Arrangement:
    """The phrase of a ``loop`` as an arrangement, beat one at ``lead_in_s`` seconds; ``Trouble`` as there."""
    if isinstance(source, Groove):
        beats, form = phrase_bars * source.metre.beats_per_bar, f"verse:{3 * phrase_bars}"
        record = arrange(source, tempo_bpm=tempo_bpm, form=form, phrase_bars=phrase_bars, seed=seed, song=song)
        phrase = record.excerpt(beats, beats, lead_in_s=lead_in_s)
    elif source.recorded is not None:
        beats = phrase_bars * source.metre.beats_per_bar
        if beats > len(source.count):
            raise Trouble(SHORT(title=source.recorded.title, bars=phrase_bars))
        record = source.excerpt(0, beats)
        if intro_bars:
            record = in_front(record, intro_bars, seed=seed).excerpt(0)
        return delayed(stretched(record, source.tempo_bpm / tempo_bpm), lead_in_s)
    else:
        phrase = even_phrase(source, phrase_bars, tempo_bpm, lead_in_s)
        phrase = phrase if song else replace(phrase, hits=phrase.hits.where(phrase.hits.pitch == 0))
    return phrase.only(*voices) if voices else phrase


def _whole_cells(beats: int, tempo_bpm: float, rate: int) -> tuple[int, float]:
    """Frames of ``beats`` beats in whole cells, and the resulting tempo."""
    low, high = TEMPO_RANGE_BPM
    cells = round(beats * 60.0 / tempo_bpm * rate / CELL)
    for nearby in (cells, cells - 1, cells + 1):
        tempo = beats * 60.0 * rate / (nearby * CELL)
        if low <= tempo <= high:
            break
    return nearby * CELL, tempo


def _repeated(hits: Hits, times: int, every_s: float, by_s: float = 0.0) -> Hits:
    """Repeat the hits ``times`` times, ``every_s`` seconds apart and ``by_s`` later, from 0 s on."""
    onset_s = np.concatenate([hits.onset_s + (by_s + number * every_s) for number in range(times)])
    columns = (hits.voice, hits.velocity, hits.pitch, hits.duration_s, hits.take, hits.shift_s)
    heard = onset_s >= 0
    voice, velocity, pitch, duration_s, take, shift_s = (np.tile(column, times)[heard] for column in columns)
    return Hits.of(onset_s[heard], voice, velocity, hits.voices, pitch, duration_s, take, shift_s)


def _mix(
    hits: Hits,
    count: Count,
    kit: Kit,
    spoken: str | None,
    language: str,
    duck_db: float,
    beds: Sequence[tuple[float, Take]] = (),
) -> Mix:
    words = spoken_count(count, spoken, language=language, sample_rate_hz=kit.sample_rate_hz) if spoken else []
    return Mix.of(hits, kit, words, duck_db=duck_db, beds=beds)


def _mix_into(out: Samples, mix: Mix, scale: float) -> None:
    """Add the mix to ``out`` from frame 0 on and limit it."""
    out += mix.frames(0, len(out), scale)
    frames = len(out) // CELL * CELL
    loud = np.abs(out[:frames]).reshape(-1, 2 * CELL).max(axis=1) >= SEARCH_FROM
    limit(out, np.flatnonzero(loud), mix.sample_rate_hz)
