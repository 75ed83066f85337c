"""The kick: a deep body whose pitch falls, and a click that tells where it begins."""

from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice

# character: lowest pitch, first pitch, fall of the pitch, decay of the body (each a range), click, saturation
CHARACTERS = {
    "round": ((46, 54), (150, 210), (0.028, 0.040), (0.10, 0.13), 0.12, 0.8),
    "punchy": ((52, 60), (300, 420), (0.011, 0.016), (0.065, 0.09), 0.30, 1.8),
    "long": ((42, 48), (190, 260), (0.022, 0.032), (0.16, 0.20), 0.18, 1.2),
}


def character(rng: Generator) -> str:
    """The character that a generator draws first."""
    return list(CHARACTERS)[int(rng.integers(len(CHARACTERS)))]


def kick(rng: Generator, rate: int) -> Samples:
    low, high, fall, body_s, click, saturation = CHARACTERS[character(rng)]
    tau = s.between(rng, *body_s)
    t = s.seconds(0.02 + 3.2 * tau, rate)
    body = s.swept(t, s.between(rng, *high), s.between(rng, *low), s.between(rng, *fall), phase=0.06)
    body = s.drive(body * s.decay(t - 0.02, tau), s.near_value(rng, saturation, 0.3))
    tick = s.noise(rng, len(t), rate, s.near_value(rng, 1500, 0.3), 5000) * s.decay(t, 0.002)
    knock = s.swept(t, 1900.0, 300.0, 0.002, phase=0.2) * s.decay(t, 0.004)
    return s.finish(body + s.near_value(rng, click, 0.3) * (0.35 * tick + knock), rate, fade_s=tau)


VOICE = Voice("kick", render=kick, level_db=3.0, depth=1)
