"""The pluck: the lead, a string-like tone whose high harmonics die first."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.tones import doubled, harmonics, how_many, hz_of
from synth.sound.kit.voice import Voice


def pluck(rng: Generator, rate: int, pitch: float, duration_s: float) -> Samples:
    detune = s.between(rng, 0.0015, 0.003)
    place, tau, brightness = s.between(rng, 0.12, 0.4), s.between(rng, 0.16, 0.3), s.between(rng, 0.7, 1.3)
    hz = hz_of(pitch)
    t = s.seconds(max(duration_s, 0.1) + 0.35, rate)
    order = np.arange(1, 1 + how_many(hz, 7000 * brightness, rate))
    # Where the string is plucked decides which harmonics are missing.
    strength = np.abs(np.sin(np.pi * order * place)) / order
    decays_s = tau / order**0.7
    touch = 0.08 * s.noise(rng, len(t), rate, 2000, 7000) * s.decay(t, 0.003)
    left, right = (
        s.finish(
            harmonics(t * np.float32(hz * (1 + side * detune)), strength.tolist(), decays_s.tolist(), rate) + touch,
            rate,
            fade_s=0.35,
        )
        for side in (-1, 1)
    )
    return doubled(left, right, apart=0.8)


VOICE = Voice("pluck", sing=pluck, level_db=-3.5, default_s=0.3)
