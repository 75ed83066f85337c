"""Which eighth of the bar is the one: all eight are scored together.

Evidence is folded over bars of eight eighths: the strength of the beats against the off-beats, low drums on one and
three against sharp ones on two and four (Goto 2001, J. New Music Research 30, 159-171, from memory), crashes, changes
of chord and bass, changes of level and colour over 4, 8 and 16 beats, and where the recording starts. The weights
were chosen on songs with known grids; no single change counts more than ``PEAK_MOST``.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats
from synth.recording.finding.novelty import novelty, peaks, standardised
from synth.recording.finding.onsets import Heard, around, first_sound, frame_at
from synth.recording.finding.tempo import BEAT_WEIGHTS

EIGHTHS = 8
# Seconds around an eighth in which its onset is looked for.
REACH_S = 0.03
# An eighth sounds above this share of the median energy.
SOUNDS = 0.01
# How much each kind of evidence weighs.
WEIGHTS = {
    "on": 1.2,
    "back": 0.7,
    "kick": 0.4,
    "crash": 0.3,
    "chord": 0.8,
    "bass": 0.8,
    "change 4": 0.8,
    "change 8": 1.2,
    "change 16": 1.2,
    "start": 0.9,
}
# A change counts at most so many deviations, and as if so much were spread over all places beforehand.
PEAK_MOST, SPREAD = 6.0, 6.0
# Size of a change that counts in full: of unit vectors, of levels in decades.
CHORD_SIZE, LEVEL_SIZE = 0.5, 1.5
QUIETEST = -2.5
# Weight of a start that is sudden, that swells, that is beside the grid; s beside it.
SUDDEN, SWELLS, ASTRAY, ASTRAY_S = 1.6, 0.6, 0.2, 0.04


@dataclass(frozen=True, slots=True, eq=False)
class Eighths:
    """A recording by eighths of the beat grid: times (n,), onset strength (7, n), slow spectra (n, ...).

    ``first`` and ``last`` sound; ``start_s`` is the first sound, ``sudden`` whether it is loud at once.
    """

    at_s: Floats
    onsets: Floats
    energies: Floats
    chords: Floats
    bass: Floats
    first: int
    last: int
    start_s: float
    sudden: bool

    @property
    def sounding(self) -> npt.NDArray[np.bool_]:
        """Which eighths (n,) lie between the first sound and the last."""
        at = np.arange(len(self.at_s))
        return (at >= self.first) & (at <= self.last)


def eighths(heard: Heard, beat_s: float, phase_s: float) -> Eighths:
    """The recording by eighths; ``phase_s`` is the time of any beat."""
    step_s = beat_s / 2
    number = np.arange(int(np.ceil((-0.02 - phase_s) / step_s)), int((heard.duration_s - phase_s) / step_s) + 1)
    at_s = phase_s + step_s * number.astype(np.float64)
    energies, chords, bass = heard.spectra.between(at_s)
    onsets = around(heard.onsets, frame_at(at_s), REACH_S).max(axis=2).astype(np.float64)
    loud = (10**energies).sum(axis=1)
    sounds = np.flatnonzero(loud > SOUNDS * np.median(loud[loud > 0]))
    first, last = (int(sounds[0]), int(sounds[-1])) if len(sounds) else (0, len(at_s) - 1)
    return Eighths(at_s, onsets, energies, chords, bass, first, last, *first_sound(heard))


def evidence(by: Eighths) -> dict[str, Floats]:
    """For each kind of evidence how much it speaks for each eighth of the bar as the one, (8,)."""
    sounding = by.sounding
    place = np.arange(len(by.at_s)) % EIGHTHS

    def folded(values: Floats) -> tuple[Floats, float]:
        inside = values[sounding]
        count = np.bincount(place[sounding], minlength=EIGHTHS)
        return np.bincount(place[sounding], inside, EIGHTHS) / np.maximum(count, 1), float(inside.std()) + 1e-9

    def later(values: Floats, by_eighths: int) -> Floats:
        return np.roll(values, -by_eighths)

    sharp, sharp_size = folded(by.onsets[3:6].mean(axis=0))
    low, low_size = folded(by.onsets[0])
    high, high_size = folded(by.onsets[6])
    whole, whole_size = folded(BEAT_WEIGHTS @ by.onsets)
    beats, offs = (sum(later(whole, at) for at in range(start, EIGHTHS, 2)) for start in (0, 1))
    level = np.maximum(by.energies - by.energies[sounding].mean(axis=0), QUIETEST)
    start = np.full(EIGHTHS, -1 / EIGHTHS)
    step_s = float(by.at_s[1] - by.at_s[0])
    first = round((by.start_s - float(by.at_s[0])) / step_s)
    start[first % EIGHTHS] += 1
    astray = abs(by.start_s - float(by.at_s[0]) - first * step_s) >= ASTRAY_S
    return {
        "on": (beats - offs) / 4 / whole_size,
        "back": (later(sharp, 2) + later(sharp, 6) - sharp - later(sharp, 4)) / 2 / sharp_size,
        "kick": (low + 0.5 * later(low, 4) - 0.75 * later(low, 2) - 0.75 * later(low, 6)) / low_size,
        "crash": (high - high.mean()) / high_size,
        "chord": _changes(by, novelty(by.chords, 4), 2, CHORD_SIZE),
        "bass": _changes(by, novelty(by.bass, 4), 2, CHORD_SIZE),
        **{f"change {n // 2}": _changes(by, novelty(level, n), 6, LEVEL_SIZE) for n in (8, 16, 32)},
        "start": start * (SUDDEN if by.sudden else SWELLS) * (ASTRAY if astray else 1.0),
    }


def _changes(by: Eighths, size: Floats, reach: int, full: float) -> Floats:
    """How much more of the changes falls on each eighth of the bar than by chance, times two; (8,)."""
    size = size.copy()
    size[: by.first + 1] = 0
    size[by.last :] = 0
    stands_out = np.maximum(0, standardised(peaks(size, reach))) ** 1.5
    counts = np.minimum(stands_out, PEAK_MOST) * np.minimum(1, size / full)
    shares = np.bincount(np.arange(len(size)) % EIGHTHS, counts, EIGHTHS)
    more: Floats = (shares + SPREAD / EIGHTHS) / (shares.sum() + SPREAD) * 2 - 2 / EIGHTHS
    return more


def scores(by: Eighths) -> Floats:
    """How well each eighth of the bar does as the one, (8,)."""
    found = evidence(by)
    total: Floats = np.sum([weight * found[kind] for kind, weight in WEIGHTS.items()], axis=0)
    return total
