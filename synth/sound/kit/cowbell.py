"""The cowbell: a bent sheet of metal with two strong modes."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def cowbell(stroke: Stroke) -> Samples:
    low_hz, tau = stroke.between(590, 720), stroke.between(0.05, 0.08)
    t = s.seconds(4 * tau, stroke.rate)
    clang = s.sine(t, low_hz, 0.15) + 0.8 * s.sine(t, low_hz * stroke.between(1.42, 1.56), 0.1)
    sheet = s.partials(stroke.chance, t, [low_hz * ratio for ratio in (2.76, 3.21, 4.43, 5.9)], 0.02)
    stick = s.noise(stroke.chance, len(t), stroke.rate, 1500, 6000) * s.decay(t, 0.002)
    body = s.drive(clang * (0.6 * s.decay(t, tau) + 0.6 * s.decay(t, 0.01)), 1.2)
    return s.finish(body + 0.35 * sheet + 0.3 * stick, stroke.rate, fade_s=tau)


VOICE = Voice("cowbell", render=cowbell, level_db=-7.0, pan=-0.3)
