"""What a learner tapped, whether or not it was asked for: beat one, beat three, every beat, half time.

Conventions: sorted seconds from the start of the sound. Half and double time are real percepts (McKinney & Moelants
2006, Music Perception 24, 155 ff.), so they are named and not only counted wrong.
"""

from dataclasses import dataclass
from enum import StrEnum
from statistics import median

import numpy as np
import numpy.typing as npt

from exercises.timing.circular import angles, direction
from exercises.timing.drift import Drift, own_drift
from exercises.trial.result import TapMarks
from synth.base.arrays import Ints, Seconds
from synth.score.metre import Count

# Factor within which a rate counts as single, half or double time. Half way between two rates is sqrt(2) on a ratio
# scale; tapping rates vary far less.
RATE_FACTOR = 1.25
# Double time: relative deviation of the rate from twice the beat's, and taps on the half beats.
DOUBLE_SHARE = 0.1
# Least share of taps on one beat to name it.
STEADY_SHARE = 0.7
# Least resultant length for a common position in the beat: a spread of a fifth of the beat.
LEAST_LENGTH = 0.45
# Distance from a beat, as a share of it, from which a tap lies between two beats.
BETWEEN_SHARE = 1 / 3


class Pattern(StrEnum):
    """What the taps followed."""

    SILENT = "silent"  # no tap
    FEW = "few"  # too few to tell
    TARGETS = "targets"  # the targets
    PARTLY = "partly"  # the targets, in a part of the trial only
    DRIFTED = "drifted"  # the targets, at a tempo of their own: ``drift``
    EVERY_SECOND = "every second"  # every second target
    OTHER_BEAT = "other beat"  # steadily another beat, or two others where the targets are on two: ``beats``
    MOVED = "moved"  # a change from one beat to another: ``beats``
    TWICE = "twice"  # twice as often as asked: ``beats`` has the two
    HALF_TIME = "half time"  # every second beat where every beat was asked: ``beats``
    EVERY_BEAT = "every beat"  # every beat where fewer were asked
    DOUBLE_TIME = "double time"  # twice in every beat
    FASTER = "faster"  # faster than the beat in no simple ratio
    BETWEEN = "between"  # steadily half-way between the beats
    ASTRAY = "astray"  # in time with the beat, on no beat in particular
    LOOSE = "loose"  # not in time with the beat


@dataclass(frozen=True, slots=True)
class Habit:
    """Pattern, beats of the bar, and resultant length of the taps in the beat (R, 0 to 1).

    ``drift`` is that of taps that left their targets.
    """

    pattern: Pattern
    beats: tuple[int, ...] = ()
    length: float = 0.0
    drift: Drift | None = None


def nearest_beats(count: Count, taps_s: npt.ArrayLike) -> Ints:
    """Row of the count nearest to each tap; the earlier beat in a tie."""
    middles = (count.beats_s[1:] + count.beats_s[:-1]) / 2
    return np.searchsorted(middles, np.asarray(taps_s, dtype=np.float64), side="left").astype(np.int64)


def beat_shares(count: Count, taps_s: npt.ArrayLike) -> dict[int, float]:
    """Beat of the bar -> share of the taps nearest to it, zeros included."""
    beats = count.beat_in_bar[nearest_beats(count, taps_s)]
    tapped = np.bincount(beats, minlength=int(count.beat_in_bar.max()) + 1).tolist()
    return {beat: taps / max(1, beats.size) for beat, taps in enumerate(tapped) if beat}


def habit(targets_s: Seconds, taps_s: Seconds, count: Count, period_s: float, marks: TapMarks) -> Habit:
    """Pattern of the counted taps ``taps_s``, where ``marks`` has their hits.

    Targets lie on beats of the count. For ``TARGETS`` three quarters must be hit, with at most a quarter as many
    extra taps.
    """
    if not taps_s.size:
        return Habit(Pattern.SILENT)
    rows = nearest_beats(count, taps_s)
    mean = direction(angles(taps_s, count.beats_s[rows], period_s))
    drift = own_drift(targets_s, taps_s)
    if drift is not None and not (drift.audible(period_s) and _left(drift, marks.window_ms / 1000)):
        drift = None
    if asked_for(len(targets_s), marks.hits, taps_s.size) and (taps_s.size < 5 or mean.rayleigh_p < 0.05):
        return Habit(Pattern.TARGETS, length=mean.length, drift=drift)
    if taps_s.size < 4:
        return Habit(Pattern.FEW, length=mean.length)

    if drift is not None:
        return Habit(Pattern.DRIFTED, length=mean.length, drift=drift)
    gaps_beats = (taps_s[1:] - taps_s[:-1]) / period_s
    gap_beats = median(gaps_beats.tolist())
    if abs(gap_beats / 0.5 - 1) <= DOUBLE_SHARE and _in_halves(taps_s, count, rows, period_s):
        return Habit(Pattern.DOUBLE_TIME, length=mean.length)
    if mean.length < LEAST_LENGTH or max(gap_beats, float(gaps_beats.mean())) < 1 / RATE_FACTOR:
        faster = max(gap_beats, float(gaps_beats.mean())) < 1 / RATE_FACTOR
        return Habit(Pattern.FASTER if faster else Pattern.LOOSE, length=mean.length)
    if _for_a_part(marks, taps_s.size):
        return Habit(Pattern.PARTLY, length=mean.length)
    if abs(mean.mean_rad) > 2 * np.pi * BETWEEN_SHARE:
        return Habit(Pattern.BETWEEN, length=mean.length)

    target_rows = nearest_beats(count, targets_s)
    step = float(median(np.diff(target_rows).tolist())) if len(targets_s) > 1 else 1.0
    shares = beat_shares(count, taps_s)
    asked = count.beat_in_bar[target_rows].tolist()
    no_beats: tuple[int, ...] = ()
    order = sorted(shares, key=lambda beat: (-shares[beat], beat))
    pattern, beats = Pattern.ASTRAY, no_beats
    if _near(gap_beats, 2 * step) and np.isin(rows, target_rows).mean() >= STEADY_SHARE:
        pattern, beats = (Pattern.HALF_TIME, _held(shares)) if step == 1 else (Pattern.EVERY_SECOND, no_beats)
    elif step > 1 and _near(gap_beats, 1.0):
        pattern = Pattern.EVERY_BEAT
    elif step > 2 and _near(gap_beats, step / 2) and shares[order[0]] + shares[order[1]] >= STEADY_SHARE:
        pattern, beats = Pattern.TWICE, tuple(sorted(order[:2]))
    elif step > 1 and shares[order[0]] >= STEADY_SHARE:
        if order[0] not in asked:
            pattern, beats = Pattern.OTHER_BEAT, (order[0],)
        else:  # the target beat, but too few taps or too far off
            pattern = Pattern.PARTLY if 2 * marks.hits >= taps_s.size else Pattern.BETWEEN
    elif step > 1:
        half = taps_s.size // 2
        held = [_held(beat_shares(count, part)) for part in (taps_s[:half], taps_s[half:])]
        if all(len(each) == 1 for each in held) and held[0] != held[1]:
            pattern, beats = Pattern.MOVED, held[0] + held[1]
        elif len(both := _held(shares)) == 2 == len(set(asked)) and set(asked).isdisjoint(both):
            pattern, beats = Pattern.OTHER_BEAT, both
    return Habit(pattern, beats, mean.length)


def asked_for(targets: int, hits: int, taps: int) -> bool:
    """Whether enough targets are hit, and extra taps are not too many."""
    return enough_hit(targets, hits) and not too_many(targets, taps - hits)


def enough_hit(targets: int, hits: int) -> bool:
    """Whether three quarters of the targets are hit."""
    return 4 * hits >= 3 * targets


def too_many(targets: int, extra: int) -> bool:
    """Whether extra taps are more than a quarter of the targets."""
    return 4 * extra > targets


def _for_a_part(marks: TapMarks, taps: int) -> bool:
    """Whether ``asked_for`` holds from the first target hit to the last."""
    if marks.hits < 4:
        return False
    return asked_for(int(marks.pairs[-1, 0] - marks.pairs[0, 0]) + 1, marks.hits, taps)


def _left(drift: Drift, window_s: float) -> bool:
    """Whether one end of the taps is at their targets and the other is not."""
    off_s = sorted((abs(drift.first_s), abs(drift.last_s)))
    return off_s[0] <= window_s < off_s[1]


def _in_halves(taps_s: Seconds, count: Count, rows: Ints, period_s: float) -> bool:
    """Whether taps agree in their position in half a beat (tapping 2.5 times a beat would spread them)."""
    return direction(angles(taps_s, count.beats_s[rows], period_s / 2)).length >= LEAST_LENGTH


def _held(shares: dict[int, float]) -> tuple[int, ...]:
    """The beat with most of the taps, or else the beats with at least a quarter each."""
    top = max(shares, key=lambda beat: shares[beat])
    if shares[top] >= STEADY_SHARE:
        return (top,)
    return tuple(beat for beat in sorted(shares) if shares[beat] >= 0.25)


def _near(gap: float, of: float) -> bool:
    return of / RATE_FACTOR < gap < of * RATE_FACTOR
