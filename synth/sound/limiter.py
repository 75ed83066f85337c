"""Look-ahead limiter: holds true peaks under the ceiling, unity gain elsewhere.

The gain is computed in cells of 16 frames aligned to the record's first frame, and each cell's reduction reaches a
fixed distance to both sides. So a record limited in pieces equals the record limited whole, as long as every piece
has ``reach`` frames around it.
"""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Samples

CELL = 16
CEILING_DBTP = -1.0  # EBU R 128 allows true peaks up to -1 dBTP
# Margin of 0.3 dB: oversampling finer than the fourfold of BS.1770 annex 2 finds slightly higher peaks.
CEILING = 10 ** ((CEILING_DBTP - 0.3) / 20)
# Between samples a sine at a quarter of the rate rises 3 dB above them: below this no search is needed.
SEARCH_FROM = float(CEILING * 10 ** (-3.2 / 20))
_ATTACK_S, _RELEASE_S = 0.0015, 0.060
_TAPS = 24
_AT_ONCE = 64  # cells in one matrix product: small enough not to start a second thread


def _interpolator() -> npt.NDArray[np.float32]:
    """Fourfold oversampling of one cell as a matrix, (frames seen, 3 * 16): windowed sinc of 24 taps."""
    at = np.arange(_TAPS)[:, None] - (_TAPS // 2 - 1) - np.array([0.25, 0.5, 0.75])
    kernel = np.sinc(at) * np.i0(6.0 * np.sqrt(np.maximum(0, 1 - (at / (_TAPS / 2)) ** 2))) / np.i0(6.0)
    kernel /= kernel.sum(axis=0)
    matrix = np.zeros((CELL + _TAPS - 1, CELL, 3), dtype=np.float32)
    for frame in range(CELL):
        matrix[frame : frame + _TAPS, frame] = kernel
    return matrix.reshape(CELL + _TAPS - 1, CELL * 3)


_MATRIX = _interpolator()
_BEFORE = _TAPS // 2 - 1


def reach(sample_rate_hz: int) -> int:
    """Frames on either side of a piece that its limiting depends on: a whole number of cells."""
    return CELL * (-(-round(_RELEASE_S * sample_rate_hz) // CELL) + 4)


def loud_cells(out: Samples, cells: Ints) -> Ints:
    """Those of ``cells`` (sorted) with samples above ``SEARCH_FROM``."""
    whole = len(out) // CELL
    heard = out[: whole * CELL].reshape(whole, 2 * CELL)[cells[cells < whole]]
    near = (heard >= SEARCH_FROM) | (heard <= -SEARCH_FROM)
    loud = np.flatnonzero(near.view(np.uint64).any(axis=1))  # tests eight booleans at a time
    # The last, shorter cell is always included.
    return np.concatenate([cells[loud], cells[len(heard) :]])


def true_peaks(out: Samples, cells: Ints, above: float = CEILING) -> npt.NDArray[np.float32]:
    """Highest magnitude in each of ``cells`` at fourfold oversampling, (cells,).

    Where the curvature is too small for a peak above ``above`` between two samples, the sample peak is returned.
    """
    frames = cells[:, None] * CELL + np.arange(-_BEFORE, CELL + _TAPS // 2)
    heard = out[np.clip(frames, 0, len(out) - 1)]
    outside = (frames < 0) | (frames >= len(out))
    if outside.any():
        heard[outside] = 0
    peaks: Samples = np.abs(heard[:, _BEFORE : _BEFORE + CELL]).max(axis=(1, 2))
    around = heard[:, _BEFORE - 1 : _BEFORE + CELL + 2]
    bend = np.abs(around[:, 2:] - 2 * around[:, 1:-1] + around[:, :-2]).max(axis=(1, 2))
    bent = np.flatnonzero(peaks + 0.5 * bend > above)
    for some in np.split(bent, range(_AT_ONCE, len(bent), _AT_ONCE)):
        sides = np.ascontiguousarray(heard[some].transpose(0, 2, 1)).reshape(2 * len(some), heard.shape[1])
        between = np.abs(sides @ _MATRIX).reshape(len(some), 2 * _MATRIX.shape[1])
        peaks[some] = np.maximum(peaks[some], between.max(axis=1))
    return peaks


def limit(out: Samples, cells: Ints, sample_rate_hz: int) -> int:
    """Turn ``out`` (frames, 2) down in place around those of ``cells`` that exceed the ceiling.

    Returns the number of such cells. Attack 1.5 ms, release 60 ms.
    """
    if not len(cells):
        return 0
    peaks = true_peaks(out, cells)
    over = peaks > CEILING
    cells, need = cells[over], (1 - CEILING / peaks[over]).astype(np.float32)
    if not len(cells):
        return 0
    attack = -(-round(_ATTACK_S * sample_rate_hz) // CELL)
    release = -(-round(_RELEASE_S * sample_rate_hz) // CELL)
    # The full reduction also holds in the neighbouring cells: no interpolated value is too small.
    rise = 0.5 - 0.5 * np.cos(np.linspace(0, np.pi, attack + 2)[1:-1])
    fall = 0.5 + 0.5 * np.cos(np.linspace(0, np.pi, release + 2)[1:-1])
    shape = np.concatenate([rise, np.ones(3), fall]).astype(np.float32)
    for group in np.split(np.arange(len(cells)), np.flatnonzero(np.diff(cells) > len(shape)) + 1):
        first = int(cells[group[0]]) - attack - 2
        curve = np.zeros(int(cells[group[-1]]) - first + release + 4, dtype=np.float32)
        for cell, share in zip((cells[group] - attack - 1 - first).tolist(), need[group].tolist(), strict=True):
            place = curve[cell : cell + len(shape)]
            np.maximum(place, shape * np.float32(share), out=place)
        _turn_down(out, first, curve)
    return len(cells)


def _turn_down(out: Samples, first_cell: int, curve: npt.NDArray[np.float32]) -> None:
    """Multiply by ``1 - curve``, whose values stand at the cells' centres and are linearly interpolated."""
    steps = (np.arange(CELL, dtype=np.float32) + 0.5) / CELL
    lines = curve[:-1, None] + np.diff(curve)[:, None] * steps
    begin = first_cell * CELL + CELL // 2
    low, high = max(begin, 0), min(begin + lines.size, len(out))
    out[low:high] *= (1 - lines.ravel()[low - begin : high - begin])[:, None]
