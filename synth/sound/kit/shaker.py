"""The shaker: grains that fly and land."""

from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def shaker(rng: Generator, rate: int) -> Samples:
    t = s.seconds(0.12, rate)
    grains = s.noise(rng, len(t), rate, s.between(rng, 4200, 5600), s.between(rng, 9000, 12000), order=3)
    landing = s.decay(t, s.between(rng, 0.014, 0.022)) + 0.25 * s.decay(t, 0.045)
    roughness = 1 + 0.35 * s.noise(rng, len(t), rate, 60, 400)
    return s.finish(grains * landing * roughness, rate, fade_s=0.05)


VOICE = Voice("shaker", render=shaker, level_db=-11.0, pan=-0.35)
