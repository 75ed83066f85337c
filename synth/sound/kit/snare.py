"""The snare: two modes of the head and the rattle of the wires."""

from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def snare(rng: Generator, rate: int) -> Samples:
    wires_tau = s.between(rng, 0.045, 0.085)
    t = s.seconds(4.2 * wires_tau, rate)
    head_hz = s.between(rng, 175, 235)
    head = s.swept(t, head_hz * 1.5, head_hz, 0.008, phase=0.1) * s.decay(t, s.between(rng, 0.03, 0.05))
    head += 0.6 * s.sine(t, head_hz * s.between(rng, 1.58, 1.82), 0.2) * s.decay(t, 0.025)
    wires = s.noise(rng, len(t), rate, s.between(rng, 1500, 2400), s.between(rng, 7500, 10000))
    wires *= 0.65 * s.decay(t, wires_tau) + 0.5 * s.decay(t, 0.006)
    return s.finish(s.drive(0.55 * head + 0.6 * wires, 0.9), rate, fade_s=wires_tau)


VOICE = Voice("snare", render=snare, level_db=0.0, depth=-1)
