"""The pad: one note of a soft, wide chord that stays."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.tones import doubled, ensemble, held, how_many, hz_of
from synth.sound.kit.voice import Voice


def pad(rng: Generator, rate: int, pitch: float, duration_s: float) -> Samples:
    softness, width, attack_s = s.between(rng, 1.3, 2.0), s.between(rng, 0.003, 0.007), s.between(rng, 0.05, 0.15)
    hz = hz_of(pitch)
    order = np.arange(1, 1 + how_many(hz, 5000, rate))
    t = s.seconds(duration_s + 0.6, rate)
    sound = ensemble(rng, rate, hz, (1 / order**softness).tolist(), width, len(t))
    sound = doubled(sound[:, 0], sound[:, 1], apart=0.85)
    return s.finish(sound * held(t, duration_s, min(attack_s, duration_s / 2), 0.6)[:, None], rate, fade_s=0.25)


VOICE = Voice("pad", sing=pad, level_db=-9.5, ducks=True, default_s=2.0)
