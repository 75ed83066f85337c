"""The snare: the modes of the heads and the rattle of the wires."""

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice

# Modes of a struck round membrane relative to the lowest: Rossing 2000, Science of Percussion Instruments (memory).
MODES = (1.59, 2.14, 2.30, 2.65)


def snare(stroke: Stroke) -> Samples:
    return _machine(stroke) if stroke.machine else _drum(stroke)


def _machine(stroke: Stroke) -> Samples:
    tau = stroke.between(0.04, 0.08)
    t = s.seconds(5 * tau, stroke.rate)
    hz = stroke.between(165, 215)
    head = s.swept(t, hz * (1.2 + 0.5 * stroke.force), hz, 0.008, phase=0.1) * s.decay(t, stroke.between(0.03, 0.06))
    head += 0.5 * s.sine(t, hz * stroke.between(1.5, 1.8), 0.2) * s.decay(t, 0.025)
    wires = s.noise(stroke.chance, len(t), stroke.rate, stroke.between(900, 2000), stroke.between(5000, 8500))
    wires = s.unit(wires * (s.decay(t, tau) + s.decay(t, 0.006))) * s.db(stroke.between(-7, -3) + stroke.dull_db(0.4))
    return s.finish(s.drive(2 * s.unit(head) * 8 + 16 * wires, 0.5), stroke.rate, fade_s=tau)


def _drum(stroke: Stroke) -> Samples:
    hz, ring = stroke.between(150, 235), stroke.ring()
    head_tau, wires_tau = stroke.between(0.012, 0.05) * ring, stroke.between(0.015, 0.09) * ring
    t = s.seconds(0.03 + 5 * max(head_tau, wires_tau), stroke.rate)
    pitch = stroke.about(hz, 0.006)
    head = s.unit(s.swept(t, pitch * (1.03 + 0.15 * stroke.force), pitch, 0.015, phase=0.02) * s.decay(t, head_tau))
    overtones = s.partials(
        stroke.chance,
        t,
        [hz * ratio * stroke.between(0.96, 1.04) for ratio in MODES],
        [head_tau * stroke.between(0.3, 0.8) for _ in MODES],
    )
    slope, bright_db = stroke.between(-4, 4), stroke.between(-14, -1)
    levels = [-34, -30, -18, -8, -2, 0, slope, 2 * slope, 3 * slope - 8]
    taus = [wires_tau * factor for factor in (0.6, 0.6, 0.7, 0.8, 1.0, 1.1, 1.1, 1.0, 0.8)]
    wires = stroke.wash(t, levels, taus) * s.db(bright_db + stroke.dull_db(0.25))
    stick = stroke.wash(t, (-50, -30, -14, -5, 0, 0, slope, 2 * slope, 4 * slope), 0.003)
    sound = head + s.unit(overtones) * s.db(stroke.between(-11, -3)) + wires
    sound += stick * s.db(stroke.between(-20, -11) + stroke.dull_db())
    return s.finish(sound, stroke.rate, fade_s=0.03)


VOICE = Voice("snare", render=snare, level_db=0.0, low_hz=80, depth=-1)
