"""The stab: one note of a short, bright chord."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.tones import doubled, harmonics, held, how_many, hz_of
from synth.sound.kit.voice import Voice


def stab(rng: Generator, rate: int, pitch: float, duration_s: float) -> Samples:
    brightness, detune, tau = s.between(rng, 0.7, 1.5), s.between(rng, 0.002, 0.005), s.between(rng, 0.12, 0.3)
    hz = hz_of(pitch)
    t = s.seconds(duration_s + 0.2, rate)
    order = np.arange(1, 1 + how_many(hz, 4500 * brightness, rate))
    strength = (1 / order).tolist()
    decays_s = (2.2 * tau * brightness / order**0.6).tolist()
    envelope = held(t, duration_s, 0.002, 0.2) * s.decay(t, 2 * tau)
    sides = [
        harmonics(t * np.float32(hz * (1 + side * detune)) + np.float32(phase), strength, decays_s, rate) * envelope
        for side, phase in ((-1, 0.0), (1, rng.random()))
    ]
    left, right = (s.finish(side, rate, fade_s=0.07) for side in sides)
    return doubled(left, right, apart=0.76)


VOICE = Voice("stab", sing=stab, level_db=-6.5, default_s=0.2)
