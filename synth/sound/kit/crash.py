"""The crash cymbal, a bright wash that darkens as it dies, and the same turned backwards."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def wash(rng: Generator, rate: int, length_s: float, tau_s: float) -> Samples:
    """A struck cymbal (frames, 2)."""
    t = s.seconds(length_s, rate)
    modes = np.exp(rng.uniform(np.log(s.between(rng, 600, 900)), np.log(7000), 14))
    ring = s.partials(rng, t, modes.tolist(), (tau_s * rng.uniform(0.4, 1.1, 14)).tolist())
    body_tau, air_tau = s.decay(t, tau_s), s.decay(t, 0.55 * tau_s) + s.decay(t, 0.05)
    sides = []
    for _ in range(2):
        body = s.noise(rng, len(t), rate, 900, 5200) * body_tau
        air = s.noise(rng, len(t), rate, 5200, 14000) * air_tau
        sides.append(s.finish(0.25 * ring + 0.5 * body + 0.7 * air, rate, fade_s=0.5 * length_s))
    return np.stack([sides[0] + 0.25 * sides[1], sides[1] + 0.25 * sides[0]], axis=1)


def crash(rng: Generator, rate: int) -> Samples:
    size = s.between(rng, 0.85, 1.15)
    return wash(rng, rate, 1.6 * size, 0.48 * size)


def reversed_crash(rng: Generator, rate: int, _pitch: float, duration_s: float) -> Samples:
    """Grows for ``duration_s`` and stops at the turn."""
    length_s = max(0.2, duration_s)
    forwards = wash(rng, rate, length_s, 0.28 * length_s * s.between(rng, 0.85, 1.15))
    t = s.seconds(length_s, rate)[: len(forwards)]
    # Remove the stroke: a click at the end.
    return np.ascontiguousarray((forwards * (1 - s.decay(t, 0.004))[:, None])[::-1])


VOICES = (
    Voice("crash", render=crash, level_db=-3.0, pan=-0.2, family="crash"),
    Voice("reversed_crash", sing=reversed_crash, level_db=-4.0, pan=0.1, default_s=1.0),
)
