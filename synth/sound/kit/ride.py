"""The ride cymbal: a clear stick sound over a quiet, long wash."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def ride(rng: Generator, rate: int) -> Samples:
    t = s.seconds(0.85, rate)
    bell = np.exp(rng.uniform(np.log(2200), np.log(6500), 9))
    ping = s.partials(rng, t, bell.tolist(), (0.16 * rng.uniform(0.5, 1.2, 9)).tolist())
    wash = s.noise(rng, len(t), rate, 3200, 9500) * s.decay(t, s.between(rng, 0.16, 0.24))
    stick = s.noise(rng, len(t), rate, 4000, 12000) * s.decay(t, 0.004)
    return s.finish(0.6 * ping + 0.22 * wash + 0.45 * stick, rate, fade_s=0.5)


VOICE = Voice("ride", render=ride, level_db=-9.0, pan=-0.28)
