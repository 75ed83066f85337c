"""Slow spectra of a recording, averaged between any marks: energies in bands, chroma, and the chroma of the bass.

Chroma: magnitudes summed over octaves by pitch class, equal temperament at 440 Hz (Fujishima 1999, Proc. ICMC,
464-467, from memory). Frames of 186 ms, 46 ms apart.
"""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats

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
    """Running sums (frames + 1, 38) of 14 energies, 12 chroma, 12 bass chroma; frame k is centred on k * 46 ms."""

    sums: Floats
    hop_s: float

    def between(self, marks_s: Floats) -> tuple[Floats, Floats, Floats]:
        """Means from each mark (n,) to the next, the last as long as the one before.

        Returns log10 energies (n, 14), chroma and bass chroma (n, 12) of unit length.
        """
        frames = len(self.sums) - 1
        ends = np.append(marks_s, 2 * marks_s[-1] - marks_s[-2]) + AFTER_S
        at = np.clip(np.ceil(ends / self.hop_s - 1e-9).astype(int), 0, frames)
        means = (self.sums[at[1:]] - self.sums[at[:-1]]) / np.maximum(1, np.diff(at))[:, None]
        energies, chords, bass = np.split(means, (BANDS, BANDS + 12), axis=1)
        return np.log10(energies + FLOOR), _unit(chords), _unit(bass)


def _unit(rows: Floats) -> Floats:
    unit: Floats = rows / (np.linalg.norm(rows, axis=1, keepdims=True) + 1e-6)
    return unit


@dataclass(slots=True, eq=False)
class SpectraWriter:
    """Spectra of a stream, with the level given beforehand."""

    rate_hz: int
    level: float
    parts: list[npt.NDArray[np.float32]] = field(default_factory=list)
    _window: npt.NDArray[np.float32] = field(init=False)
    _weights: tuple[npt.NDArray[np.float32], npt.NDArray[np.float32]] = field(init=False)

    def __post_init__(self) -> None:
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
            self.parts.append(np.hstack([np.square(size) @ bands, size @ chroma]))

    def done(self) -> Spectra:
        """What was taken."""
        sums = np.zeros((sum(map(len, self.parts)) + 1, BANDS + 24))
        at = 1
        while self.parts:  # each is let go as it is summed
            rows = self.parts.pop(0)
            np.cumsum(rows, axis=0, dtype=np.float64, out=sums[at : at + len(rows)])
            sums[at : at + len(rows)] += sums[at - 1]
            at += len(rows)
        return Spectra(sums, HOP / self.rate_hz)
