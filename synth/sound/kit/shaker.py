"""The shaker: grains that fly and land."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def shaker(stroke: Stroke) -> Samples:
    t = s.seconds(0.12, stroke.rate)
    grains = s.noise(
        stroke.chance, len(t), stroke.rate, stroke.between(4200, 5600), stroke.between(9000, 12000), order=3
    )
    landing = s.decay(t, stroke.between(0.014, 0.022)) + 0.25 * s.decay(t, 0.045)
    roughness = 1 + 0.35 * s.noise(stroke.chance, len(t), stroke.rate, 60, 400)
    return s.finish(grains * landing * roughness, stroke.rate, fade_s=0.05)


VOICE = Voice("shaker", render=shaker, level_db=-11.0, pan=-0.35)
