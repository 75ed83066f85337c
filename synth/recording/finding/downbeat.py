"""Which eighth of the bar is the one: all eight are scored together.

Evidence is folded over bars of eight eighths: the strength of the beats against the off-beats, low drums on one and
three against sharp ones on two and four (Goto 2001, J. New Music Research 30, 159-171, from memory), crashes, and
where the recording starts. Chords, bass, levels and drums change on ones: cut into pieces of a bar, or two, from an
eighth on, a recording falls into pieces that differ most from each other if that eighth is the one (the share of
variance between pieces, as in a one-way analysis of variance). Scores are log odds; the weights were fitted to songs
with known grids by logistic regression, none below zero, and rounded.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats, Seconds
from synth.recording.finding.onsets import Heard, around, first_sound, frame_at
from synth.recording.finding.tempo import BEAT_WEIGHTS

EIGHTHS = 8
# The first eighth may lie so many s before the recording: its attack is within it.
EARLIEST_S = -0.02
# Seconds around an eighth in which its onset is looked for.
REACH_S = 0.03
# An eighth sounds above this share of the median energy.
SOUNDS = 0.01
# How much each kind of evidence weighs.
WEIGHTS = {
    "on": 1.2,
    "back": 0.6,
    "kick": 0.5,
    "crash": 0.2,
    "start": 0.9,
    "chord 8": 1.6,
    "chord 16": 1.1,
    "bass 8": 0.6,
    "bass 16": 0.6,
    "level 8": 0.6,
    "level 16": 0.9,
    "drums 8": 1.0,
    "drums 16": 0.7,
}
# Eighths of the pieces whose variance is compared; how much more of it than on the mean counts in full.
PIECES = (8, 16)
FULL = {"chord": 0.1, "bass": 0.1, "level": 0.04, "drums": 0.02}
QUIETEST = -2.5
# Weight of a start that is sudden, and of one that swells, by a Gaussian of the s that it is beside the grid: a
# recording that was cut begins anywhere.
SUDDEN, SUDDEN_S, SWELLS, SWELLS_S = 1.6, 0.015, 0.6, 0.04


@dataclass(frozen=True, slots=True, eq=False)
class Eighths:
    """A recording by eighths of the beat grid: times (n,), onset strength (7, n), slow spectra (n, ...).

    ``first`` and ``last`` sound; ``start_s`` is the first sound, ``sudden`` whether it is loud at once.
    """

    at_s: Seconds
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


def every(step_s: float, phase_s: float, duration_s: float) -> Seconds:
    """Times (n,) a step apart, from some ms before a recording until it ends; ``phase_s`` is one of them."""
    number = np.arange(int(np.ceil((EARLIEST_S - phase_s) / step_s)), int((duration_s - phase_s) / step_s) + 1)
    return phase_s + step_s * number.astype(np.float64)


def eighths(heard: Heard, beat_s: float, phase_s: float) -> Eighths:
    """The recording by eighths; ``phase_s`` is the time of any beat."""
    at_s = every(beat_s / 2, phase_s, heard.duration_s)
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
    start = np.full(EIGHTHS, -1 / EIGHTHS)
    step_s = float(by.at_s[1] - by.at_s[0])
    first = round((by.start_s - float(by.at_s[0])) / step_s)
    start[first % EIGHTHS] += 1
    astray_s = by.start_s - float(by.at_s[0]) - first * step_s
    trusted, within_s = (SUDDEN, SUDDEN_S) if by.sudden else (SWELLS, SWELLS_S)
    return {
        "on": (beats - offs) / 4 / whole_size,
        "back": (later(sharp, 2) + later(sharp, 6) - sharp - later(sharp, 4)) / 2 / sharp_size,
        "kick": (low + 0.5 * later(low, 4) - 0.75 * later(low, 2) - 0.75 * later(low, 6)) / low_size,
        "crash": (high - high.mean()) / high_size,
        "start": start * trusted * float(np.exp(-0.5 * (astray_s / within_s) ** 2)),
        **_differences(by),
    }


def _differences(by: Eighths) -> dict[str, Floats]:
    """How much better than on the mean each eighth of the bar parts what changes, up to 1, (8,) each."""
    level = np.maximum(by.energies - by.energies[by.sounding].mean(axis=0), QUIETEST)
    kinds = {"chord": by.chords, "bass": by.bass, "level": level, "drums": by.onsets.T}
    found = {}
    for kind, rows in kinds.items():
        for size in PIECES:
            parted = np.roll(between(rows[by.first : by.last + 1], size), by.first % size)
            best = parted.reshape(-1, EIGHTHS).max(axis=0)
            found[f"{kind} {size}"] = np.tanh((best - best.mean()) / FULL[kind])
    return found


def between(rows: Floats, size: int) -> Floats:
    """The share of the variance of rows (n, features) that lies between pieces of ``size`` rows, by where the first
    whole piece begins, (size,)."""
    n = len(rows)
    about = rows - rows.mean(axis=0)
    sums = np.concatenate([np.zeros((1, rows.shape[1])), np.cumsum(about, axis=0)])
    total = float(np.square(about).sum()) + 1e-9
    shares = np.zeros(size)
    for first in range(size):
        ends = np.unique(np.concatenate([[0], np.arange(first, n + 1, size), [n]]))
        shares[first] = (np.square(np.diff(sums[ends], axis=0)).sum(axis=1) / np.diff(ends)).sum() / total
    return shares


def scores(by: Eighths) -> Floats:
    """How well each eighth of the bar does as the one, log odds (8,)."""
    found = evidence(by)
    total: Floats = np.sum([weight * found[kind] for kind, weight in WEIGHTS.items()], axis=0)
    return total
