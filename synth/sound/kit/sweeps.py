"""Sweeps: noise that rises into a turn, noise that falls away from it, and the impact between the two."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice

_BANDS = 7
_LOOP = 1 << 15  # frames of the noise loop (0.7 s at 48 kHz): the repetition is inaudible under a moving filter


def _moving_noise(rng: Generator, rate: int, height: Samples) -> Samples:
    """Noise whose band follows ``height`` (frames,), 0 low to 1 high: cross-faded bands."""
    edges = np.geomspace(180, min(13000, 0.4 * rate), _BANDS + 1)
    out = np.zeros_like(height)
    for band in range(_BANDS):
        loop = s.noise(rng, _LOOP, rate, float(edges[band]), float(edges[band + 1]))
        near = np.exp(-np.square((height - np.float32(band / (_BANDS - 1))) * np.float32(0.8 * _BANDS)))
        out += np.resize(loop, len(out)) * near
    return out


def riser(rng: Generator, rate: int, _pitch: float, duration_s: float) -> Samples:
    """Rises for ``duration_s`` and stops at the turn."""
    t = s.seconds(max(0.2, duration_s), rate)
    way = t / t[-1]
    low_hz = s.between(rng, 160, 260)
    tone = s.swept(t, low_hz, low_hz * 1.6, float(t[-1]))
    tone += s.swept(t, low_hz * 2.01, low_hz * 5.8, float(t[-1]))
    loudness = (0.08 + 0.92 * way**2) * (1 - s.burst(t, float(t[-1]), 1.0))
    sound = (_moving_noise(rng, rate, way) + np.float32(s.between(rng, 0.1, 0.25)) * tone) * loudness
    return s.finish(sound, rate, fade_s=0.01)


def down_sweep(rng: Generator, rate: int, _pitch: float, duration_s: float) -> Samples:
    """Starts high and loud and decays for ``duration_s``."""
    t = s.seconds(max(0.2, duration_s), rate)
    way = t / t[-1]
    tau = 0.3 * float(t[-1])
    tone = s.swept(t, s.between(rng, 900, 1500), s.between(rng, 60, 90), 0.5 * tau)
    sound = (_moving_noise(rng, rate, 1 - way) + np.float32(s.between(rng, 0.1, 0.25)) * tone) * s.decay(t, tau)
    return s.finish(sound, rate, fade_s=0.5 * float(t[-1]))


def impact(stroke: Stroke) -> Samples:
    """A boom with a short burst of noise."""
    t = s.seconds(1.5, stroke.rate)
    tau = stroke.between(0.25, 0.4)
    boom = s.swept(t, stroke.between(110, 170), stroke.between(34, 42), 0.06, phase=0.06) * s.decay(t, tau)
    cloud = s.noise(stroke.chance, len(t), stroke.rate, 250, 3500) * (0.25 * s.decay(t, 0.3) + 0.5 * s.decay(t, 0.02))
    return s.finish(s.drive(boom + 0.45 * cloud, 1.0), stroke.rate, fade_s=1.0)


VOICES = (
    Voice("riser", sing=riser, level_db=-5.0, default_s=2.0),
    Voice("down_sweep", sing=down_sweep, level_db=-5.0, default_s=2.0),
    Voice("impact", render=impact, level_db=0.0),
)
