"""What a learner was tapping, whether or not it was asked for: the one, the three, every beat, half time.

Conventions: seconds from the start of the sound, sorted rows. Half and double time are real percepts (McKinney &
Moelants 2006, Music Perception 24, 155 ff.), so they are named and not only counted wrong.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from exercises.timing.circular import angles, direction
from synth.metre import Count, Ints, Seconds

# A rate counts as one time, half or double when it is within this factor of it: half of the way (on a ratio scale)
# from one rate to the next would be sqrt(2); tapping rates vary far less than this.
RATE_FACTOR = 1.25
# The least share of taps on one beat for "you were on the three".
STEADY_SHARE = 0.7
# Below this length of the mean direction taps have no common place in the beat: a spread of a fifth of the beat.
LEAST_LENGTH = 0.45
# From here on a tap lies between two beats rather than early or late on one, as a share of the beat.
BETWEEN_SHARE = 1 / 3


class Pattern(StrEnum):
    """What the taps followed."""

    SILENT = "silent"  # no tap at all
    FEW = "few"  # too few to tell
    TARGETS = "targets"  # what was asked
    EVERY_SECOND = "every second"  # every second target
    OTHER_BEAT = "other beat"  # steadily on another beat: ``beats`` names it
    MOVED = "moved"  # from one beat to another half-way: ``beats`` names both
    TWICE = "twice"  # twice as often as asked: ``beats`` names the two
    HALF_TIME = "half time"  # every second beat where every beat was asked: ``beats``
    EVERY_BEAT = "every beat"  # every beat where fewer were asked
    DOUBLE_TIME = "double time"  # twice in every beat
    BETWEEN = "between"  # steadily half-way between the beats
    ASTRAY = "astray"  # in time with the beat, on no beat in particular
    LOOSE = "loose"  # not in time with the beat


@dataclass(frozen=True, slots=True)
class Habit:
    """The pattern, the beats of the bar it names, and the share of the taps within one beat (R, 0 to 1)."""

    pattern: Pattern
    beats: tuple[int, ...] = ()
    length: float = 0.0


def nearest_beats(count: Count, taps_s: npt.ArrayLike) -> Ints:
    """Row of the count that each tap is nearest to; half-way goes to the earlier beat."""
    middles = (count.beats_s[1:] + count.beats_s[:-1]) / 2
    return np.searchsorted(middles, np.asarray(taps_s, dtype=np.float64), side="left").astype(np.int64)


def beat_shares(count: Count, taps_s: npt.ArrayLike) -> dict[int, float]:
    """Beat of the bar -> share of the taps nearest to it, over all beats of the count (zeros included)."""
    beats = count.beat_in_bar[nearest_beats(count, taps_s)]
    per_bar = int(count.beat_in_bar.max())
    return {beat: float(np.mean(beats == beat)) if beats.size else 0.0 for beat in range(1, per_bar + 1)}


def habit(targets_s: Seconds, taps_s: Seconds, count: Count, period_s: float, hits: int) -> Habit:
    """What ``taps_s`` followed, where ``hits`` of the targets were hit.

    Targets lie on beats of the count. All of them counts as "what was asked" from three quarters hit, with at most
    a quarter as many extra taps.
    """
    if not taps_s.size:
        return Habit(Pattern.SILENT)
    rows = nearest_beats(count, taps_s)
    mean = direction(angles(taps_s, count.beats_s[rows], period_s))
    if asked_for(len(targets_s), hits, taps_s.size) and (taps_s.size < 5 or mean.rayleigh_p < 0.05):
        return Habit(Pattern.TARGETS, length=mean.length)
    if taps_s.size < 4:
        return Habit(Pattern.FEW, length=mean.length)

    gap_beats = float(np.median(np.diff(taps_s))) / period_s
    if _near(gap_beats, 0.5):
        return Habit(Pattern.DOUBLE_TIME, length=mean.length)
    if mean.length < LEAST_LENGTH:
        return Habit(Pattern.LOOSE, length=mean.length)
    if abs(mean.mean_rad) > 2 * np.pi * BETWEEN_SHARE:
        return Habit(Pattern.BETWEEN, length=mean.length)

    target_rows = nearest_beats(count, targets_s)
    step = float(np.median(np.diff(target_rows))) if len(targets_s) > 1 else 1.0
    shares = beat_shares(count, taps_s)
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
        pattern, beats = Pattern.OTHER_BEAT, (order[0],)
    elif step > 1:
        half = taps_s.size // 2
        held = [_held(beat_shares(count, part)) for part in (taps_s[:half], taps_s[half:])]
        if all(len(each) == 1 for each in held) and held[0] != held[1]:
            pattern, beats = Pattern.MOVED, held[0] + held[1]
    return Habit(pattern, beats, mean.length)


def asked_for(targets: int, hits: int, taps: int) -> bool:
    """Whether so many hits among so many taps are the thing that was asked: three quarters hit, a quarter extra."""
    return 4 * hits >= 3 * targets and 4 * (taps - hits) <= targets


def _held(shares: dict[int, float]) -> tuple[int, ...]:
    """The one beat that holds most of the taps, or else the beats that together do."""
    top = max(shares, key=lambda beat: shares[beat])
    if shares[top] >= STEADY_SHARE:
        return (top,)
    return tuple(beat for beat in sorted(shares) if shares[beat] >= 0.25)


def _near(gap: float, of: float) -> bool:
    return of / RATE_FACTOR < gap < of * RATE_FACTOR
