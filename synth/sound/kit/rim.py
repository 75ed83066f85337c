"""The rim: a stick laid across the snare, knocked on its hoop."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def rim(stroke: Stroke) -> Samples:
    t = s.seconds(0.09, stroke.rate)
    wood_hz = stroke.between(1500, 2000)
    wood = s.sine(t, wood_hz, 0.2) * s.decay(t, stroke.between(0.009, 0.014))
    shell = s.sine(t, wood_hz * stroke.between(0.29, 0.36), 0.15) * s.decay(t, 0.012)
    tick = s.noise(stroke.chance, len(t), stroke.rate, 2500, 9000) * s.decay(t, 0.0025)
    return s.finish(s.drive(wood + 0.6 * shell + 0.35 * tick, 1.0), stroke.rate)


VOICE = Voice("rim", render=rim, level_db=-5.0, pan=-0.12, depth=-1)
