"""What is kept of a recording for its analysis, in one pass over its samples: onset strength, attacks, level.

Onset strength is the positive spectral flux of log magnitudes in seven bands (Bello et al. 2005, IEEE Trans. Speech
Audio Process. 13, 1035-1047; log compression after Klapuri, Eronen & Astola 2006, IEEE Trans. Audio Speech Lang.
Process. 14, 342-355; both from memory). Bands, frame and compression were chosen on songs with known grids.

Conventions: mono float32 samples at ``RATE_HZ``; frame k of the flux is centred on sample ``k * HOP``.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats, Ints, Samples
from synth.recording.finding.growing import Growing
from synth.recording.finding.spectra import FRAME as LONG_FRAME
from synth.recording.finding.spectra import HOP as LONG_HOP
from synth.recording.finding.spectra import Spectra, SpectraWriter

Bands = npt.NDArray[np.float32]

RATE_HZ = 22_050
HOP, FRAME = 128, 512
FRAMES_PER_S = RATE_HZ / HOP
# Edges of the bands in Hz: kick, bass, low middle, snare body, snare, sticks, hats.
EDGES_HZ = (30, 110, 220, 500, 1200, 3000, 6500, 11_025)
BANDS = len(EDGES_HZ) - 1
# Frames between the two magnitudes that are compared (12 ms).
LAG = 2
# Magnitudes are compressed as log(1 + COMPRESSION x), x relative to the recording's level.
COMPRESSION = 60.0
# The level is that of so many seconds from the start, so that a long recording need not be kept.
LEVEL_S = 600
# Samples of a cell of attack power (0.5 ms) and of a cell of the level (5 ms).
CELL, LEVEL_CELL = 11, 110
# Samples taken at a time (12 s), a multiple of both cells.
BLOCK = 2400 * LEVEL_CELL
# Onset strength: the mean of so many seconds is taken away; a peak counts at most this often the root mean square.
MEAN_S, MOST = 1.0, 8.0
# Samples by which a recording may be cut: whole cells and frames of every kind (2.6 s). Mean square of so many below
# this share of the greatest is silence; less of it at an end than so many s stays.
PIECE, SILENT, SILENCE_S = 56_320, 1e-5, 12.0
# Frames that are normalised at a time (three minutes).
AT_ONCE = 1 << 15


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """What is kept of a recording.

    ``onsets`` (7, frames): onset strength, root mean square about 1 in each band. ``attack`` (cells,):
    root mean square of the first difference, relative to the level, in cells of ``CELL`` samples. ``level`` (cells,):
    mean square in cells of ``LEVEL_CELL`` samples.
    """

    onsets: Bands
    attack: npt.NDArray[np.float16]
    level: Bands
    spectra: Spectra
    duration_s: float

    @property
    def silent(self) -> bool:
        """Whether there is nothing to hear."""
        return not self.level.size or float(self.level.max()) < 1e-9

    def sounding(self) -> tuple["Heard", float]:
        """What is kept of it without long silence at its ends, and the s that were cut off its beginning."""
        if self.silent:
            return self, 0.0
        size = PIECE // LEVEL_CELL
        pieces = np.add.reduceat(self.level, np.arange(0, len(self.level), size)) / size
        sounds = np.flatnonzero(pieces >= SILENT * pieces.max())
        piece_s = PIECE / RATE_HZ
        first, last = int(sounds[0]), int(sounds[-1]) + 1
        first *= first * piece_s > SILENCE_S
        if self.duration_s - last * piece_s <= SILENCE_S:
            last = len(pieces)
        if (first, last) == (0, len(pieces)):
            return self, 0.0

        def part(cell: int, more: int = 0) -> slice:
            return slice(first * PIECE // cell, last * PIECE // cell + more)

        spectra = Spectra(self.spectra.rows[part(LONG_HOP, 1)].copy(), self.spectra.hop_s)
        spectra.rows[-1] = 0
        end_s = min(self.duration_s, last * piece_s)
        onsets, attack, level = self.onsets[:, part(HOP)], self.attack[part(CELL)], self.level[part(LEVEL_CELL)]
        return Heard(onsets, attack, level, spectra, end_s - first * piece_s), first * piece_s


class Frames:
    """Overlapping frames of a stream, frame k centred on sample ``k * hop``; zeros before and after."""

    def __init__(self, size: int, hop: int) -> None:
        self.size, self.hop, self.given = size, hop, 0
        self._rest = np.zeros(size // 2, np.float32)

    def push(self, samples: Samples) -> Samples:
        """The frames (n, size) that are whole by now."""
        joined = np.concatenate([self._rest, samples])
        whole = max(0, (len(joined) - self.size) // self.hop + 1)
        self._rest = joined[whole * self.hop :]
        self.given += whole
        if not whole:
            return np.zeros((0, self.size), np.float32)
        return np.lib.stride_tricks.sliding_window_view(joined, self.size)[:: self.hop][:whole]

    def end(self, total: int) -> Samples:
        """The frames that are left of a stream of ``total`` samples."""
        left = total // self.hop + 1 - self.given
        return self.push(np.zeros(self.size, np.float32))[:left]


class FluxWriter:
    """Onset strength of a stream, with the level given beforehand."""

    def __init__(self, level: float) -> None:
        window = np.hanning(FRAME + 1)[:-1].astype(np.float32)
        self.window = window * np.float32(COMPRESSION / (window.sum() * level))
        hz = np.fft.rfftfreq(FRAME, 1 / RATE_HZ)
        self.starts = [int(np.searchsorted(hz, edge)) for edge in EDGES_HZ]
        self.frames = Frames(FRAME, HOP)
        self.before: Samples | None = None
        self.found = Growing(BANDS, np.float32, room=int(LEVEL_S * FRAMES_PER_S))

    def push(self, frames: Samples) -> None:
        """Take frames (n, FRAME)."""
        if not len(frames):
            return
        now = np.log1p(np.abs(np.fft.rfft(frames * self.window, axis=1)).astype(np.float32))
        before = np.repeat(now[:1], LAG, 0) if self.before is None else self.before
        joined = np.concatenate([before, now])
        rise = np.maximum(0, joined[LAG:] - joined[:-LAG])
        sums = np.add.reduceat(rise[:, : self.starts[-1]], self.starts[:-1], axis=1)
        self.found.add(sums / np.diff(self.starts))
        self.before = joined[-LAG:]


def hear(blocks: Iterable[Samples]) -> Heard:
    """Take the samples of a recording, mono at ``RATE_HZ``, in blocks of any length, and keep what is needed.

    Memory: 20 kB a second of sound, and ``LEVEL_S`` seconds of samples at most.
    """
    stream = _even(blocks)
    first: list[Samples] = []
    for block in stream:
        first.append(block)
        if sum(map(len, first)) >= LEVEL_S * RATE_HZ:
            break
    square = sum(float(np.square(block, dtype=np.float64).sum()) for block in first)
    level = np.sqrt(square / max(1, sum(map(len, first)))) + 1e-9
    flux, spectra = FluxWriter(level), SpectraWriter(RATE_HZ, level, LEVEL_S)
    long = Frames(LONG_FRAME, LONG_HOP)
    attack = Growing(1, np.float16, room=LEVEL_S * RATE_HZ // CELL)
    loud = Growing(1, np.float32, room=LEVEL_S * RATE_HZ // LEVEL_CELL)
    total, last = 0, np.float32(0)
    for block in chain(_taken(first), stream):
        flux.push(flux.frames.push(block))
        spectra.push(long.push(block))
        step = np.diff(block, prepend=last)
        last, total = block[-1], total + len(block)
        attack.add(np.minimum(np.sqrt(_cells(step, CELL)) / level, 6e4)[:, None])
        loud.add(_cells(block, LEVEL_CELL)[:, None])
    flux.push(flux.frames.end(total))
    spectra.push(long.end(total))
    onsets = normalised(flux.found.rows().T)
    return Heard(onsets, attack.rows()[:, 0], loud.rows()[:, 0], spectra.done(), total / RATE_HZ)


def _taken(blocks: list[Samples]) -> Iterator[Samples]:
    """The blocks, each let go as it is given."""
    while blocks:
        yield blocks.pop(0)


def _even(blocks: Iterable[Samples]) -> Iterator[Samples]:
    """The same samples in blocks of ``BLOCK``, the last one shorter."""
    kept: list[Samples] = []
    size = 0
    for block in blocks:
        kept.append(block)
        size += len(block)
        if size >= BLOCK:
            joined = np.concatenate(kept)
            for start in range(0, size - size % BLOCK, BLOCK):
                yield joined[start : start + BLOCK]
            kept = [joined[size - size % BLOCK :].copy()]
            size %= BLOCK
    if size:
        yield np.concatenate(kept)


def _cells(samples: Samples, size: int) -> Bands:
    """Mean square of cells of ``size`` samples; what is left at the end of a block makes a cell with zeros."""
    short = -len(samples) % size
    padded = np.pad(samples, (0, short)) if short else samples
    means: Bands = np.square(padded).reshape(-1, size).mean(axis=1)
    return means


def normalised(onsets: Bands) -> Bands:
    """Onset strength (bands, frames) above its mean of a second, root mean square about 1, peaks capped; in place.

    Some minutes at a time, to spare memory.
    """
    size, frames = int(FRAMES_PER_S * MEAN_S), onsets.shape[1]
    for row in onsets:
        squares, before = 0.0, row[:0].copy()
        for start in range(0, frames, AT_ONCE):
            end = min(start + AT_ONCE, frames)
            around = np.concatenate([before, row[start : end + size // 2]]).astype(np.float64)
            mean = moving_mean(around, size)[len(before) :][: end - start]
            before = row[end - min(size // 2, end) : end].copy()
            row[start:end] = above = np.maximum(0, row[start:end] - mean)
            squares += float(np.square(above).sum())
        by = np.float32(1 / (np.sqrt(squares / max(1, frames)) + 1e-9))
        for start in range(0, frames, AT_ONCE):
            row[start : start + AT_ONCE] = np.minimum(row[start : start + AT_ONCE] * by, MOST)
    return onsets


def moving_mean(values: Floats, size: int) -> Floats:
    """The mean of the ``size`` values around each, of fewer at the ends; (n,)."""
    n, half = len(values), size // 2
    sums = np.concatenate([np.zeros(1), np.cumsum(values)])
    mean = np.empty(n)
    if n > 2 * half:
        mean[half : n - half] = (sums[2 * half + 1 :] - sums[: n - 2 * half]) / (2 * half + 1)
    ends = np.arange(n) if n <= 2 * half else np.concatenate([np.arange(half), np.arange(n - half, n)])
    low, high = np.maximum(0, ends - half), np.minimum(n, ends + half + 1)
    mean[ends] = (sums[high] - sums[low]) / (high - low)
    return mean


def frame_at(at_s: Floats) -> Ints:
    """The frame of the flux nearest to each time (n,)."""
    return np.rint(at_s * FRAMES_PER_S).astype(np.int64)


def around(onsets: Bands, frames: Ints, reach_s: float) -> Bands:
    """Onset strength (bands, n, 2 m + 1) in the frames within ``reach_s`` of each of ``frames`` (n,)."""
    reach = int(reach_s * FRAMES_PER_S)
    near: Bands = onsets[:, np.clip(frames[:, None] + np.arange(-reach, reach + 1), 0, onsets.shape[1] - 1)]
    return near


def first_sound(heard: Heard) -> tuple[float, bool]:
    """The time in s of the first sound (2 % of the usual level), and whether it is loud within 0.15 s."""
    rms = np.sqrt(heard.level)
    usual = float(np.percentile(rms, 80))
    at = int(np.argmax(rms > 0.02 * usual))
    return at * LEVEL_CELL / RATE_HZ, bool(rms[at : at + 30].max() > 0.25 * usual)
