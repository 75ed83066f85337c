"""One stroke on one drum of a kit, and the families that kits come in."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from zlib import crc32

import numpy as np
import numpy.typing as npt
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.loudness import fast_length

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Family:
    """A manner of making and recording drums.

    ``ring`` factor of the decay times; ``colour_db`` SD of each drum's microphone curve per octave; ``room_db`` and
    ``room_s`` level and decay of the room; ``band_hz`` what the medium lets through; ``squash`` its saturation.
    """

    ring: Range = (0.9, 1.1)
    colour_db: float = 0.0
    room_db: Range | None = None
    room_s: Range = (0.1, 0.1)
    band_hz: Range = (0.0, 24_000.0)
    squash: Range = (0.0, 0.0)


FAMILIES = {
    "room": Family(ring=(0.6, 1.6), colour_db=3.5, room_db=(-26, -15), room_s=(0.06, 0.2), squash=(0.2, 1.2)),
    "machine": Family(colour_db=1.0, squash=(0.5, 1.0)),
    "break": Family(
        ring=(0.6, 1.0), colour_db=3.0, room_db=(-16, -9), room_s=(0.04, 0.1), band_hz=(70, 5200), squash=(2.0, 3.5)
    ),
    "dry": Family(ring=(0.6, 0.8), colour_db=2.0, squash=(3.0, 4.0)),
}


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a drum is struck.

    ``rng`` draws what the drum is: the same for each of its takes. ``chance`` draws what differs from take to take,
    noise included. ``force`` is 1 for a hard stroke, less for a softer one, which is darker.
    """

    rng: Generator
    chance: Generator
    rate: int
    force: float = 1.0
    family: str = "room"

    @property
    def machine(self) -> bool:
        return self.family == "machine"

    def between(self, low: float, high: float) -> float:
        """Draw what belongs to the drum."""
        return s.between(self.rng, low, high)

    def about(self, value: float, share: float = 0.02) -> float:
        """Draw what differs from take to take; a machine repeats itself."""
        return value if self.machine else s.near_value(self.chance, value, share)

    def ring(self) -> float:
        """Factor of the drum's decay times."""
        return self.about(self.between(*FAMILIES[self.family].ring))

    def dull_db(self, steepness: float = 1.0) -> float:
        """Level of what only a hard stroke brings out, dB below a hard stroke's."""
        return -16.0 * steepness * (1 - self.force)

    def wash(
        self, t: Samples, levels_db: npt.ArrayLike, taus_s: float | Sequence[float], modes: int | None = None
    ) -> Samples:
        """Noise of unit energy, see ``shaping.wash``; ``modes`` is the seed of the modes of a cymbal.

        Zero where it has fallen by 70 dB.
        """
        drawn = None if modes is None else np.random.default_rng(modes)
        out = np.zeros_like(t)
        heard = out[: s.frames_of(8 * float(np.max(taus_s)), self.rate)]
        heard[:] = s.unit(s.wash(self.chance, len(heard), self.rate, levels_db, taus_s, drawn))
        return out

    def modes(self) -> int:
        """The seed of a cymbal's modes."""
        return int(self.rng.integers(2**31))


def recorded(sound: Samples, stroke: Stroke, kit_seed: int, send_db: float | None, low_hz: float) -> Samples:
    """``sound`` as the family records it: microphone, room, medium; (frames,) or (frames, 2).

    ``kit_seed`` gives the room, the same for all drums of the kit; ``send_db`` is the drum's share in it (None: no
    room) and ``low_hz`` about where its microphone is cut off.
    """
    family, rate = FAMILIES[stroke.family], stroke.rate
    echoes = family.room_db is not None and send_db is not None
    tail = len(_room(kit_seed, stroke.family, rate)) if echoes else 0
    size = fast_length(len(sound) + tail)
    curve_db = family.colour_db * stroke.rng.standard_normal(9)
    # A softer stroke excites high frequencies less.
    curve_db += stroke.dull_db(0.9) * np.linspace(-0.3, 1, 9)
    cut_hz = low_hz * stroke.between(0.4, 1.3)
    sides: npt.NDArray[Any] = np.fft.rfft(sound.T, size)
    sides *= _microphone(tuple(curve_db.tolist()), cut_hz, family.band_hz, rate, size)
    if send_db is not None and echoes:
        sides = sides + sides * _echoes(kit_seed, stroke.family, rate, size) * s.db(send_db)
    out: npt.NDArray[Any] = np.fft.irfft(sides, size)[..., : len(sound) + tail].T
    # What is 45 dB below the whole is left out: silence costs time when mixing.
    piece = len(out) // 256 + 1
    energy = np.add.reduceat(np.square(out).reshape(len(out), -1), np.arange(0, len(out), piece)).sum(axis=1)
    left = np.cumsum(energy[::-1], dtype=np.float64)
    out = out[: piece * (len(energy) - int(np.searchsorted(left, 3e-5 * left[-1])))]
    squash = stroke.rng.uniform(*family.squash)
    if squash:
        out = s.drive(out / np.abs(out).max(), squash)
    return s.finish(out, rate, fade_s=max(0.02, 0.4 * len(out) / rate))


@lru_cache(maxsize=4)
def _room(kit_seed: int, family: str, rate: int) -> Samples:
    """Echoes of a kit's room, (frames, 2), at their level."""
    space, made = np.random.default_rng([kit_seed, crc32(family.encode())]), FAMILIES[family]
    assert made.room_db is not None
    room_db, room_s = space.uniform(*made.room_db), space.uniform(*made.room_s)
    t = s.seconds(3 * room_s, rate)[: round(3 * room_s * rate)]
    echoes = s.gaussian(space, len(t), 2) * s.burst(t, space.uniform(0.002, 0.008), room_s)[:, None]
    return np.asarray(echoes * (s.db(room_db) / np.sqrt(np.square(echoes).sum(axis=0))), dtype=np.float32)


@lru_cache(maxsize=4)
def _echoes(kit_seed: int, family: str, rate: int, size: int) -> npt.NDArray[np.complex64]:
    """Spectrum of a room, which swallows the treble, (2, size // 2 + 1)."""
    dark = 1 / np.sqrt(1 + np.square(np.fft.rfftfreq(size, 1 / rate) / 3500))
    return np.asarray(np.fft.rfft(_room(kit_seed, family, rate).T, size) * dark, dtype=np.complex64)


@lru_cache(maxsize=4)
def _microphone(
    curve_db: tuple[float, ...], cut_hz: float, band_hz: Range, rate: int, size: int
) -> npt.NDArray[np.complex64]:
    """Spectrum, of minimum phase, of a drum's microphone and the medium (cepstrum: Oppenheim & Schafer)."""
    short = 2048
    hz = np.maximum(np.fft.rfftfreq(short, 1 / rate), 1.0)
    low, high = band_hz
    log_gain = np.interp(np.log(hz), np.log(np.geomspace(40, 16_000, 9)), curve_db) * (np.log(10) / 20)
    log_gain -= 0.5 * np.log((1 + (low / hz) ** 4) * (1 + (hz / high) ** 6))
    log_gain -= 0.5 * np.log(1 + (cut_hz / hz) ** 4)
    cepstrum = np.fft.irfft(log_gain)
    cepstrum[1 : short // 2] *= 2
    cepstrum[short // 2 + 1 :] = 0
    response = np.fft.irfft(np.exp(np.fft.rfft(cepstrum)))[: short // 2].astype(np.float32)
    return np.asarray(np.fft.rfft(response, size), dtype=np.complex64)
