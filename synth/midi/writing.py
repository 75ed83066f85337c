"""Write Standard MIDI Files with pretty_midi; reading is in ``synth.midi.reading``.

Type 1, 960 ticks a quarter, drums on channel 10 by General MIDI; bass, chords, pad, lead, voice and sweeps on tracks
and channels of their own. The first track has tempo, time signature, and sections and phrases as markers; it takes
the place of that of pretty_midi, which has no markers and truncates tempos to the microsecond below.
"""

import io
from pathlib import Path

import mido
import numpy as np

from synth.base.arrays import Ints, Seconds
from synth.base.errors import Trouble
from synth.base.files import check_ending, write_bytes
from synth.midi.general_midi import (
    ENDINGS,
    GM_DRUMS,
    GM_PROGRAMS,
    PHRASE_MARKER,
    PICK_UP_MARKER,
    SWEEP_NOTES,
    SWEEP_PROGRAM,
    SWEEP_TRACK,
)
from synth.score.arranging.arrangement import Arrangement
from synth.score.hits import Hits

TICKS_PER_QUARTER = 960
# A track's chunk begins after the file's head; its data follow "MTrk" and four bytes of length (SMF 1.0).
_HEAD_BYTES = 14
_FAR_BEATS = 64  # beyond the last beat: the tail may hold hits

_Events = list[tuple[int, mido.MetaMessage]]  # with the tick


def midi_bytes(arrangement: Arrangement) -> bytes:
    """The arrangement as a MIDI file.

    Every felt beat has its exact share of ticks, so a hit's tick is within half a tick of its time. A tempo change
    is written wherever two beats differ by more than MIDI's resolution of a microsecond. ``Trouble`` for a change
    that pretty_midi takes for an error, beyond ten million ticks.
    """
    import pretty_midi  # imported here: takes 70 ms

    count, quarters = arrangement.count, arrangement.metre.quarters_per_beat
    edges_s = np.append(count.beats_s, count.end_s)
    # Silence before the first beat becomes beats of an uncounted bar.
    lead = int(np.ceil(edges_s[0] / (60.0 / arrangement.tempo_bpm) - 1e-9))
    if lead:
        edges_s = np.concatenate([np.linspace(0.0, edges_s[0], lead + 1)[:-1], edges_s])
    tempo_us = _tempos(edges_s, quarters)
    timing, markers = _timing(arrangement, tempo_us, lead), _markers(arrangement, lead)
    try:
        midi = pretty_midi.PrettyMIDI(mido_object=_file(timing))
    except ValueError:
        raise Trouble("This record changes its tempo too late for a MIDI file.") from None
    written_s = np.concatenate([[0.0], np.cumsum(tempo_us * quarters / 1e6)])
    far_s = _FAR_BEATS * np.array([edges_s[-1] - edges_s[-2], written_s[-1] - written_s[-2]])
    midi.instruments = _instruments(
        arrangement.hits,
        np.append(edges_s, edges_s[-1] + far_s[0]),
        np.append(written_s, written_s[-1] + far_s[1]),
        float(np.diff(written_s).max()) / _ticks(1, quarters),
    )
    data = io.BytesIO()
    midi.write(data)
    own = io.BytesIO()
    end = mido.MetaMessage("end_of_track")
    name = mido.MetaMessage("track_name", name=arrangement.groove.encode("ascii", "replace").decode())
    _file(
        [(0, name), *sorted(timing + markers, key=lambda row: row[0]), (_ticks(len(tempo_us), quarters), end)]
    ).save(file=own)
    notes = data.getvalue()
    after = _HEAD_BYTES + 8 + int.from_bytes(notes[_HEAD_BYTES + 4 : _HEAD_BYTES + 8], "big")
    return notes[:_HEAD_BYTES] + own.getvalue()[_HEAD_BYTES:] + notes[after:]


def _ticks(beats: int, quarters: float) -> int:
    return round(beats * quarters * TICKS_PER_QUARTER)


def _file(events: _Events) -> mido.MidiFile:
    """A file of one track."""
    track, now = mido.MidiTrack(), 0
    for tick, message in events:
        track.append(message.copy(time=tick - now))
        now = tick
    return mido.MidiFile(ticks_per_beat=TICKS_PER_QUARTER, tracks=[track])


def _tempos(edges_s: Seconds, quarters: float) -> Ints:
    """Microseconds a quarter of every beat, as they are written."""
    tempo_us = np.rint(np.diff(edges_s) * 1e6 / quarters).astype(np.int64)
    for beat in range(1, len(tempo_us)):
        if abs(tempo_us[beat] - tempo_us[beat - 1]) <= 1:
            tempo_us[beat] = tempo_us[beat - 1]
    return tempo_us


def _timing(arrangement: Arrangement, tempo_us: Ints, lead: int) -> _Events:
    """Tempos and time signatures, by tick; at one tick the signature comes last."""
    metre = arrangement.metre
    found: _Events = []
    for beat in np.flatnonzero(np.diff(tempo_us, prepend=0)).tolist():
        message = mido.MetaMessage("set_tempo", tempo=int(tempo_us[beat]))
        found.append((_ticks(beat, metre.quarters_per_beat), message))
    # A bar lasts from one downbeat to the next; the first may be incomplete.
    starts = [0] if lead else []
    starts += [at + lead for at, beat in enumerate(arrangement.count.beat_in_bar.tolist()) if beat == 1 or at == 0]
    written = 0
    for start, end in zip(starts, [*starts[1:], len(tempo_us)], strict=True):
        numerator = (3 if metre.compound else 1) * (end - start)
        if numerator != written and numerator < 256:
            signature = mido.MetaMessage(
                "time_signature",
                numerator=numerator,
                denominator=metre.denominator,
                clocks_per_click=round(24 * metre.quarters_per_beat),
            )
            found.append((_ticks(start, metre.quarters_per_beat), signature))
            written = numerator
    return sorted(found, key=lambda row: row[0])


def _markers(arrangement: Arrangement, lead: int) -> _Events:
    """Pick-up, sections and phrases."""
    count = arrangement.count
    at = [(0, PICK_UP_MARKER)] if lead or (len(count) and count.bar_number[0] == 0) else []
    for section in arrangement.sections:
        at.append((int(np.argmin(np.abs(count.beats_s - section.start_s))) + lead, section.name))
    for row in np.flatnonzero((count.beat_in_bar == 1) & (count.bar_in_phrase == 1)).tolist():
        at.append((row + lead, f"{PHRASE_MARKER} {count.phrase_number[row]}"))
    quarters = arrangement.metre.quarters_per_beat
    return [(_ticks(beat, quarters), mido.MetaMessage("marker", text=text)) for beat, text in at]


def _instruments(hits: Hits, edges_s: Seconds, written_s: Seconds, tick_s: float) -> list[object]:
    """The hits as pretty_midi's instruments, drums first, on the clock of the file that is written.

    ``tick_s``: the longest tick, which a note lasts at least.
    """
    from pretty_midi import Instrument, Note

    start_s = np.interp(hits.onset_s, edges_s, written_s)
    end_s = np.interp(hits.onset_s + hits.duration_s, edges_s, written_s)
    velocity = np.clip(np.rint(hits.velocity * 127), 1, 127).astype(int)
    programs = GM_PROGRAMS | {SWEEP_TRACK: SWEEP_PROGRAM}
    tracks = {"drums": Instrument(0, is_drum=True, name="drums")}
    tracks |= {name: Instrument(program, name=name) for name, program in programs.items()}
    for at, name in enumerate(hits.voices):
        rows = np.flatnonzero(hits.voice == at)
        if not len(rows):  # the wood blocks of a replay are in no file
            continue
        track = tracks["drums" if name in GM_DRUMS else SWEEP_TRACK if name in SWEEP_NOTES else name]
        pitch = np.full(len(rows), (*GM_DRUMS.get(name, ()), SWEEP_NOTES.get(name, 0))[0])
        pitch = pitch if pitch.any() else hits.pitch[rows]
        until_s = start_s[rows] + 120 * tick_s if name in GM_DRUMS else end_s[rows]
        # A note ends where the same one begins again, at the latest.
        order = np.lexsort((start_s[rows], pitch))
        again = np.append(np.diff(pitch[order]) == 0, False)
        next_s = np.append(start_s[rows][order][1:], np.inf)
        until_s[order] = np.minimum(until_s[order], np.where(again, next_s, np.inf))
        until_s = np.maximum(until_s, start_s[rows] + tick_s)
        columns = (velocity[rows], pitch, start_s[rows], until_s)
        track.notes += [Note(*row) for row in zip(*(column.tolist() for column in columns), strict=True)]
    return [track for name, track in tracks.items() if track.notes or name == "drums"]


def write_midi(path: Path | str, arrangement: Arrangement) -> None:
    """Write the arrangement as a .mid file, whole or not at all. Raises ``Trouble``."""
    check_ending(Path(path), ENDINGS)
    write_bytes(path, midi_bytes(arrangement))
