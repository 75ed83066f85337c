"""A simulated room with the speaker and the microphone of a laptop: band, delay, reverb, noise, and a key's thump.

Nothing of the program is used here, so that what it finds can be held against what was put in.
"""

import numpy as np
from scipy.signal import oaconvolve

RATE_HZ = 48_000


def band(sound: np.ndarray, low_hz: float, high_hz: float) -> np.ndarray:
    """What a small speaker lets through: first-order slopes."""
    half = 1 << 13
    f = np.fft.rfftfreq(2 * half, 1 / RATE_HZ)
    response = (1j * f / low_hz) / (1 + 1j * f / low_hz) / (1 + 1j * f / high_hz)
    impulse = np.roll(np.fft.irfft(response), half)  # some samples come before the cause: no band is without end
    return oaconvolve(sound, impulse)[half : half + len(sound)]


def reverb(sound: np.ndarray, random: np.random.Generator, t60_s: float = 0.35, direct_db: float = 6.0) -> np.ndarray:
    """Reflections from 2 ms on, fading by 60 dB in ``t60_s``; the straight sound is stronger by ``direct_db``."""
    n = int(t60_s * RATE_HZ)
    t = np.arange(n) / RATE_HZ
    tail = random.normal(size=n) * 10 ** (-3 * t / t60_s)
    tail[: int(0.002 * RATE_HZ)] = 0
    tail *= 10 ** (-direct_db / 20) / np.sqrt(np.sum(tail**2))
    tail[0] = 1.0
    return oaconvolve(sound, tail)[: len(sound)]


def noise(n: int, random: np.random.Generator, rms: float) -> np.ndarray:
    """A room at rest: mostly low, as fans and traffic are (power falling with frequency), plus mains hum at 50 Hz."""
    size = 1 << (n - 1).bit_length()
    shape = 1 / np.sqrt(np.maximum(np.fft.rfftfreq(size, 1 / RATE_HZ), 40.0))
    made = np.fft.irfft(np.fft.rfft(random.normal(size=size)) * shape)[:n]
    made = made / made.std() + 0.5 * np.sin(2 * np.pi * 50 * np.arange(n) / RATE_HZ)
    return made * rms / made.std()


def thump(random: np.random.Generator, peak: float = 0.1) -> np.ndarray:
    """A key landing: a board's knock of some hundred Hz and the plastic's rattle, over in 30 ms."""
    t = np.arange(int(0.06 * RATE_HZ)) / RATE_HZ
    knock = np.sin(2 * np.pi * random.uniform(180, 350) * t) * np.exp(-t / 0.010)
    rattle = random.normal(size=len(t)) * np.exp(-t / 0.006)
    made = (knock + 0.7 * rattle) * np.minimum(t / 0.0003, 1.0)
    return made * peak / np.abs(made).max()


def place(into: np.ndarray, sound: np.ndarray, at_s: float) -> None:
    """Add a sound at a moment, to a fraction of a sample (a linear phase in its spectrum)."""
    start = int(np.floor(at_s * RATE_HZ))
    shift = at_s * RATE_HZ - start
    padded = np.concatenate([sound, np.zeros(64)])
    f = np.fft.rfftfreq(len(padded))
    moved = np.fft.irfft(np.fft.rfft(padded) * np.exp(-2j * np.pi * f * shift), len(padded))
    end = min(start + len(moved), len(into))
    into[start:end] += moved[: end - start]


def recording(
    clicks: np.ndarray,
    click_at_s: np.ndarray,
    thump_at_s: np.ndarray,
    seed: int,
    *,
    seconds: float,
    click_peak: float = 0.2,
    thump_peak: float = 0.1,
    noise_rms: float = 0.002,
    direct_db: float = 6.0,
) -> np.ndarray:
    """What the microphone hears, float32: clicks from the speaker and thumps of the key, both through the room."""
    random = np.random.default_rng(seed)
    n = int(seconds * RATE_HZ)
    speaker, keys = np.zeros(n), np.zeros(n)
    for at_s in click_at_s:
        place(speaker, clicks * click_peak, at_s)
    for at_s in thump_at_s:
        place(keys, thump(random, thump_peak * random.uniform(0.6, 1.4)), at_s)
    heard = reverb(band(speaker, 450, 9_000), random, direct_db=direct_db)
    heard += reverb(keys, random, direct_db=12.0)
    heard = band(heard, 80, 14_000) + noise(n, random, noise_rms)
    return np.clip(heard, -1, 1).astype(np.float32)
