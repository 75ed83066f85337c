"""The crash cymbal: a bright wash that darkens as it dies."""

import numpy as np
from numpy.random import Generator

from synth.kit import shaping as s
from synth.kit.voice import Voice
from synth.metre import Samples


def wash(rng: Generator, rate: int, length_s: float) -> Samples:
    """A struck cymbal (frames, 2)."""
    size = s.between(rng, 0.85, 1.15)
    t = s.seconds(length_s * size, rate)
    tau = 0.30 * length_s * size
    low = s.between(rng, 380, 560)
    modes = np.exp(rng.uniform(np.log(low), np.log(7000), 14))
    ring = s.partials(rng, t, modes.tolist(), (tau * rng.uniform(0.4, 1.1, 14)).tolist())
    sides = []
    for _ in range(2):
        body = s.noise(rng, len(t), rate, 900, 5200) * s.decay(t, tau)
        air = s.noise(rng, len(t), rate, 5200, 14000) * (s.decay(t, 0.55 * tau) + s.decay(t, 0.05))
        sides.append(s.finish(0.4 * ring + 0.5 * body + 0.6 * air, rate, fade_s=0.5 * length_s))
    return np.stack([sides[0] + 0.25 * sides[1], sides[1] + 0.25 * sides[0]], axis=1)


def crash(rng: Generator, rate: int) -> Samples:
    return wash(rng, rate, 1.7)


VOICE = Voice("crash", 49, render=crash, level_db=-3.0, pan=-0.2, family="crash")
