"""Which tap belongs to which target.

Conventions: targets and taps are one-dimensional float64 seconds, sorted; a pair is (target index, tap index).
The matching is one-to-one, has the most pairs that a window allows, and among those the smallest total error.

Two pairs that cross can always be uncrossed without loss: the larger of the two errors does not grow, nor does
their sum. So some best matching runs in order, and a monotone dynamic programme finds it. Stretches that no pair
within the window can link are solved apart; in music nearly all of them hold one target and one tap.
"""

import numpy as np
import numpy.typing as npt

from synth.metre import Ints, Seconds

# Stretches up to this many targets and taps are solved together, in one table; longer ones one by one.
SHORT = 24


def match(targets_s: npt.ArrayLike, taps_s: npt.ArrayLike, window_s: float) -> Ints:
    """Pairs (k, 2) of target index and tap index with ``|tap - target| <= window_s``, in order of time.

    ``ValueError`` where either row is unsorted, not finite or not one-dimensional, or the window is no positive
    number of seconds.
    """
    targets, taps = _row("targets", targets_s), _row("taps", taps_s)
    if not 0 < window_s < np.inf:
        raise ValueError(f"window {window_s}: a positive number of seconds expected")
    if not (targets.size and taps.size):
        return np.empty((0, 2), dtype=np.int64)

    # Both rows merged in order of time; ties keep targets first.
    times = np.concatenate([targets, taps])
    order = np.argsort(times, kind="stable")
    is_target = order < targets.size
    times = times[order]
    target_times = np.where(is_target, times, -np.inf)
    tap_times = np.where(is_target, -np.inf, times)
    # A link runs across a gap when the last target before it and the first tap after it are within the window,
    # or the other way about. Where no link runs, the row is cut.
    last_target = np.maximum.accumulate(target_times)[:-1]
    last_tap = np.maximum.accumulate(tap_times)[:-1]
    next_target = _first_from(np.where(is_target, times, np.inf))[1:]
    next_tap = _first_from(np.where(is_target, np.inf, times))[1:]
    cut = np.minimum(next_tap - last_target, next_target - last_tap) > window_s
    stretch = np.concatenate([[0], np.cumsum(cut)])

    targets_in = np.bincount(stretch, weights=is_target).astype(np.int64)
    taps_in = np.bincount(stretch).astype(np.int64) - targets_in
    first_target = np.cumsum(targets_in) - targets_in
    first_tap = np.cumsum(taps_in) - taps_in

    both = (targets_in > 0) & (taps_in > 0)
    plain = both & (targets_in == 1) & (taps_in == 1)
    long = both & (np.maximum(targets_in, taps_in) > SHORT)
    short = both & ~plain & ~long
    found = [np.column_stack([first_target[plain], first_tap[plain]])]
    if short.any():
        t, p = first_target[short], first_tap[short]
        row, i, j = _side_by_side(
            _table(targets, t, targets_in[short], np.inf), _table(taps, p, taps_in[short], -np.inf), window_s
        )
        found.append(np.column_stack([t[row] + i, p[row] + j]))
    for s in np.flatnonzero(long).tolist():
        t0, p0 = int(first_target[s]), int(first_tap[s])
        pairs = _one_long(targets[t0 : t0 + int(targets_in[s])], taps[p0 : p0 + int(taps_in[s])], window_s)
        found.append(pairs + np.array([t0, p0]))
    if len(found) == 1:
        return found[0]
    pairs = np.concatenate(found)
    return pairs[np.argsort(pairs[:, 0], kind="stable")]


# Both dynamic programmes go through the targets one by one. `best[j]` is the worth of the best matching of the
# targets so far with the first j taps. A pair is worth more than all errors together, so that the number of pairs
# comes first: (pairs at most + 1) - error / window.


def _side_by_side(targets: Seconds, taps: Seconds, window_s: float) -> tuple[Ints, Ints, Ints]:
    """Best matchings of many short stretches at once: (stretch, target in it, tap in it) of every pair.

    ``targets`` (stretches, n) and ``taps`` (stretches, m) are filled up with infinities of opposite sign.
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

    # Back from the end with j taps left: the first tap at which the row reached its worth was paired, unless the
    # targets before had made that worth already.
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
    """Stretches of a row as the rows of a table, filled up at the end."""
    columns = np.arange(int(lengths.max()))
    places = np.minimum(first[:, None] + columns, times_s.size - 1)
    return np.where(columns < lengths[:, None], times_s[places], fill)


def _one_long(targets: Seconds, taps: Seconds, window_s: float) -> Ints:
    """Best matching (k, 2) of one long stretch.

    Only taps within the window of a target can change its row; beyond the last tap in reach, ``best`` is flat.
    """
    n, m = targets.size, taps.size
    # The band is cut a hair wide, then held to the exact comparison: t - window is rounded, |tap - t| is the truth.
    slack = window_s * (1 + 1e-9) + 1e-12 * float(np.abs(targets[[0, -1]]).max())
    lows = np.searchsorted(taps, targets - slack, side="left").tolist()
    highs = np.searchsorted(taps, targets + slack, side="right").tolist()
    pair_worth = min(n, m) + 1.0
    best = np.zeros(m + 1)
    reach = 0  # best[reach:] is flat; what lies beyond `reach` is filled in when a band gets there
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

    # Back from the end, with the first j taps left: the worth at j was first reached at the left end of its plateau;
    # there the target was either paired or had left the worth as the targets before it made it.
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


def _first_from(times: Seconds) -> Seconds:
    """For each place, the smallest value from there to the end."""
    return np.minimum.accumulate(times[::-1])[::-1]


def _row(name: str, times_s: npt.ArrayLike) -> Seconds:
    """The times as a row, or ``ValueError`` naming the row and what is wrong with it."""
    row = np.asarray(times_s, dtype=np.float64)
    if row.ndim != 1:
        raise ValueError(f"{name} of shape {row.shape}: one row of seconds expected")
    if not np.all(np.isfinite(row)):
        raise ValueError(f"{name}: finite seconds expected")
    falls = np.flatnonzero(np.diff(row) < 0)
    if falls.size:
        i = int(falls[0])
        raise ValueError(f"{name} must be sorted by time: {row[i + 1]:g} follows {row[i]:g}")
    return row
