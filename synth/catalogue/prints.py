"""What a recording sounds like, in 256 bytes: the energies of eight bands in 32 parts of it.

Differences of decoder, bit rate, format, level and some ms of delay change it by little, so two prints are compared
by their distance. Of our songs: 0.1 to 0.5 dB from FLAC to MP3, OGG and AAC, 1.6 to Opus of 48 kbit/s; 2.3 and more
between songs of one groove, tempo and form. Near ones are then told apart by their anchors.
"""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples
from synth.catalogue.recording import Recording

# Hz: encoders of low bit rates leave out what is above.
EDGES_HZ = (40, 90, 180, 350, 700, 1200, 2000, 3200, 5000)
BANDS, PARTS, FRAME = len(EDGES_HZ) - 1, 32, 4096
HOP = FRAME // 2
# A step of a byte in dB; silence is taken for so much below the mean.
STEP_DB, FLOOR_DB = 0.5, -50.0
# Two recordings are one if their prints are nearer in dB (root mean square) and their lengths in s.
SAME_DB, SAME_S = 2.0, 0.5


class PrintWriter:
    """The print of a stream of mono samples, in blocks of any length."""

    def __init__(self, rate_hz: int) -> None:
        self._rate_hz = rate_hz
        self._rest = np.zeros(0, np.float32)
        # Half a sine: squares of windows half a frame apart sum to 1; it matters little where a hit falls.
        self._window = np.sin(np.pi * (np.arange(FRAME) + 0.5) / FRAME).astype(np.float32)
        hz = np.fft.rfftfreq(FRAME, 1 / rate_hz)
        self._starts = np.searchsorted(hz, EDGES_HZ)
        self._energies: list[npt.NDArray[np.float64]] = []

    def push(self, block: Samples) -> None:
        """The next samples (n,)."""
        joined = np.concatenate([self._rest, block])
        whole = max(0, len(joined) // HOP - 1)
        self._rest = joined[whole * HOP :]
        if whole:
            frames = np.lib.stride_tricks.sliding_window_view(joined, FRAME)[: whole * HOP : HOP]
            power = np.square(np.abs(np.fft.rfft(frames * self._window, axis=1)))
            self._energies.append(np.add.reduceat(power[:, : self._starts[-1]], self._starts[:-1], axis=1))

    def done(self) -> bytes:
        """The print of what was pushed; empty for less than 6 s."""
        if sum(map(len, self._energies)) <= 2 * PARTS:
            return b""
        energies = np.concatenate(self._energies)
        # Parts run into each other, so that it matters little where they begin.
        at = (np.arange(len(energies)) + 0.5) / len(energies) * PARTS
        weights = np.maximum(0, 1 - np.abs(at - (np.arange(PARTS)[:, None] + 0.5)))
        parts = ((weights @ energies) / weights.sum(axis=1, keepdims=True)).T
        level = parts.mean()
        if level <= 0:
            return b""
        decibel = 10 * np.log10(np.maximum(parts / level, 10 ** (FLOOR_DB / 10)))
        return bytes(np.clip(np.rint((decibel - FLOOR_DB) / STEP_DB), 0, 255).astype(np.uint8).tobytes())


def distance_db(one: bytes, other: bytes) -> float:
    """Root mean square of the difference of two prints in dB; infinite where either is empty."""
    if len(one) != len(other) or not one:
        return float("inf")
    first, second = (np.frombuffer(each, np.uint8).astype(np.float64) for each in (one, other))
    return float(STEP_DB * np.sqrt(np.mean(np.square(first - second))))


def alike(sound: bytes, duration_s: float, among: Iterable[Recording]) -> list[Recording]:
    """The recordings of the same print and length, the nearest first; whether they are one the anchors must say."""
    close = [each for each in among if abs(each.duration_s - duration_s) < SAME_S]
    found = [(distance_db(sound, each.sound), each) for each in close]
    return [each for far_db, each in sorted(found, key=lambda pair: pair[0]) if far_db < SAME_DB]
