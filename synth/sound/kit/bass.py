"""The bass: a plucked low tone that darkens as it dies."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.tones import harmonics, held, how_many, hz_of
from synth.sound.kit.voice import Voice


def bass(rng: Generator, rate: int, pitch: float, duration_s: float) -> Samples:
    # The draws do not depend on the note: one instrument plays them all.
    brightness, growl, hollow = s.between(rng, 0.6, 1.4), s.between(rng, 0.5, 1.8), rng.random() < 0.4
    hz = hz_of(pitch)
    t = s.seconds(duration_s + 0.12, rate)
    order = np.arange(1, 1 + min(40, how_many(hz, 1400 * brightness, rate)))
    strength = (
        np.exp(0.5 * rng.standard_normal(40))[: len(order)]
        * np.where(hollow & (order % 2 == 0), 0.25, 1.0)
        / order**1.1
    )
    decays_s = 0.5 * brightness / order**0.8
    sound = harmonics(t * np.float32(hz), strength.tolist(), decays_s.tolist(), rate)
    return s.finish(s.drive(0.6 * sound, growl) * held(t, duration_s, 0.003, 0.12), rate, fade_s=0.05)


VOICE = Voice("bass", sing=bass, level_db=0.0, ducks=True, default_s=0.3)
