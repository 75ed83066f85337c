"""How much later one encoding of a record is than another, by the attacks of a second in up to eight places.

These attacks (4 kB) are kept as a recording's anchors and travel with its grid, which can so be moved to the ms.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats, Samples
from synth.catalogue.correction import from_first_one
from synth.recording.grid import Grid

# Seconds at which anchors begin, their length, and how far apart two encodings may be.
PLACES_S = (5, 15, 30, 60, 90, 120, 180, 240)
LONG_S, REACH_S = 1.0, 0.2
# Samples of a cell at 22 050 Hz (1 ms), and cells of an anchor.
RATE_HZ, CELL = 22_050, 22
CELLS = 1000
# Levels that an attack is kept in, two in a byte.
LEVELS = 15
# A correlation of so much, in so many places, that agree within so many s.
ALIKE, FEWEST, AGREE_S = 0.6, 2, 0.002
# Anchors of the same samples differ in at most this share of their bytes, by the rounding of another decoder.
ROUNDED = 0.01


class AnchorWriter:
    """The anchors of a stream of mono samples at 22 050 Hz, in blocks of any length."""

    def __init__(self) -> None:
        self._starts = [place_s * RATE_HZ for place_s in PLACES_S]
        self._parts: list[list[Samples]] = [[] for _ in PLACES_S]
        self._at = 0

    def push(self, block: Samples) -> None:
        """The next samples (n,)."""
        for start, parts in zip(self._starts, self._parts, strict=True):
            low, high = max(start, self._at), min(start + CELLS * CELL + 1, self._at + len(block))
            if low < high:
                parts.append(block[low - self._at : high - self._at].copy())
        self._at += len(block)

    def done(self) -> bytes:
        """For each place within the sound: 500 bytes, one after the other."""
        out = b""
        for parts in self._parts:
            samples = np.concatenate([np.zeros(0, np.float32), *parts])
            if len(samples) < CELLS * CELL + 1:
                break
            power = np.square(np.diff(samples.astype(np.float64))).reshape(CELLS, CELL).mean(axis=1)
            size = np.sqrt(power)
            levels = np.rint(np.sqrt(size / max(float(size.max()), 1e-12)) * LEVELS).astype(np.uint8)
            out += (levels[::2] << 4 | levels[1::2]).tobytes()
        return out


def later_s(ours: bytes, theirs: bytes) -> tuple[float, float] | None:
    """How much later ``ours`` is than ``theirs`` in s, and how far the places differ about it.

    None where too few places agree on anything: another record, or one that plays at another speed.
    """
    found = np.array([late_s for late_s, alike in _each(ours, theirs) if alike > ALIKE])
    if len(found) < FEWEST:
        return None
    return float(np.median(found)), float(found.max() - found.min())


def same_samples(ours: bytes, theirs: bytes) -> bool:
    """Whether two files are decoded to the same samples, as copies with other tags are."""
    if len(ours) != len(theirs) or not ours:
        return False
    differ = np.frombuffer(ours, np.uint8) != np.frombuffer(theirs, np.uint8)
    return bool(differ.mean() <= ROUNDED)


def moved_to(grid: Grid, ours: bytes, theirs: bytes, duration_s: float) -> Grid | None:
    """A grid of ``theirs`` at the times of ``ours``; None where it cannot be placed within ``AGREE_S``.

    It is as it was where both have the same samples; else it is not sure: let a person listen.
    """
    if same_samples(ours, theirs):
        return grid
    late = later_s(ours, theirs)
    if late is None or late[1] > AGREE_S:
        return None
    by_s = late[0]
    start_s, until_s = max(0.0, grid.start_s + by_s), min(grid.steady_until_s + by_s, duration_s)
    moved = replace(grid, one_s=grid.one_s + by_s, start_s=start_s, steady_until_s=until_s, duration_s=duration_s)
    return from_first_one(replace(moved, sure=False))


def _each(ours: bytes, theirs: bytes) -> Iterator[tuple[float, float]]:
    """For each place of both: lateness in s, and the correlation there from 0 to 1."""
    for one, other in zip(_attacks(ours), _attacks(theirs), strict=False):
        if one.any() and other.any():
            yield _late(one, other)


def _attacks(anchors: bytes) -> Floats:
    """Attacks (places, cells)."""
    whole = len(anchors) // (CELLS // 2) * (CELLS // 2)
    both: npt.NDArray[np.uint8] = np.frombuffer(anchors[:whole], np.uint8).reshape(-1, CELLS // 2)
    levels: Floats = np.stack([both >> 4, both & LEVELS], axis=2).reshape(-1, CELLS).astype(np.float64)
    return levels


def _late(one: Floats, other: Floats) -> tuple[float, float]:
    """By the peak of the normalised correlation of what overlaps, and the vertex of the parabola through it."""
    reach = int(REACH_S * RATE_HZ / CELL)
    by_lag = np.array([_correlation(one, other, lag) for lag in range(-reach, reach + 1)])
    at = int(np.argmax(by_lag))
    shift = 0.0
    if 0 < at < len(by_lag) - 1:
        before, peak, after = by_lag[at - 1 : at + 2]
        if (bend := before - 2 * peak + after) < 0:
            shift = 0.5 * float(before - after) / float(bend)
    return (at - reach + shift) * CELL / RATE_HZ, float(by_lag[at])


def _correlation(one: Floats, other: Floats, lag: int) -> float:
    """That of ``one`` with ``other`` moved later by ``lag`` cells."""
    size = CELLS - abs(lag)
    first, second = one[max(0, lag) :][:size], other[max(0, -lag) :][:size]
    first, second = first - first.mean(), second - second.mean()
    scale = float(np.sqrt(np.square(first).sum() * np.square(second).sum()))
    return float(first @ second) / scale if scale > 0 else 0.0
