"""The instruments of a record, one file each, and the kit that renders and keeps them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from pkgutil import iter_modules
from zlib import crc32

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples
from synth.base.bins import TOGETHER, frames_of_bin
from synth.base.errors import near
from synth.score.hits import TAKES
from synth.sound.kit.shaping import drive, finish, leaning
from synth.sound.kit.stroke import FAMILIES, Stroke, recorded
from synth.sound.kit.voice import Voice
from synth.sound.kits import FAMILY_NAMES
from synth.sound.limiter import CELL, true_peaks
from synth.sound.loudness import Powers, bins_energy, k_weighted

__all__ = ["FAMILIES", "FORCES", "TAKES", "VOICES", "Kit", "Take", "Voice", "layer_of", "take_at"]


def _voices() -> Iterator[Voice]:
    """The instruments of the modules in this folder: their ``VOICE``, or ``VOICES``."""
    for found in iter_modules(__path__):
        module = import_module(f"{__name__}.{found.name}")
        yield from getattr(module, "VOICES", ())
        if hasattr(module, "VOICE"):
            yield module.VOICE


VOICES: dict[str, Voice] = {voice.name: voice for voice in _voices()}

# Power of the loudest 100 ms of a voice at 0 dB: most peaks lie 6 to 10 dB below full scale.
REFERENCE_POWER = 10 ** (-14 / 10)
_EXACT = 6  # windows that are weighted frame by frame
_USUAL_PITCH = 57.0
# Tilt at no contrast, in orders of ``leaning``: of the deep drum, and of the sharp ones, which move further.
_LEANS = {1: 0.2, -1: -0.45}
# A drum whose true peak at its level is higher is saturated, at most so often: the limiter is not its instrument.
_HIGHEST_PEAK, _SQUEEZES = 0.58, 5

# Force of the soft, the middle and the hard stroke, and the velocities from which the latter two are played.
FORCES = (0.35, 0.8, 1.0)
LAYERS_FROM = (0.55, 0.93)


def layer_of(velocity: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """Index into ``FORCES`` of the stroke that is played at a velocity, same shape."""
    return np.asarray(np.searchsorted(LAYERS_FROM, np.asarray(velocity, dtype=np.float64) + 1e-6), dtype=np.int64)


@dataclass(frozen=True, slots=True, eq=False)
class Take:
    """A rendered sound of a kit.

    ``samples`` float32 (frames, 2), read-only, attack at frame 0; ``energy`` (bins,) sum of the K-weighted squares
    in every 20 ms; ``peak`` (bins + 1,) upper bound of the true peak in every 20 ms of a mix, for any start in the
    first of them.
    """

    samples: Samples
    energy: Powers
    peak: Powers


# Voice; layer and number of a struck one, pitch and duration of a sustained one.
TakeKey = tuple[str, float, float]


class Kit:
    """Takes of every voice, drawn from a seed: the same seed gives the same samples.

    Takes are rendered on first use, independently of each other, and kept. ``family`` (a key of ``FAMILIES``) is the
    manner in which the drums are made and recorded; None lets the seed decide. ``contrast`` is the timbral distance
    of the kick from snare, clap and rim: 1 as in a record, 0 the smallest (the kick is still the deeper one).
    """

    def __init__(
        self, seed: int = 0, sample_rate_hz: int = 48_000, contrast: float = 1.0, family: str | None = None
    ) -> None:
        """``ValueError`` where seed, rate (8 to 192 kHz), contrast (0 to 1) or family is out of range."""
        if seed < 0:
            raise ValueError(f"kit seed {seed}: 0 or more expected")
        if not 8_000 <= sample_rate_hz <= 192_000:
            raise ValueError(f"sample rate {sample_rate_hz}: 8000 to 192000 Hz expected. Is this kHz?")
        if not 0 <= contrast <= 1:
            raise ValueError(f"contrast {contrast:g}: 0 to 1 expected")
        if family is not None and family not in FAMILIES:
            raise ValueError(f"kit family {family!r} is unknown.{near(family, FAMILIES)}")
        self.seed = seed
        self.sample_rate_hz = sample_rate_hz
        self.contrast = contrast
        self.family = family or FAMILY_NAMES[seed % len(FAMILY_NAMES)]
        self._takes: dict[TakeKey, Take] = {}

    @property
    def nbytes(self) -> int:
        """Memory of the takes rendered so far."""
        return sum(take.samples.nbytes for take in list(self._takes.values()))

    @property
    def takes(self) -> dict[TakeKey, Take]:
        """The takes rendered so far."""
        return self._takes.copy()

    def add(self, takes: Mapping[TakeKey, Take]) -> None:
        """Add takes that the same kit rendered elsewhere."""
        for key, take in takes.items():
            take.samples.setflags(write=False)
            self._takes.setdefault(key, take)

    def take(
        self, voice: str, pitch: float = 0.0, duration_s: float = 0.0, *, velocity: float = 1.0, number: int = 0
    ) -> Take:
        """One hit at full level.

        ``pitch`` (MIDI note) and ``duration_s`` apply to sustained voices; 0 stands for a default. ``velocity``
        chooses the force of the stroke and ``number`` (from 0, modulo ``TAKES``) one of its takes. ``ValueError``
        for an unknown voice.
        """
        if voice not in VOICES:
            raise ValueError(f"voice {voice!r} is unknown.{near(voice, VOICES)}")
        held = VOICES[voice].sing is not None
        key = (voice, pitch, duration_s) if held else (voice, float(layer_of(velocity)), float(number % TAKES))
        if key not in self._takes:
            self._takes[key] = self._render(VOICES[voice], *key[1:])
        return self._takes[key]

    def _render(self, voice: Voice, first: float, second: float) -> Take:
        """``first`` and ``second``: pitch and duration of a sustained voice, layer and number of a struck one."""
        rate, drum = self.sample_rate_hz, crc32((voice.family or voice.name).encode())
        rng = np.random.default_rng([self.seed, drum])
        if voice.render is not None:
            chance = np.random.default_rng([self.seed, crc32(voice.name.encode()), int(first), int(second)])
            stroke = Stroke(rng, chance, rate, FORCES[int(first)], self.family)
            sound = recorded(voice.render(stroke), stroke, self.seed, voice.room_db, voice.low_hz)
        else:
            assert voice.sing is not None
            sound = voice.sing(rng, rate, first or _USUAL_PITCH, second or voice.default_s)
        if voice.depth and self.contrast < 1:
            sound = leaning(sound, rate, _LEANS[voice.depth] * (1 - self.contrast**2))
        # Balance, not constant power: a centred voice keeps its level.
        balance = min(1, 1 - voice.pan), min(1, 1 + voice.pan)
        for _ in range(_SQUEEZES):
            take = take_at(sound, voice.level_db, rate, balance)
            if voice.render is None or take.peak.max() <= _HIGHEST_PEAK:
                break
            sound = finish(drive(sound / np.abs(sound).max(), 1.3), rate)
        return take


def take_at(sound: Samples, level_db: float, sample_rate_hz: int, balance: tuple[float, float] = (1.0, 1.0)) -> Take:
    """``sound``, mono (frames,) or stereo (frames, 2), as a take whose loudest 100 ms are at ``level_db``.

    ``balance`` holds the factors of the left and right channel; 0 dB is the kit's snare.
    """
    sides = np.array(balance, dtype=np.float32)
    energy, loudest = _heard(sound, np.square(sides), sample_rate_hz)
    factor = np.sqrt(REFERENCE_POWER * 10 ** (level_db / 10) / (loudest + 1e-20))
    samples = (sound if sound.ndim == 2 else sound[:, None]) * (sides * np.float32(factor))
    samples.setflags(write=False)
    # Between samples a sine at a quarter of the rate rises 3 dB above them; near the maximum true peaks are
    # computed.
    flat = np.abs(samples).reshape(-1)
    highest = np.sqrt(np.float32(2)) * np.maximum.reduceat(flat, np.arange(0, len(flat), 2 * CELL))
    near = np.flatnonzero(highest > 0.7 * highest.max())
    highest[near] = true_peaks(samples, near, above=0.0)
    # Cells by the bin in which they begin; a bin is longer than a cell, so that each has one.
    first = np.searchsorted(np.arange(0, len(samples), CELL) // frames_of_bin(sample_rate_hz), np.arange(len(energy)))
    peak = np.maximum.reduceat(highest, np.minimum(first, len(highest) - 1)).astype(np.float64)
    reached = np.maximum(np.append(peak, 0.0), np.append(0.0, peak))
    return Take(samples, energy * factor**2, reached)


def _heard(sound: Samples, shares: Samples, rate: int) -> tuple[Powers, float]:
    """Sum of the K-weighted squares in every 20 ms, and their mean in the loudest 100 ms.

    ``shares`` are the channels' factors. After the first 0.6 s blocks of 100 ms are weighted in their spectra.
    """
    bins = frames_of_bin(rate)
    window = TOGETHER * bins
    head = _EXACT * window
    channels = sound.reshape(len(sound), -1)
    shares = shares if channels.shape[1] == 2 else shares.sum(keepdims=True)
    power = (np.square(k_weighted(channels[:head], rate)) @ shares).astype(np.float64)
    total = np.concatenate([[0.0], np.cumsum(power)])
    span = min(window, len(power))
    loudest = float(np.max(total[span:] - total[:-span]))
    energy = np.add.reduceat(power, np.arange(0, len(power), bins))
    if len(sound) > head:
        long = -(-(len(sound) - head) // window) * window
        rest = np.zeros((channels.shape[1], long), dtype=np.float32)
        rest[:, : len(sound) - head] = channels[head:].T
        later, weighed = bins_energy(rest, shares, rate)
        energy = np.append(energy, later)[: -(-len(sound) // bins)]
        loudest = max(loudest, float(weighed.max()))
    return energy, loudest / window
