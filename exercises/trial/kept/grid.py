"""Times and counts in short form, for files: regular beats as first, period and number. Both ways are exact.

Times are float64 seconds. What a run of equal steps does not give to the last bit is kept as the difference in units
in the last place, one digit a time; what is not regular is kept as it is.
"""

from collections.abc import Iterable, Sequence
from typing import Annotated

import numpy as np
from msgspec import Meta, Struct

from synth.base.arrays import Ints, Seconds
from synth.base.border import Unfit
from synth.score.metre import Count

# Far above any trial: an hour at 240 BPM has 14 400 beats.
MOST_BEATS = 20_000
MOST_NUMBER = 1_000_000
# Fewest times of a run, and largest difference from the first step in seconds.
FEWEST, ALIKE_S = 4, 1e-9
# Shortest step of a run, in seconds: far above what the digits can move a time by.
LEAST_S = 0.001
# Digits of ``Run.ulps``: this one is no difference, and the largest is as far above it as "0" is below.
EVEN = 4

Second = Annotated[float, Meta(ge=-MOST_NUMBER, le=MOST_NUMBER)]
Whole = Annotated[int, Meta(ge=0, le=MOST_NUMBER)]
Length = Annotated[int, Meta(ge=1, le=MOST_BEATS)]
Beat = Annotated[int, Meta(ge=1, le=32)]


class Run(Struct, array_like=True, frozen=True):
    """The ``n`` times ``k * period_s + offset_s`` for k from ``first`` on, then moved by ``ulps`` (see above)."""

    offset_s: Second
    period_s: Annotated[float, Meta(ge=LEAST_S, le=MOST_NUMBER)]
    first: Whole
    n: Length
    ulps: Annotated[str, Meta(pattern="^[0-8]*$", max_length=MOST_BEATS)] = ""


class Rows(Struct, array_like=True, frozen=True):
    """The ``n`` rows ``first``, ``first + step``, ... of a count."""

    first: Whole
    step: Length
    n: Length


class Bars(Struct, array_like=True, frozen=True):
    """``beats`` rows of numbers that count on from these four, with a new phrase after ``phrase_bars`` (0: never)."""

    phrase_number: Whole
    bar_number: Whole
    bar_in_phrase: Whole
    beat_in_bar: Beat
    beats: Length
    per_bar: Beat
    phrase_bars: Whole


Times = Annotated[list[Run | Second], Meta(max_length=MOST_BEATS)]
Numbers = Annotated[list[Bars], Meta(max_length=MOST_BEATS)]


def pack_times(times_s: Seconds, periods_s: Iterable[float] = (), firsts: Iterable[int] = (0,)) -> list[Run | float]:
    """Times (n,) in short form. With the right one among ``periods_s`` and ``firsts`` no digits remain."""
    packed: list[Run | float] = []
    at = 0
    while at < len(times_s):
        stretch = times_s[at : at + _regular(times_s[at:])]
        run = _run(stretch, periods_s, firsts) if len(stretch) >= FEWEST else None
        packed.append(float(times_s[at]) if run is None else run)
        at += 1 if run is None else run.n
    return packed


def unpack_times(packed: Iterable[Run | float]) -> Seconds:
    """The reverse of ``pack_times``, for what ``check_times`` lets pass."""
    parts = [_times(each) if isinstance(each, Run) else np.array([each], dtype=np.float64) for each in packed]
    return np.concatenate([np.empty(0), *parts])


def check_times(name: str, packed: Sequence[Run | float]) -> tuple[int, float]:
    """Number of times and the last one, in no time; ``Unfit`` with ``name`` where they do not increase strictly."""
    n, last_s = 0, -np.inf
    for each in packed:
        first_s = end_s = float(each) if not isinstance(each, Run) else each.first * each.period_s + each.offset_s
        n += 1
        if isinstance(each, Run):
            end_s = (each.first + each.n - 1) * each.period_s + each.offset_s
            n += each.n - 1
            if each.ulps and (len(each.ulps) != each.n or first_s < LEAST_S):
                raise Unfit(f"{name!r}: a digit for each time above 0 expected")
        # The digits move a time by less than a thousandth of that.
        if first_s < last_s + LEAST_S:
            raise Unfit(f"{name!r}: seconds, increasing strictly, expected")
        last_s = end_s
    if n > MOST_BEATS:
        raise Unfit(f"{name!r}: at most {MOST_BEATS} times expected")
    return n, last_s


def check_rows(name: str, packed: Sequence[Rows], below: int) -> None:
    """``Unfit`` with ``name`` unless the rows rise and are those of a count of ``below`` beats."""
    last = -1
    for each in packed:
        if each.first <= last:
            raise Unfit(f"{name!r}: rising rows expected")
        last = each.first + each.step * (each.n - 1)
    if last >= below:
        raise Unfit(f"{name!r}: rows of a count of {below} beats expected")


def _regular(times_s: Seconds) -> int:
    """How many times from the first on are equally far apart."""
    steps_s = times_s[1:] - times_s[:-1]
    other = np.flatnonzero(np.abs(steps_s - steps_s[:1]) > ALIKE_S)
    return 1 + int(other[0] if other.size else steps_s.size)


def _run(times_s: Seconds, periods_s: Iterable[float], firsts: Iterable[int]) -> Run | None:
    """The run with fewest digits; None where none is within their reach."""
    mean_s = float(times_s[-1] - times_s[0]) / (len(times_s) - 1)
    near = [each for each in dict.fromkeys(periods_s) if abs(each - mean_s) <= ALIKE_S]
    best, fewest = None, len(times_s) + 1
    for period_s in [*near, mean_s]:
        for first in dict.fromkeys((*firsts, 0)):
            offset_s = float(times_s[0]) - first * period_s
            for moved_s in (offset_s, *(float(np.nextafter(offset_s, to)) for to in (-np.inf, np.inf))):
                run = Run(moved_s, period_s, first, len(times_s))
                made_s = _times(run)
                if made_s[0] < LEAST_S or times_s[0] < LEAST_S:  # the bits of a negative number run the other way
                    continue
                ulps = times_s.view(np.int64) - made_s.view(np.int64)
                digits = int(np.count_nonzero(ulps))
                if digits < fewest and np.abs(ulps).max() <= EVEN:
                    best, fewest = (run, ulps), digits
                if not digits:
                    return run
    if best is None:
        return None
    run, ulps = best
    return Run(run.offset_s, run.period_s, run.first, run.n, "".join(map(str, (ulps + EVEN).tolist())))


def _times(run: Run) -> Seconds:
    times_s: Seconds = np.arange(run.first, run.first + run.n, dtype=np.float64) * run.period_s + run.offset_s
    if not run.ulps:
        return times_s
    moved = np.frombuffer(run.ulps.encode(), dtype=np.uint8).astype(np.int64) - (ord("0") + EVEN)
    moved_s: Seconds = (times_s.view(np.int64) + moved).view(np.float64)
    return moved_s


def pack_rows(rows: Ints) -> list[Rows]:
    """Rising row numbers (n,) as stretches of equal steps."""
    packed: list[Rows] = []
    at = 0
    while at < len(rows):
        steps = rows[at + 1 :] - rows[at:-1]
        other = np.flatnonzero(steps != steps[:1])
        n = 1 + int(other[0] if other.size else steps.size)
        packed.append(Rows(int(rows[at]), int(steps[0]) if n > 1 else 1, n))
        at += n
    return packed


def unpack_rows(packed: Sequence[Rows]) -> Ints:
    """The reverse of ``pack_rows``, for what ``check_rows`` lets pass."""
    parts = [each.first + each.step * np.arange(each.n, dtype=np.int64) for each in packed]
    return np.concatenate([np.empty(0, dtype=np.int64), *parts])


def pack_numbers(count: Count, per_bar: int, phrase_bars: int) -> list[Bars]:
    """The numbers of a count in stretches, as long as they can be with one of these lengths of bar and phrase."""
    columns = np.array([count.phrase_number, count.bar_number, count.bar_in_phrase, count.beat_in_bar])
    packed: list[Bars] = []
    at = 0
    while at < len(count):
        phrase, bar, in_phrase, beat = columns[:, at].tolist()
        tried = (
            Bars(phrase, bar, in_phrase, beat, len(count) - at, each, length)
            for each in dict.fromkeys((per_bar, 32))
            if beat <= each
            for length in (phrase_bars, 0)
        )
        longest, n = None, 0
        for each in tried:
            if (like := _alike(columns[:, at:], each)) > n:
                longest, n = each, like
            if at + n == len(count):
                break
        assert longest is not None
        packed.append(Bars(phrase, bar, in_phrase, beat, n, longest.per_bar, longest.phrase_bars))
        at += n
    return packed


def _alike(columns: Ints, bars: Bars) -> int:
    """How many columns from the first on are as ``bars`` says."""
    wrong = np.flatnonzero((columns != _numbers(bars)).any(axis=0))
    return int(wrong[0]) if wrong.size else columns.shape[1]


def _numbers(bars: Bars) -> Ints:
    """Phrase, bar, bar in phrase and beat in bar, (4, beats)."""
    beats = bars.beat_in_bar - 1 + np.arange(bars.beats, dtype=np.int64)
    on = beats // bars.per_bar
    in_phrase = bars.bar_in_phrase + on
    phrase = np.full_like(on, bars.phrase_number)
    if bars.phrase_bars and bars.bar_in_phrase:
        phrase += (in_phrase - 1) // bars.phrase_bars - (bars.bar_in_phrase - 1) // bars.phrase_bars
        in_phrase = (in_phrase - 1) % bars.phrase_bars + 1
    numbers: Ints = np.array([phrase, bars.bar_number + on, in_phrase, beats % bars.per_bar + 1])
    return numbers


def unpack_count(beats_s: Iterable[Run | float], numbers: Sequence[Bars], end_s: float) -> Count:
    """The count of packed times and as many numbers."""
    phrase, bar, in_phrase, beat = np.concatenate([_numbers(each) for each in numbers], axis=1)
    return Count(unpack_times(beats_s), beat, bar, in_phrase, phrase, end_s)
