"""What a person sets right in a grid, one key each: pure functions from grid to grid.

``ValueError`` for a grid that was refused. Bars are those of ``Grid.count``: bar 1 begins at ``one_s``.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from synth.recording.grid import Grid

# Bars of a phrase that can be asked for.
PHRASES = (4, 8, 16)
# BPM that half and double stay within.
TEMPOS_BPM = (30.0, 300.0)
# A one may lie so many beats before the first sound.
BEFORE_BEATS = 0.1
# Taps that lie further from the beats than this share of one say that the beats are between those of the grid.
OFF_BEAT = 0.35


def earlier(grid: Grid) -> Grid:
    """The ones a beat earlier."""
    return moved(grid, -1)


def later(grid: Grid) -> Grid:
    """The ones a beat later."""
    return moved(grid, 1)


def moved(grid: Grid, beats: float) -> Grid:
    """Ones, phrases and the end of the intro moved by so many beats."""
    _check(grid)
    return from_first_one(replace(grid, one_s=grid.one_s + beats * grid.beat_s))


def half(grid: Grid) -> Grid:
    """Half the tempo; ones stay where phrases begin. Phrases keep their length, but not below 4 bars."""
    _check(grid)
    odd = grid.phrase_first % 2
    slower = replace(
        grid,
        tempo_bpm=_tempo(grid.tempo_bpm / 2),
        octave_confidence=1.0,
        one_s=grid.one_s + odd * grid.beats_per_bar * grid.beat_s,
        phrase_bars=max(PHRASES[0], grid.phrase_bars // 2),
        phrase_first=(grid.phrase_first - odd) // 2,
        intro_bars=None if grid.intro_bars is None else max(0, grid.intro_bars - odd) // 2,
    )
    return from_first_one(slower)


def double(grid: Grid) -> Grid:
    """Twice the tempo. Phrases keep their length, but not above 16 bars."""
    _check(grid)
    faster = replace(
        grid,
        tempo_bpm=_tempo(grid.tempo_bpm * 2),
        octave_confidence=1.0,
        phrase_bars=min(PHRASES[-1], grid.phrase_bars * 2),
        phrase_first=grid.phrase_first * 2,
        intro_bars=None if grid.intro_bars is None else grid.intro_bars * 2,
    )
    return from_first_one(faster)


def one_at(grid: Grid, taps_s: Sequence[float]) -> Grid:
    """The ones on the beats nearest to where somebody tapped them, s from the start of the recording.

    The mean direction of the taps on the circle of a bar counts (Fisher 1993, Statistical Analysis of Circular Data,
    2.3, from memory). Taps that agree on a place between two beats move the beats by half of one. ``ValueError``
    without taps, or where they lie all over the bar.
    """
    _check(grid)
    if not len(taps_s):
        raise ValueError("no taps")
    in_bar = (np.asarray(taps_s, np.float64) - grid.one_s) / grid.beat_s / grid.beats_per_bar
    mean = np.exp(2j * np.pi * in_bar).mean()
    if abs(mean) < 0.5:
        raise ValueError("the taps do not agree on one place in the bar")
    beats = float(np.angle(mean)) / (2 * np.pi) * grid.beats_per_bar
    whole = round(beats)
    if abs(beats - whole) > OFF_BEAT:
        return moved(grid, whole + (0.5 if beats > whole else -0.5))
    return moved(grid, whole) if whole else grid


def phrase_at(grid: Grid, bar: int, phrase_bars: int | None = None) -> Grid:
    """A phrase begins with a bar, counted from 1; phrases of another length if given."""
    _check(grid)
    length = grid.phrase_bars if phrase_bars is None else phrase_bars
    if length not in PHRASES:
        raise ValueError(f"phrases of {length} bars: 4, 8 or 16 expected")
    return replace(grid, phrase_bars=length, phrase_first=(bar - 1) % length)


def intro_ends(grid: Grid, bars: int | None) -> Grid:
    """The intro lasts so many bars; None: there is none to speak of."""
    _check(grid)
    if bars is not None and not 0 <= bars * grid.beats_per_bar * grid.beat_s <= grid.steady_until_s:
        raise ValueError(f"an intro of {bars} bars is longer than the recording")
    return replace(grid, intro_bars=bars)


def _check(grid: Grid) -> None:
    if grid.refused is not None:
        raise ValueError("this recording has no grid to correct")


def _tempo(tempo_bpm: float) -> float:
    low, high = TEMPOS_BPM
    if not low <= tempo_bpm <= high:
        raise ValueError(f"{tempo_bpm:g} BPM: {low:g} to {high:g} expected")
    return tempo_bpm


def from_first_one(grid: Grid) -> Grid:
    """The same beats, bar 1 being the first that begins with a sound; phrases and intro stay where they are.

    Where there is no intro there is none afterwards.
    """
    bar_s = grid.beats_per_bar * grid.beat_s
    earliest_s = grid.start_s - BEFORE_BEATS * grid.beat_s
    bars = int(np.ceil((earliest_s - grid.one_s) / bar_s - 1e-9))
    intro = max(0, grid.intro_bars - bars) if grid.intro_bars else grid.intro_bars
    first = (grid.phrase_first - bars) % grid.phrase_bars
    return replace(grid, one_s=grid.one_s + bars * bar_s, phrase_first=first, intro_bars=intro)
