"""Read Standard MIDI Files as records with their ground truth.

Types 0 and 1, with tempo changes and time signatures. Drums are on the channel that is named, else on channel 10 or,
where it is empty, in tracks whose name says drums. Other notes are played by the voice nearest to their General MIDI
program. Read with mido: pretty_midi drops a drum note without note-off, and allocates eight bytes a tick.
"""

import io
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import mido
import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Seconds
from synth.base.border import read_bytes
from synth.base.errors import Trouble
from synth.midi.general_midi import (
    DRUM_CHANNEL,
    DRUM_OF_NOTE,
    GM_PROGRAMS,
    PICK_UP_MARKER,
    SWEEP_NOTES,
    SWEEP_TRACK,
    VOICE_OF_PROGRAMS,
)
from synth.midi.general_midi import PHRASE_MARKER as PHRASE_WORD
from synth.score.arranging.arrangement import Arrangement
from synth.score.form import Section
from synth.score.hits import INDEX, VOICE_NAMES, Hits
from synth.score.metre import Count, Metre, check_tempo

# Limits on the cost of a broken or hostile file.
MOST_BYTES = 120_000
LONGEST_S = 2 * 3600.0
MOST_BEATS = 40_000
BEAT_RANGE_S = (0.1, 10.0)
LONGEST_NOTE_S = 12.0
PHRASE_BARS = 4

SWEEP_OF_NOTE = {note: sweep for sweep, note in SWEEP_NOTES.items()}
DRUM_TRACK_NAME = re.compile(r"drum|percussion|\bkit\b", re.IGNORECASE)
PHRASE_MARKER = re.compile(rf"{PHRASE_WORD} \d+")


# Tick on, voice index, velocity 1 to 127, pitch (0 for drums), tick off (tick on for drums).
_Note = tuple[int, int, int, int, int]


@dataclass(slots=True)
class _Score:
    """Contents of a file, in ticks."""

    ticks_per_quarter: int
    tempos_us: dict[int, int] = field(default_factory=dict)
    metres: dict[int, Metre] = field(default_factory=dict)
    markers: list[tuple[int, str]] = field(default_factory=list)
    drums: list[_Note] = field(default_factory=list)
    parts: list[_Note] = field(default_factory=list)

    def seconds(self, ticks: npt.NDArray[np.float64]) -> Seconds:
        """Convert ticks to seconds through all tempo changes."""
        changes = sorted({0: 500_000, **self.tempos_us}.items())  # default of the file format: 120 BPM
        at = np.array([tick for tick, _ in changes], dtype=np.float64)
        tick_s = np.array([us for _, us in changes]) / (1e6 * self.ticks_per_quarter)
        base_s = np.concatenate([[0.0], np.cumsum(np.diff(at) * tick_s[:-1])])
        which = np.searchsorted(at, ticks, side="right") - 1
        return np.asarray(base_s[which] + (ticks - at[which]) * tick_s[which], dtype=np.float64)


def midi_arrangement(
    path: Path | str,
    seed: int = 0,
    *,
    tempo_bpm: float | None = None,
    channel: int | None = None,
    notes: Mapping[int, str | None] | None = None,
    bar_one: int | None = None,
    phrase_bars: int | None = None,
) -> Arrangement:
    """Read a MIDI file as an arrangement.

    ``tempo_bpm`` rescales the whole file so that its first beat has that tempo. ``channel`` (0 to 15) has the drums;
    ``notes`` says which drum a note is where it is not General MIDI's, None for one that is left out. Bar 1 begins
    with the file's beat ``bar_one`` (from 1). Phrases last ``phrase_bars`` bars, else from one marker that says
    "phrase" to the next, else four bars; other markers on a downbeat name sections. Raises ``Trouble`` where the file
    is missing, broken, without drums, or longer than two hours, or bar 1 cannot begin there.
    """
    path = Path(path)
    score = _read(path, channel, notes or {})
    count, metre = _count(score, path.name, bar_one, phrase_bars)
    on_tick, voice, velocity, pitch, off_tick = np.array(score.drums + score.parts, dtype=np.float64).T
    onset_s, off_s = score.seconds(on_tick), score.seconds(off_tick)
    inside = onset_s < count.end_s
    stretch = 1.0 if tempo_bpm is None else 60.0 / check_tempo(tempo_bpm) / _first_beat_s(count)
    if stretch != 1.0:
        onset_s, off_s = onset_s * stretch, off_s * stretch
        count = replace(count, beats_s=count.beats_s * stretch, end_s=count.end_s * stretch)
    sections = _sections(score, count, stretch)
    return Arrangement(
        count=count,
        hits=Hits.of(
            onset_s[inside],
            voice[inside],
            velocity[inside] / 127,
            VOICE_NAMES,
            pitch[inside],
            np.minimum(off_s - onset_s, LONGEST_NOTE_S)[inside],
        ),
        sections=sections,
        metre=metre,
        tempo_bpm=round(60.0 / _first_beat_s(count), 3),
        intro_bars=sections[0].bars if sections[0].name == "intro" else 0,
        phrase_bars=phrase_bars or PHRASE_BARS,
        seed=seed,
        groove=path.stem,
    )


def _first_beat_s(count: Count) -> float:
    """Length of the first beat of the first bar; what comes before it may have a tempo of its own."""
    row = int(np.argmax(count.bar_number > 0))
    return float(np.diff(np.append(count.beats_s, count.end_s))[row])


def _read(path: Path, channel: int | None, drums: Mapping[int, str | None]) -> _Score:
    """The notes, tempos, metres and markers of a file, or ``Trouble``."""
    data = read_bytes(path, MOST_BYTES)
    if not data:
        raise Trouble(f"{path.name}: this MIDI file is empty.")
    try:
        midi = mido.MidiFile(file=io.BytesIO(data), clip=True)
    except Exception as error:  # the reader's own errors on broken bytes are of a dozen kinds
        what = "it ends too early" if isinstance(error, EOFError) else "it holds what is no MIDI"
        raise Trouble(f"{path.name}: this MIDI file is broken: {what}.") from None
    if midi.type == 2:
        raise Trouble(f"{path.name}: its tracks do not run together (type 2); save it as type 0 or 1.")
    if midi.ticks_per_beat <= 0:
        raise Trouble(f"{path.name}: it counts film frames, not beats; save it with ticks per quarter note.")
    return _gather(midi, path.name, channel, drums)


def _gather(midi: mido.MidiFile, name: str, wanted: int | None, drums: Mapping[int, str | None]) -> _Score:
    score = _Score(midi.ticks_per_beat)
    drum_of = {note: drum for note, drum in (DRUM_OF_NOTE | dict(drums)).items() if drum is not None}
    drum_channel = DRUM_CHANNEL if wanted is None else wanted
    used: set[int] = set()
    named: list[_Note] = []
    else_parts: list[_Note] = []  # parts of those tracks if channel 10 has the drums
    for track in midi.tracks:
        tick, title = 0, ""
        program: dict[int, int] = {}
        held: dict[tuple[int, int], tuple[int, int]] = {}
        notes: list[tuple[int, int, int, int, int]] = []  # on, channel, note, velocity, off
        for message in track:
            tick += message.time
            kind = message.type
            if kind in ("note_on", "note_off"):
                key = (message.channel, message.note)
                if key in held:
                    on, velocity = held.pop(key)
                    notes.append((on, *key, velocity, tick))
                if kind == "note_on" and message.velocity:
                    held[key] = (tick, message.velocity)
            elif kind == "program_change":
                program.setdefault(message.channel, message.program)
            elif kind == "set_tempo":
                if not message.tempo:
                    raise Trouble(f"{name}: a tempo of no length at tick {tick}.")
                score.tempos_us[tick] = message.tempo
            elif kind == "time_signature":
                try:
                    score.metres[tick] = Metre(message.numerator, message.denominator)
                except ValueError:
                    raise Trouble(f"{name}: an impossible time signature at tick {tick}.") from None
            elif kind == "marker":
                score.markers.append((tick, " ".join(message.text.split())[:40]))
            elif kind == "track_name":
                title = message.name
        notes += [(on, *key, velocity, on) for key, (on, velocity) in held.items()]
        says_drums = wanted is None and bool(DRUM_TRACK_NAME.search(title))
        for on, channel, note, velocity, off in notes:
            used.add(channel + 1)
            if (channel == drum_channel or says_drums) and note in drum_of:
                row = (on, INDEX[drum_of[note]], velocity, 0, on)
                (score.drums if channel == drum_channel else named).append(row)
            if channel not in (drum_channel, DRUM_CHANNEL):
                voice = _voice(title, program.get(channel, 0), note)
                row = (on, INDEX[voice], velocity, 0 if voice in SWEEP_NOTES else max(note, 1), off)
                (else_parts if says_drums else score.parts).append(row)
    if score.drums:
        score.parts += else_parts
    else:
        score.drums = named
    if not score.drums:
        where = (
            "neither on channel 10 nor in a track named drums" if wanted is None else f"not on channel {wanted + 1}"
        )
        there = f"; its notes are on {', '.join(map(str, sorted(used)))}" if used else ""
        raise Trouble(f"{name}: no drums found, {where}{there}.")
    score.markers.sort(key=lambda marker: marker[0])
    return score


def _voice(title: str, program: int, note: int) -> str:
    """Voice that plays a note outside the drums."""
    if title == SWEEP_TRACK:
        return SWEEP_OF_NOTE.get(note, "impact")
    if title in GM_PROGRAMS:
        return title
    for first, last, voice in VOICE_OF_PROGRAMS:
        if first <= program <= last:
            return "bass" if voice == "stab" and note < 45 else voice
    return "pluck"


def _count(score: _Score, name: str, bar_one: int | None, phrase_bars: int | None) -> tuple[Count, Metre]:
    """The count up to the end of the bar with the last hit, and the metre of the first bar after a pick-up."""
    last_tick = max(note[0] for note in score.drums + score.parts)
    changes = sorted({0: Metre(), **score.metres}.items())
    changes = [change for change in changes if change[0] <= last_tick]
    ticks: list[Seconds] = []
    of_beat: list[Metre] = []
    beat_in_bar: list[Ints] = []
    beats_so_far, end_tick = 0, 0.0
    for (start, metre), end in zip(changes, [*[tick for tick, _ in changes[1:]], None], strict=True):
        beat_ticks = score.ticks_per_quarter * metre.quarters_per_beat
        per_bar = metre.beats_per_bar
        if end is None:
            beats = (int((last_tick - start) / beat_ticks) // per_bar + 1) * per_bar
            end_tick = start + beats * beat_ticks
        else:
            # A time signature inside a bar cuts it short; 0.02 beats absorb rounding.
            beats = max(1, int(np.ceil((end - start) / beat_ticks - 0.02)))
        beats_so_far += beats
        if beats_so_far > MOST_BEATS:
            raise Trouble(f"{name}: more than {MOST_BEATS} beats; this is too long to practise with.")
        of_beat += [metre] * beats
        ticks.append(np.asarray(start + np.arange(beats) * beat_ticks, dtype=np.float64))
        beat_in_bar.append(np.arange(beats) % per_bar + 1)
    edges_s = score.seconds(np.append(np.concatenate(ticks), end_tick))
    if edges_s[-1] > LONGEST_S:
        raise Trouble(f"{name}: {edges_s[-1] / 3600:.1f} hours long; at most {LONGEST_S / 3600:g} are played.")
    shortest, longest = float(np.diff(edges_s).min()), float(np.diff(edges_s).max())
    if shortest < BEAT_RANGE_S[0] or longest > BEAT_RANGE_S[1]:
        raise Trouble(f"{name}: beats of {shortest:.3g} to {longest:.3g} s are no tempo to count in.")
    beat = np.concatenate(beat_in_bar)
    bar = np.cumsum(beat == 1)
    if bar_one is not None:
        if bar_one > len(beat):
            raise Trouble(f"{name}: bar 1 cannot begin with beat {bar_one}: there are {len(beat)}.")
        rows = np.arange(len(beat)) - (bar_one - 1)
        if beat[bar_one - 1] != 1:
            if len({metre.beats_per_bar for metre in of_beat}) > 1:
                raise Trouble(f"{name}: the metre changes, so bar 1 must begin with a bar of the file.")
            beat = rows % of_beat[0].beats_per_bar + 1
        bar = np.cumsum((beat == 1) & (rows >= 0))
    elif any(tick == 0 and text == PICK_UP_MARKER for tick, text in score.markers) and bar[-1] > 1:
        bar = bar - 1
        pick_up = bar == 0
        beat = np.where(pick_up, beat + int(beat[bar == 1].max()) - int(pick_up.sum()), beat)
    count = Count(edges_s[:-1], beat, bar, *_phrases(score, edges_s[:-1], beat, bar, phrase_bars), float(edges_s[-1]))
    return count, of_beat[int(np.argmax(bar > 0))]


def _phrases(score: _Score, beats_s: Seconds, beat: Ints, bar: Ints, phrase_bars: int | None) -> tuple[Ints, Ints]:
    """Bar in phrase and phrase number of every beat: as wished, from the file's markers, or every four bars."""
    first = np.array([tick for tick, text in score.markers if PHRASE_MARKER.fullmatch(text)], dtype=np.float64)
    ones = np.flatnonzero((beat == 1) & (bar > 0))
    if len(first) and phrase_bars is None:
        marked = score.seconds(first)
        starts = [int(bar[at]) for at in ones if np.any(np.abs(marked - beats_s[at]) < 1e-3)]
        starts = starts if starts and starts[0] == 1 else [1, *starts]
    else:
        starts = list(range(1, int(bar[-1]) + 1, phrase_bars or PHRASE_BARS))
    number = np.searchsorted(starts, bar, side="right")
    in_phrase = np.where(bar > 0, bar - np.asarray(starts)[number - 1] + 1, 0)
    return in_phrase.astype(np.int64), number.astype(np.int64)


def _sections(score: _Score, count: Count, stretch: float) -> tuple[Section, ...]:
    """Sections from markers on downbeats; one section where there is none."""
    named = [(tick, text) for tick, text in score.markers if text and not PHRASE_MARKER.fullmatch(text)]
    named = [(tick, text) for tick, text in named if text != PICK_UP_MARKER]
    times_s = score.seconds(np.array([tick for tick, _ in named], dtype=np.float64)) * stretch
    ones_s = count.ones_s[count.bar_number[count.beat_in_bar == 1] > 0]
    at: dict[int, str] = {}
    for marker_s, (_, text) in zip(times_s.tolist(), named, strict=True):
        one = int(np.argmin(np.abs(ones_s - marker_s)))
        if abs(ones_s[one] - marker_s) < 1e-3:
            at[one] = text
    if 0 not in at:
        at[0] = "record"
    starts = sorted(at)
    return tuple(
        Section(at[start], float(ones_s[start]), end - start)
        for start, end in zip(starts, [*starts[1:], len(ones_s)], strict=True)
    )
