"""Assignment of taps to targets.

Conventions: targets and taps are sorted float64 seconds, (n,); a pair is (target index, tap index). The matching is
one-to-one, has the most pairs that the window allows, and among those the smallest total error.

Crossing pairs can be uncrossed without increasing the larger error or the sum, so some optimal matching is monotone
and dynamic programming finds it. Stretches that no pair within the window can link are solved separately; in music
nearly all of them hold one target and one tap.
"""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Seconds

# Largest stretch solved together with others in one table; longer ones are solved one by one.
SHORT = 24


def match(targets_s: npt.ArrayLike, taps_s: npt.ArrayLike, window_s: float) -> Ints:
    """Pairs (k, 2) of target index and tap index with ``|tap - target| <= window_s``, in order of time.

    ``ValueError`` where a row is unsorted, not finite or not one-dimensional, or the window is not positive.
    """
    targets, taps = _row("targets", targets_s), _row("taps", taps_s)
    if not 0 < window_s < np.inf:
        raise ValueError(f"window {window_s}: a positive number of seconds expected")
    if not (targets.size and taps.size):
        return np.empty((0, 2), dtype=np.int64)

    # Both ends of the reach increase, so a stretch ends where the next target shares no tap with this one.
    low, high = _reach(targets, taps, window_s)
    mate = np.where(high > low, low, -1)  # tap of each target, or -1
    target = np.flatnonzero(high > low)
    if not target.size:
        return np.empty((0, 2), dtype=np.int64)
    low, high = low[target], high[target]
    joined = low[1:] < high[:-1]
    begins = np.concatenate([[0], np.flatnonzero(~joined) + 1])
    ends = np.append(begins[1:], target.size)
    targets_in, taps_in = ends - begins, high[ends - 1] - low[begins]

    largest = np.maximum(targets_in, taps_in)
    short, long = np.flatnonzero((largest > 1) & (largest <= SHORT)), np.flatnonzero(largest > SHORT)
    if short.size:
        # Targets without a tap in reach are absent: look a stretch's targets up through `target`.
        t, p = begins[short], low[begins[short]]
        those = _table(targets[target], t, targets_in[short], np.inf)
        row, i, j = _side_by_side(those, _table(taps, p, taps_in[short], -np.inf), window_s)
        mate[target[np.repeat(largest > 1, targets_in)]] = -1
        mate[target[t[row] + i]] = p[row] + j
    for s in long.tolist():
        rows, first = target[begins[s] : ends[s]], int(low[begins[s]])
        pairs = _one_long(targets[rows], taps[first : first + int(taps_in[s])], window_s)
        mate[rows] = -1
        mate[rows[pairs[:, 0]]] = first + pairs[:, 1]

    target = np.flatnonzero(mate >= 0)
    tap = mate[target]
    held = np.abs(taps[tap] - targets[target]) <= window_s  # exact test: the reach is slightly wide
    return np.array([target[held], tap[held]], dtype=np.int64).T


def _reach(targets: Seconds, taps: Seconds, window_s: float) -> tuple[Ints, Ints]:
    """First tap in reach of each target, and the first beyond it.

    Slightly wide because of rounding; ``|tap - target| <= window`` is tested later.
    """
    wide_s = window_s * (1 + 1e-9) + 1e-12 * float(max(abs(targets[0]), abs(targets[-1])))
    low: Ints = taps.searchsorted(targets - wide_s, "left")
    high: Ints = taps.searchsorted(targets + wide_s, "right")
    return low, high


# Both dynamic programmes process the targets in order. `best[j]` is the value of the best matching of the targets so
# far with the first j taps. A pair is worth more than all errors together: (most pairs + 1) - error / window.


def _side_by_side(targets: Seconds, taps: Seconds, window_s: float) -> tuple[Ints, Ints, Ints]:
    """Best matchings of many short stretches at once: (stretch, target in it, tap in it) of every pair.

    ``targets`` (stretches, n) and ``taps`` (stretches, m) are padded with infinities of opposite sign.
    """
    stretches, n = targets.shape
    m = taps.shape[1]
    pair_worth = min(n, m) + 1.0
    errors = np.abs(taps[:, None, :] - targets[:, :, None])
    worth = np.where(errors <= window_s, pair_worth - errors / window_s, -np.inf)
    best = np.zeros((n + 1, stretches, m + 1))
    for i in range(n):
        np.maximum(best[i, :, :-1] + worth[:, i], best[i, :, 1:], out=best[i + 1, :, 1:])
        np.maximum.accumulate(best[i + 1, :, 1:], axis=1, out=best[i + 1, :, 1:])

    # Backtrack with j taps left: the first tap at which the row reached its value was paired, unless the targets
    # before reached that value already.
    everyone = np.arange(stretches)
    j = np.full(stretches, m)
    found: list[tuple[Ints, Ints, Ints]] = []
    for i in range(n - 1, -1, -1):
        now = best[i + 1, everyone, j]
        first = np.argmax(best[i + 1] >= now[:, None], axis=1)
        paired = np.flatnonzero(best[i, everyone, first] < now)
        j[paired] = first[paired] - 1
        found.append((paired, np.full(paired.size, i), j[paired]))
    row, target, tap = (np.concatenate(column) for column in zip(*found, strict=True))
    return row, target, tap


def _table(times_s: Seconds, first: Ints, lengths: Ints, fill: float) -> Seconds:
    """Stretches of a row as the rows of a padded table."""
    columns = np.arange(int(lengths.max()))
    places = np.minimum(first[:, None] + columns, times_s.size - 1)
    return np.where(columns < lengths[:, None], times_s[places], fill)


def _one_long(targets: Seconds, taps: Seconds, window_s: float) -> Ints:
    """Best matching (k, 2) of one long stretch.

    Only taps within the window of a target change its row; ``best`` is constant beyond the last tap in reach.
    """
    n, m = targets.size, taps.size
    lows, highs = (ends.tolist() for ends in _reach(targets, taps, window_s))
    pair_worth = min(n, m) + 1.0
    best = np.zeros(m + 1)
    reach = 0  # best[reach:] is constant and is filled in when needed
    rows: list[tuple[Seconds, npt.NDArray[np.bool_]]] = []
    for target, low, high in zip(targets.tolist(), lows, highs, strict=True):
        if high > reach:
            best[reach + 1 : high + 1] = best[reach]
            reach = high
        errors = taps[low:high] - target
        np.abs(errors, out=errors)
        paired = best[low:high] - errors / window_s
        paired += pair_worth
        if high > low and max(errors[0], errors[-1]) > window_s:
            paired[errors > window_s] = -1.0
        before = best[low + 1 : high + 1]
        take = paired > before
        np.maximum(paired, before, out=paired)
        after = np.maximum.accumulate(paired, out=paired)
        before[:] = after
        rows.append((after, take))

    # Backtrack with the first j taps left: the value at j was reached first at the left end of its plateau; there
    # the target was paired, or the targets before had reached the value.
    pairs: list[tuple[int, int]] = []
    j = m
    for i in range(n - 1, -1, -1):
        low, (after, take) = lows[i], rows[i]
        j = min(j, highs[i])
        if j <= low:
            continue
        k = int(np.searchsorted(after, after[j - low - 1], side="left"))
        if take[k]:
            j = low + k
            pairs.append((i, j))
    return np.array(pairs[::-1], dtype=np.int64).reshape(-1, 2)


def _row(name: str, times_s: npt.ArrayLike) -> Seconds:
    """The times as an array. Raises ``ValueError`` where they are not one finite, sorted row."""
    row = np.asarray(times_s, dtype=np.float64)
    if row.ndim != 1:
        raise ValueError(f"{name} of shape {row.shape}: one row of seconds expected")
    if not np.isfinite(row).all():
        raise ValueError(f"{name}: finite seconds expected")
    falls = row[1:] < row[:-1]
    if np.count_nonzero(falls):
        i = int(falls.argmax())
        raise ValueError(f"{name} must be sorted by time: {row[i + 1]:g} follows {row[i]:g}")
    return row
