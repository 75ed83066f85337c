"""Whether music is counted in four: its pattern against itself, so many beats later.

The autocorrelation of what each beat sounds like peaks at the length of the bar (after Brown 1993, JASA 94,
1953-1957, from memory).
"""

import numpy as np

from synth.base.arrays import Floats
from synth.recording.finding.downbeat import Eighths
from synth.recording.finding.onsets import FRAMES_PER_S, Bands, around, frame_at, moving_mean

BEATS = (2, 3, 4, 5, 6, 7, 8)
# Seconds around a beat, beats over which a slow change is taken away.
REACH_S, MEAN_BEATS = 0.03, 33
# Six counts against four only if it stands out from two, four and eight by so much.
SIX = 0.05
# Another metre must itself recur so much: without drums little does, and chance decides.
RECURS = 0.2


def recurrence(onsets: Bands, beats_s: Floats) -> dict[int, float]:
    """How alike beats are that lie 2 to 8 apart, 1 for the same."""
    beat_s = float(beats_s[1] - beats_s[0])
    marks = [frame_at(beats_s) + int(by * beat_s * FRAMES_PER_S) for by in (0, 0.5)]
    inside = (marks[0] >= 0) & (marks[1] < onsets.shape[1])
    rows = [around(onsets, mark[inside], REACH_S).mean(axis=2) for mark in marks]
    pattern = np.concatenate(rows).astype(np.float64)
    pattern -= np.stack([moving_mean(row, MEAN_BEATS) for row in pattern])
    n = pattern.shape[1]
    power = float((pattern**2).sum()) / max(1, n) + 1e-9
    return {by: float((pattern[:, by:] * pattern[:, :-by]).sum()) / max(1, n - by) / power for by in BEATS if n > by}


def fours(alike: dict[int, float]) -> float:
    """How much better four beats recur than three, five, six or seven; below 0 it is another metre."""
    if 8 not in alike:
        return 0.0
    even = max(alike[4], alike[8])
    six = alike[6] if alike[6] - max(alike[4], alike[8], alike[2]) > SIX else -1.0
    other = max(alike[3], alike[5], alike[7], six)
    return even - other if other > RECURS else max(0.0, even - other)


def beats_of(by: Eighths, one: int) -> Floats:
    """Times of the beats of a grid whose eighth ``one`` is a one."""
    beats: Floats = by.at_s[one % 2 :: 2]
    return beats
