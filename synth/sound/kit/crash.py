"""The crash cymbal, a wash that swells and darkens as it dies, and the same turned backwards."""

import numpy as np

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def crash(stroke: Stroke) -> Samples:
    return wash(
        stroke,
        0.95 * float(np.exp2(stroke.between(-1.3, 0.5))) * (0.5 if stroke.family in ("machine", "break") else 1.0),
    )


def wash(stroke: Stroke, tau: float) -> Samples:
    """A struck cymbal (frames, 2) whose octave from 2 kHz dies with ``tau``."""
    t = s.seconds(5.0 * tau, stroke.rate)
    low_db, top_db = stroke.between(-16, 0), stroke.between(-8, 1) + stroke.dull_db(0.7)
    # What is struck are the lowest modes: the energy moves up within the first tenth of a second.
    levels = (-50, -44, -32, low_db, -15, -12, 0, top_db, 2 * top_db - 7)
    taus = [tau * factor * stroke.between(0.8, 1.25) for factor in (0.7, 1.0, 1.8, 2.2, 1.6, 1.2, 1.0, 0.8, 0.6)]
    swell = 1 - s.decay(t, stroke.between(0.01, 0.05)) * np.float32(stroke.between(0.7, 0.95))
    body_db, stick_db = stroke.between(-18, -7), stroke.between(-27, -16) + stroke.dull_db(0.5)
    metal, sides = stroke.modes(), []
    for _ in range(2):
        body = stroke.wash(t, (-40, -30, -14, 0, -6, -16, -22, -30, -40), 0.05) * s.db(body_db)
        stick = stroke.wash(t, (-50, -40, -26, -12, -8, -4, 0, top_db, 2 * top_db), 0.004) * s.db(stick_db)
        sides.append(
            s.finish(stroke.wash(t, levels, taus, metal) * swell + body + stick, stroke.rate, fade_s=0.5 * tau)
        )
    return np.stack([sides[0] + 0.35 * sides[1], sides[1] + 0.35 * sides[0]], axis=1)


def reversed_crash(rng: np.random.Generator, rate: int, _pitch: float, duration_s: float) -> Samples:
    """Grows for ``duration_s`` and stops at the turn."""
    length_s = max(0.2, duration_s)
    forwards = wash(Stroke(rng, rng, rate), length_s / 5.0)
    t = s.seconds(length_s, rate)[: len(forwards)]
    # Remove the stroke: a click at the end.
    return np.ascontiguousarray((forwards * (1 - s.decay(t, 0.004))[:, None])[::-1])


VOICES = (
    Voice("crash", render=crash, level_db=-3.0, pan=-0.2, family="crash", rings=2, low_hz=150, room_db=None),
    Voice("reversed_crash", sing=reversed_crash, level_db=-4.0, pan=0.1, default_s=1.0),
)
