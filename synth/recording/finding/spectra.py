"""Slow spectra of a recording, averaged between any marks: energies in bands, chroma, and the chroma of the bass.

Chroma: magnitudes summed over octaves by pitch class, equal temperament at 440 Hz (Fujishima 1999, Proc. ICMC,
464-467, from memory). Frames of 186 ms, 46 ms apart.
"""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats
from synth.recording.finding.growing import Growing

FRAME, HOP = 4096, 1024
# Edges in Hz of the energy bands.
EDGES_HZ = (30, 60, 90, 130, 190, 280, 400, 600, 900, 1300, 2000, 3000, 4500, 7000, 11_025)
BANDS = len(EDGES_HZ) - 1
# Hz: where harmony and bass are looked for.
CHORD_HZ, BASS_HZ = (180, 2200), (40, 200)
# A frame counts from so many seconds after a mark: its window reaches before its centre.
AFTER_S = 0.015
# Least energy, relative to the level.
FLOOR = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Spectra:
    """Rows (frames + 1, 38) of 14 energies, 12 chroma, 12 bass chroma; frame k is centred on k * 46 ms.

    The last row is zero: the end of what may be summed.
    """

    rows: npt.NDArray[np.float32]
    hop_s: float

    def between(self, marks_s: Floats) -> tuple[Floats, Floats, Floats]:
        """Means from each mark (n,) to the next, the last as long as the one before.

        Returns log10 energies (n, 14), chroma and bass chroma (n, 12) of unit length.
        """
        frames = len(self.rows) - 1
        ends = np.append(marks_s, 2 * marks_s[-1] - marks_s[-2]) + AFTER_S
        at = np.clip(np.ceil(ends / self.hop_s - 1e-9).astype(int), 0, frames)
        count = np.diff(at)[:, None]

        def mean(columns: npt.NDArray[np.float32]) -> Floats:
            sums = np.add.reduceat(columns, at, axis=0, dtype=np.float64)[:-1]
            means: Floats = np.where(count > 0, sums, 0) / np.maximum(1, count)  # a sum of none gives the row itself
            return means

        energies, chords, bass = map(mean, np.split(self.rows, (BANDS, BANDS + 12), axis=1))
        return np.log10(energies + FLOOR), _unit(chords), _unit(bass)


def _unit(rows: Floats) -> Floats:
    unit: Floats = rows / (np.linalg.norm(rows, axis=1, keepdims=True) + 1e-6)
    return unit


@dataclass(slots=True, eq=False)
class SpectraWriter:
    """Spectra of a stream, with the level given beforehand, and the s for which room is taken."""

    rate_hz: int
    level: float
    room_s: float
    _found: Growing = field(init=False)
    _window: npt.NDArray[np.float32] = field(init=False)
    _weights: tuple[npt.NDArray[np.float32], npt.NDArray[np.float32]] = field(init=False)

    def __post_init__(self) -> None:
        self._found = Growing(BANDS + 24, np.float32, room=int(self.room_s * self.rate_hz / HOP))
        window = np.hanning(FRAME).astype(np.float32)
        self._window = window * np.float32(2 / (window.sum() * self.level))
        hz = np.fft.rfftfreq(FRAME, 1 / self.rate_hz)
        edges = np.array(EDGES_HZ)
        bands = ((hz >= edges[:-1, None]) & (hz < edges[1:, None])).astype(np.float32)
        pitch = 12 * np.log2(np.maximum(hz, 1) / 440) + 69
        near = np.round(pitch)
        weight = np.cos((pitch - near) * np.pi) ** 2 * (near % 12 == np.arange(12)[:, None])
        chroma = [weight * ((hz > low) & (hz < high)) for low, high in (CHORD_HZ, BASS_HZ)]
        self._weights = (bands.T, np.concatenate(chroma).T.astype(np.float32))

    def push(self, frames: npt.NDArray[np.float32]) -> None:
        """Take frames (n, FRAME)."""
        if len(frames):
            size = np.abs(np.fft.rfft(frames * self._window, axis=1)).astype(np.float32)
            bands, chroma = self._weights
            self._found.add(np.hstack([np.square(size) @ bands, size @ chroma]))

    def done(self) -> Spectra:
        """What was taken."""
        self._found.add(np.zeros((1, BANDS + 24), np.float32))
        return Spectra(self._found.rows(), HOP / self.rate_hz)
