"""A conga-like drum: a tuned skin, played open with the flat hand."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def conga(stroke: Stroke) -> Samples:
    hz, tau = stroke.between(190, 310), stroke.between(0.06, 0.10)
    t = s.seconds(4 * tau, stroke.rate)
    skin = s.swept(t, hz * 1.12, hz, 0.015, phase=0.1) * s.decay(t, tau)
    skin += 0.4 * s.sine(t, hz * stroke.between(1.65, 1.95), 0.2) * s.decay(t, 0.35 * tau)
    skin += 0.2 * s.sine(t, hz * stroke.between(2.5, 2.9), 0.1) * s.decay(t, 0.2 * tau)
    hand = s.noise(stroke.chance, len(t), stroke.rate, 900, 3800) * s.decay(t, 0.005)
    return s.finish(s.drive(skin + 0.2 * hand, 0.7), stroke.rate, fade_s=tau)


VOICE = Voice("conga", render=conga, level_db=-4.0, pan=0.3)
