"""The kick: a deep body whose pitch falls, and a beater that tells where it begins."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice

# character of a machine: lowest pitch, first pitch, fall of the pitch, decay of the body (each a range), click, drive
CHARACTERS = {
    "round": ((46, 54), (150, 210), (0.028, 0.040), (0.10, 0.13), 0.12, 0.8),
    "punchy": ((52, 60), (300, 420), (0.011, 0.016), (0.065, 0.09), 0.30, 1.8),
    "long": ((42, 48), (190, 260), (0.022, 0.032), (0.16, 0.20), 0.18, 1.2),
}


def character(rng: Generator) -> str:
    """The character that a machine's generator draws first."""
    return list(CHARACTERS)[int(rng.integers(len(CHARACTERS)))]


def kick(stroke: Stroke) -> Samples:
    return _machine(stroke) if stroke.machine else _drum(stroke)


def _machine(stroke: Stroke) -> Samples:
    low, high, fall, body_s, click, saturation = CHARACTERS[character(stroke.rng)]
    tau = stroke.between(*body_s)
    t = s.seconds(0.02 + 3.6 * tau, stroke.rate)
    first = stroke.between(*high) * (0.6 + 0.4 * stroke.force)
    body = s.swept(t, first, stroke.between(*low), stroke.between(*fall), phase=0.06)
    body = s.drive(body * s.decay(t - 0.02, tau), stroke.between(0.7, 1.3) * saturation * (0.4 + 0.6 * stroke.force))
    tick = s.noise(stroke.chance, len(t), stroke.rate, stroke.between(1050, 1950), 5000) * s.decay(t, 0.002)
    knock = s.swept(t, 1900.0, 300.0, 0.002, phase=0.2) * s.decay(t, 0.004)
    click *= stroke.between(0.7, 1.3) * float(s.db(stroke.dull_db()))
    return s.finish(body + click * (0.35 * tick + knock), stroke.rate, fade_s=tau)


def _drum(stroke: Stroke) -> Samples:
    hz, tau = stroke.between(37, 67), 0.045 * stroke.ring()
    t = s.seconds(0.03 + 8 * tau, stroke.rate)
    fall = stroke.between(0.006, 0.03)
    first = hz * stroke.about(stroke.between(1.1, 3.0)) * (0.75 + 0.25 * stroke.force)
    # The heads first give their energy to the air, then ring by themselves.
    after = stroke.between(0.1, 0.4)
    dying = np.float32(1 - after) * s.decay(t, tau) + np.float32(after) * s.decay(t, stroke.between(1.6, 2.4) * tau)
    contact = 1 - s.decay(t, stroke.between(0.0002, 0.002))
    head = s.unit(s.swept(t, first, stroke.about(hz, 0.004), fall, phase=0.01) * dying * contact)
    # The front head, coupled to the other by the air between them.
    front = s.unit(s.sine(t, hz * stroke.between(1.6, 3.2), 0.0) * s.decay(t, tau * stroke.between(0.5, 1.1)))
    shell = stroke.wash(t, (-14, -6, 0, -2, -6, -12, -18, -24, -30), stroke.between(0.4, 1.2) * tau)
    # The snare's wires, which stand beside it, answer.
    wires = stroke.wash(t, (-50, -40, -26, -14, -6, -2, 0, -2, -8), stroke.between(0.02, 0.08))
    tilt = stroke.between(-16, 1)
    beater = stroke.wash(t, (-30, -18, -8, -3, 0, tilt, 2 * tilt, 3 * tilt, 4 * tilt), stroke.between(0.002, 0.006))
    sound = head + front * s.db(stroke.between(-13, -3)) + shell * s.db(stroke.between(-52, -20))
    sound += beater * s.db(stroke.between(-60, -8) + stroke.dull_db()) + wires * s.db(stroke.between(-68, -36))
    return s.finish(sound, stroke.rate, fade_s=2 * tau)


VOICE = Voice("kick", render=kick, level_db=3.0, room_db=-6.0, depth=1)
