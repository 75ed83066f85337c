"""The cowbell: a bent sheet of metal with two strong modes."""

from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def cowbell(rng: Generator, rate: int) -> Samples:
    low_hz, tau = s.between(rng, 590, 720), s.between(rng, 0.05, 0.08)
    t = s.seconds(4 * tau, rate)
    clang = s.sine(t, low_hz, 0.15) + 0.8 * s.sine(t, low_hz * s.between(rng, 1.42, 1.56), 0.1)
    sheet = s.partials(rng, t, [low_hz * ratio for ratio in (2.76, 3.21, 4.43, 5.9)], 0.02)
    stick = s.noise(rng, len(t), rate, 1500, 6000) * s.decay(t, 0.002)
    body = s.drive(clang * (0.6 * s.decay(t, tau) + 0.6 * s.decay(t, 0.01)), 1.2)
    return s.finish(body + 0.35 * sheet + 0.3 * stick, rate, fade_s=tau)


VOICE = Voice("cowbell", render=cowbell, level_db=-7.0, pan=-0.3)
