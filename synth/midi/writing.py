"""Write Standard MIDI Files; reading is in ``synth.midi.reading``.

Type 1, 960 ticks a quarter, drums on channel 10 by General MIDI, tempo, time signature, sections and phrases as
markers; bass, chords, pad, lead, voice and sweeps on separate tracks and channels.
"""

from collections import defaultdict
from pathlib import Path

import mido
import numpy as np

from synth.base.arrays import Ints, Seconds
from synth.base.files import check_ending, replace_with
from synth.midi.general_midi import (
    DRUM_CHANNEL,
    ENDINGS,
    GM_DRUMS,
    GM_PROGRAMS,
    PHRASE_MARKER,
    PICK_UP_MARKER,
    SWEEP_NOTES,
    SWEEP_PROGRAM,
    SWEEP_TRACK,
)
from synth.score.arrangement import Arrangement

TICKS_PER_QUARTER = 960

_Notes = dict[int, list[tuple[int, int, int]]]  # note -> hits: tick on, tick off, velocity


def to_midi(arrangement: Arrangement) -> mido.MidiFile:
    """The arrangement as a MIDI file in memory.

    Every felt beat has its exact share of ticks, so a hit's tick is within half a tick of its time. A tempo change
    is written wherever two beats differ by more than MIDI's resolution of a microsecond.
    """
    count = arrangement.count
    beat_ticks = round(TICKS_PER_QUARTER * arrangement.metre.quarters_per_beat)
    edges_s = np.append(count.beats_s, count.end_s)
    numbers = count.beat_in_bar
    # Silence before the first beat becomes beats of an uncounted bar.
    lead = int(np.ceil(edges_s[0] / (60.0 / arrangement.tempo_bpm) - 1e-9))
    if lead:
        edges_s = np.concatenate([np.linspace(0.0, edges_s[0], lead + 1)[:-1], edges_s])
    ticks = np.arange(len(edges_s)) * beat_ticks
    midi = mido.MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER)
    midi.tracks.append(_conductor(arrangement, edges_s, numbers, lead, beat_ticks))
    last_s = np.diff(edges_s)[-1]
    # Extrapolate beyond the last beat: the tail may hold hits.
    far_s, far_ticks = np.append(edges_s, edges_s[-1] + 64 * last_s), np.append(ticks, ticks[-1] + 64 * beat_ticks)
    hits = arrangement.hits
    onset_ticks = np.rint(np.interp(hits.onset_s, far_s, far_ticks)).astype(np.int64)
    off_ticks = np.rint(np.interp(hits.onset_s + hits.duration_s, far_s, far_ticks)).astype(np.int64)
    tracks: defaultdict[str, _Notes] = defaultdict(lambda: defaultdict(list))
    for tick, off, voice, velocity, pitch in zip(
        onset_ticks.tolist(),
        off_ticks.tolist(),
        hits.voice.tolist(),
        np.clip(np.rint(hits.velocity * 127), 1, 127).tolist(),
        hits.pitch.tolist(),
        strict=True,
    ):
        name = hits.voices[voice]
        if name in GM_DRUMS:
            tracks["drums"][GM_DRUMS[name][0]].append((tick, tick + TICKS_PER_QUARTER // 8, int(velocity)))
        elif name in SWEEP_NOTES:
            tracks[SWEEP_TRACK][SWEEP_NOTES[name]].append((tick, off, int(velocity)))
        else:
            tracks[name][pitch].append((tick, off, int(velocity)))
    midi.tracks.append(_track("drums", DRUM_CHANNEL, None, tracks["drums"]))
    programs = GM_PROGRAMS | {SWEEP_TRACK: SWEEP_PROGRAM}
    for channel, (name, program) in enumerate(programs.items()):
        if name in tracks:
            midi.tracks.append(_track(name, channel, program, tracks[name]))
    return midi


def _conductor(
    arrangement: Arrangement, edges_s: Seconds, beat_in_bar: Ints, lead: int, beat_ticks: int
) -> mido.MidiTrack:
    metre, count = arrangement.metre, arrangement.count
    tempo_us = np.rint(np.diff(edges_s) * 1e6 / metre.quarters_per_beat).astype(int)
    found: list[tuple[int, mido.MetaMessage]] = []
    before = 0
    for beat, us in enumerate(tempo_us.tolist()):
        if abs(us - before) > 1:
            found.append((beat * beat_ticks, mido.MetaMessage("set_tempo", tempo=us)))
            before = us
    # A bar lasts from one downbeat to the next; the first may be incomplete.
    starts = [0] if lead else []
    starts += [at + lead for at, beat in enumerate(beat_in_bar.tolist()) if beat == 1 or at == 0]
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
            found.append((start * beat_ticks, signature))
            written = numerator
    if lead or (len(count) and count.bar_number[0] == 0):
        found.append((0, mido.MetaMessage("marker", text=PICK_UP_MARKER)))
    beats = count.beats_s
    for section in arrangement.sections:
        at = int(np.argmin(np.abs(beats - section.start_s))) + lead
        found.append((at * beat_ticks, mido.MetaMessage("marker", text=section.name)))
    for at in np.flatnonzero((count.beat_in_bar == 1) & (count.bar_in_phrase == 1)).tolist():
        found.append(
            ((at + lead) * beat_ticks, mido.MetaMessage("marker", text=f"{PHRASE_MARKER} {count.phrase_number[at]}"))
        )
    track = mido.MidiTrack(
        [mido.MetaMessage("track_name", name=arrangement.groove.encode("ascii", "replace").decode())]
    )
    _append(track, found)
    track.append(mido.MetaMessage("end_of_track", time=max(0, len(tempo_us) * beat_ticks - max(t for t, _ in found))))
    return track


def _append(track: mido.MidiTrack, found: list[tuple[int, mido.Message]]) -> None:
    now = 0
    for tick, message in sorted(found, key=lambda pair: pair[0]):
        track.append(message.copy(time=tick - now))
        now = tick


def _track(name: str, channel: int, program: int | None, notes: _Notes) -> mido.MidiTrack:
    """Notes as on and off messages; an off never falls after the next on of the same note."""
    found: list[tuple[int, int, mido.Message]] = []
    for note, hits in notes.items():
        for (tick, until, velocity), following in zip(hits, [*hits[1:], None], strict=True):
            off = max(tick + 1, min(until, following[0]) if following else until)
            found.append((tick, 1, mido.Message("note_on", channel=channel, note=note, velocity=velocity)))
            found.append((off, 0, mido.Message("note_off", channel=channel, note=note)))
    found.sort(key=lambda row: row[:2])
    track = mido.MidiTrack([mido.MetaMessage("track_name", name=name)])
    if program is not None:
        track.append(mido.Message("program_change", channel=channel, program=program))
    _append(track, [(tick, message) for tick, _, message in found])
    return track


def write_midi(path: Path | str, arrangement: Arrangement) -> None:
    """Write the arrangement as a .mid file, whole or not at all. Raises ``Trouble``."""
    check_ending(Path(path), ENDINGS)
    midi = to_midi(arrangement)
    with replace_with(path) as beside:
        midi.save(str(beside))
