"""How loud a recording is over its time, coarsely: a byte for each tenth of a second, kept beside its grid."""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats, Ints, Samples, Seconds
from synth.recording.grid import Grid
from synth.score.metre import Count

CELL_S = 0.1
# Steps of a dB, and the level of 0: silence.
STEPS, SILENCE_DB = 4, -63.75
# Bars on either side of a place that are compared, and those at both ends where no change is looked for.
BARS, EDGE_BARS = 4, 2
# Smallest change of the level that is one, and the fewest bars between two of them.
LEAST_DB, APART_BARS = 1.0, 4
MOST_CHANGES = 64


class OutlineWriter:
    """The outline of a stream of mono samples at ``rate_hz``, in blocks of any length."""

    def __init__(self, rate_hz: int) -> None:
        self._cell = max(1, round(CELL_S * rate_hz))
        self._rest: Samples = np.zeros(0, np.float32)
        self._power: list[Floats] = []

    def push(self, block: Samples) -> None:
        """The next samples (n,)."""
        whole = np.concatenate([self._rest, block]) if len(self._rest) else block
        cells = len(whole) // self._cell
        if cells:
            squares = np.square(whole[: cells * self._cell].astype(np.float64))
            self._power.append(squares.reshape(cells, self._cell).mean(axis=1))
        self._rest = whole[cells * self._cell :].copy()

    def done(self) -> bytes:
        """A byte a cell: 0 for silence, 255 for the power of a full-scale square wave, in quarters of a dB."""
        power = np.concatenate([np.zeros(0), *self._power])
        level_db = 10 * np.log10(np.maximum(power, 1e-12))
        cells: npt.NDArray[np.uint8] = np.clip(np.rint((level_db - SILENCE_DB) * STEPS), 0, 255).astype(np.uint8)
        return cells.tobytes()


def levels_db(outline: bytes, edges_s: Seconds) -> Floats:
    """Mean level between each edge and the next, dB of full scale, (n - 1,); silence where nothing is known."""
    cells: npt.NDArray[np.uint8] = np.frombuffer(outline, np.uint8)
    power = np.where(cells > 0, 10 ** ((cells / STEPS + SILENCE_DB) / 10), 0.0)
    total = np.concatenate([[0.0], np.cumsum(power)])
    at = np.clip(np.asarray(edges_s, np.float64) / CELL_S, 0, len(cells))
    until: Floats = np.interp(at, np.arange(len(total)), total)
    mean = np.diff(until) / np.maximum(np.diff(at), 1e-9)
    found: Floats = np.maximum(10 * np.log10(np.maximum(mean, 1e-12)), SILENCE_DB)
    return found


def beat_levels_db(outline: bytes, count: Count) -> Floats:
    """The level of each beat of a count, (n,)."""
    return levels_db(outline, np.append(count.beats_s, count.end_s))


def changes(grid: Grid, outline: bytes) -> Ints:
    """Bars (from 1) on which the recording becomes louder or softer, the greatest change first.

    Without an outline those are the first whole phrase after the intro, if there is one. ``ValueError`` for a grid
    that was refused.
    """
    if grid.refused is not None:
        raise ValueError("this recording has no grid")
    bar_s = grid.beats_per_bar * grid.beat_s
    bars = max(1, int((grid.steady_until_s - grid.one_s) / bar_s))
    if not outline:
        first = 1 + (grid.phrase_first if grid.intro_bars is None else grid.intro_bars)
        return np.array([first] if 1 < first <= bars else [], np.int64)
    edges_s: Seconds = grid.one_s + bar_s * np.arange(bars + 1, dtype=np.float64)
    level_db = levels_db(outline, edges_s)
    level_db = np.maximum(level_db, level_db.max() - 30)  # silence is not louder than all else by so much more
    total = np.concatenate([[0.0], np.cumsum(level_db)])
    at = np.arange(EDGE_BARS, bars - EDGE_BARS + 1)
    low, high = np.maximum(at - BARS, 0), np.minimum(at + BARS, bars)
    step_db = np.abs((total[high] - total[at]) / (high - at) - (total[at] - total[low]) / (at - low))
    found: list[int] = []
    for place in np.argsort(-step_db, kind="stable").tolist():
        if step_db[place] < LEAST_DB or len(found) >= MOST_CHANGES:
            break
        if all(abs(at[place] - other) >= APART_BARS for other in found):
            found.append(int(at[place]))
    return np.array(found, np.int64) + 1
