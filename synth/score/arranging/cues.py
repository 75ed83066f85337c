"""Cues: by what the one of a record is told from the other beats of the bar, read off its hits."""

from __future__ import annotations

from collections import Counter
from enum import Flag
from functools import lru_cache, reduce
from operator import or_
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Seconds
from synth.score.arranging.turns import LAST_BARS
from synth.score.departures import Departure
from synth.score.hits import DRUMS as DRUM_NAMES
from synth.score.hits import SHARP_DRUMS

if TYPE_CHECKING:
    from synth.score.arranging.arrangement import Arrangement
    from synth.score.metre import Count

Bools = npt.NDArray[np.bool_]
# What sounds in each beat of a bar, packed, and in how many bars.
Bars = Counter[tuple[bytes, ...]]


class Cue(Flag):
    """What differs between the one and another beat. The numbers are kept with trials: they never change."""

    KICK = 1  # a kick on the one, none on the other
    DRUM = 2  # another drum on the one, not on the other
    BACKBEAT = 4  # a sharp drum on the other, none on the one
    PATTERN = 8  # the drums' bar is another one when counted from there
    BASS = 16  # the bass' bar is another one, or its notes change on the one alone
    CHORDS = 32  # the same of stabs and pads
    TUNE = 64  # the same of lead and voice
    CRASH = 128  # a crash or an impact falls on a one
    TURN = 256  # a phrase turns, and signals say so


ALL_CUES = sum(cue.value for cue in Cue)
DRUMS = Cue.KICK | Cue.DRUM | Cue.BACKBEAT | Cue.PATTERN
MUSIC = Cue.BASS | Cue.CHORDS | Cue.TUNE
PARTS = {Cue.BASS: ("bass",), Cue.CHORDS: ("stab", "pad"), Cue.TUNE: ("pluck", "voice")}
CRASHES = ("crash", "impact")
# Share of the bars in which a drum of the one sounds at least, and one that is not of a beat at most.
OFTEN, SELDOM = 0.9, 0.1
# Share of the bars that must differ: patterns of two bars may do so in one of them.
SOME = 0.25
# Velocity above ghost notes.
LOUD = 0.48
# Parts of a beat in which places are compared; a hit less than half of one early belongs to the beat.
STEPS = 24


@lru_cache(maxsize=2)  # asked for when a trial is marked, and again when it is kept
def cues(arrangement: Arrangement) -> tuple[Cue, ...]:
    """What tells the one from the second beat of the bar, from the third, and so on, as far as it is heard.

    Of the drums those bars count that have no fill; ghost notes and crashes do not.
    """
    count, hits, per_bar = arrangement.count, arrangement.hits, arrangement.metre.beats_per_bar
    row, step = _places(count, hits.grid_s)

    def of(*names: str) -> Bools:
        """Hits of these voices."""
        found: Bools = _among(hits.voices, names)[hits.voice]
        return found

    heard = (row >= 0) & (row < len(count))
    crashed = heard & of(*CRASHES)
    crash_beats = count.beat_in_bar[row[crashed & (step == 0) & (row > 0)]]

    struck = heard & of(*DRUM_NAMES) & ~crashed & (hits.velocity > LOUD)
    drums = _grid(count, row[struck], step[struck], hits.voice[struck])
    plain = _plain(arrangement, drums)
    on = [drums[plain & (count.beat_in_bar == beat), 0] for beat in range(1, per_bar + 1)]
    share = [beat.mean(axis=0) if len(beat) else np.zeros(drums.shape[2]) for beat in on]
    kick, sharp = (_among(hits.voices, names)[: drums.shape[2]] for names in (("kick",), SHARP_DRUMS))
    bars = _whole_bars(drums, count, plain, per_bar)
    parts = {}
    for cue, voices in PARTS.items():
        part = heard & of(*voices)
        if part.any():
            pitch = np.unique(hits.pitch[part], return_inverse=True)[1]
            notes = _grid(count, row[part], step[part], pitch)
            sounding: Bools = np.logical_or.reduce(notes, axis=(1, 2))
            parts[cue] = _whole_bars(notes, count, sounding, per_bar), _changes(notes, count, sounding)

    turns = any(turn.signals and turn.time_s > count.beats_s[0] for turn in arrangement.turns)
    found = []
    for beat in range(2, per_bar + 1):
        own = (share[0] >= OFTEN) & (share[beat - 1] <= SELDOM)
        others = (share[beat - 1] >= OFTEN) & (share[0] <= SELDOM)
        told = {
            Cue.KICK: np.count_nonzero(own & kick) > 0,
            Cue.DRUM: np.count_nonzero(own & ~kick) > 0,
            Cue.BACKBEAT: np.count_nonzero(others & sharp) > 0,
            Cue.PATTERN: _differs(bars, beat),
            Cue.CRASH: 1 in crash_beats and beat not in crash_beats,
            Cue.TURN: turns,
        }
        for cue, (figure, changes) in parts.items():
            told[cue] = _differs(figure, beat) or (1 in changes and beat not in changes)
        found.append(reduce(or_, (cue for cue, tells in told.items() if tells), Cue(0)))
    return tuple(found)


@lru_cache(maxsize=16)
def _among(voices: tuple[str, ...], names: tuple[str, ...]) -> Bools:
    """Which voices are among the names: (voices,)."""
    return np.array([voice in names for voice in voices], dtype=np.bool_)


def _in_bars_of(bars: Ints, beats: Ints | Bools) -> Bools:
    """Which beats, (n,), lie in a bar of some of them; ``bars`` are their numbers."""
    found = np.zeros(int(bars.max(initial=0)) + 1, dtype=np.bool_)
    found[bars[beats]] = True
    inside: Bools = found[bars]
    return inside


def _places(count: Count, grid_s: Seconds) -> tuple[Ints, Ints]:
    """Row of the count and step of its beat, from 0, of every hit; rows outside the count where there is no beat."""
    edges_s = np.append(count.beats_s, count.end_s)
    beat_s = np.diff(edges_s)
    before_s = np.append(beat_s, beat_s[-1]) / STEPS / 2
    row = np.searchsorted(edges_s - before_s, grid_s, side="right") - 1
    within = row.clip(0, len(beat_s) - 1)
    step = np.rint((grid_s - edges_s[within]) / beat_s[within] * STEPS).astype(np.int64)
    return row, step.clip(0, STEPS - 1)


def _grid(count: Count, row: Ints, step: Ints, thing: npt.NDArray[np.integer]) -> Bools:
    """Which things sound where: (beats, STEPS, things)."""
    found = np.zeros((len(count), STEPS, int(thing.max(initial=0)) + 1), dtype=np.bool_)
    found[row, step, thing] = True
    return found


def _plain(arrangement: Arrangement, drums: Bools) -> Bools:
    """Beats of bars with drums and without a fill, if there is such a bar as a whole: (beats,)."""
    count, bars = arrangement.count, arrangement.count.bar_number
    drummed = _in_bars_of(bars, np.logical_or.reduce(drums, axis=(1, 2)))
    filled_s = [odd.start_s for odd in arrangement.exceptions if odd.kind == Departure.FALSE_FILL]
    filled_s += [turn.time_s - 0.1 for turn in arrangement.turns if set(LAST_BARS) & set(turn.signals)]
    filled = np.searchsorted(count.beats_s, filled_s, side="right") - 1
    # The last bar may end with a fill whose turn is not heard.
    unlike = np.append(filled[filled >= 0], len(count) - 1)
    plain = drummed & ~_in_bars_of(bars, unlike)
    whole = np.bincount(bars[plain]).max(initial=0) >= arrangement.metre.beats_per_bar
    found: Bools = plain if whole else drummed
    return found


def _whole_bars(grid: Bools, count: Count, wanted: Bools, per_bar: int) -> Bars:
    """The whole bars in which a beat is ``wanted``."""
    ones = np.flatnonzero(count.beat_in_bar == 1)
    rows = ones[ones + per_bar <= len(count), None] + np.arange(per_bar)
    rows = rows[wanted[rows].any(axis=1) & (count.beat_in_bar[rows[:, -1]] == per_bar)]
    beats = [each.tobytes() for each in np.packbits(grid.reshape(len(grid), -1), axis=1)]
    return Counter(tuple([beats[row] for row in bar]) for bar in rows.tolist())


def _differs(bars: Bars, beat: int) -> bool:
    """Whether one bar in four, at least, is another one when counted from ``beat``."""
    unlike = sum(times for bar, times in bars.items() if bar[beat - 1 :] + bar[: beat - 1] != bar)
    return bool(bars) and unlike >= SOME * bars.total()


def _changes(notes: Bools, count: Count, sounding: Bools) -> Ints:
    """Beats of the bar on which the notes are others than those before."""
    rows = np.flatnonzero(sounding)
    pitches = np.logical_or.reduce(notes[rows], axis=1)
    changed: Bools = np.logical_or.reduce(pitches[1:] != pitches[:-1], axis=1)
    beats: Ints = np.unique(count.beat_in_bar[rows[1:][changed]])
    return beats
