"""The tambourine: a ring of small jingles that do not quite meet."""

import numpy as np

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def tambourine(stroke: Stroke) -> Samples:
    t = s.seconds(0.26, stroke.rate)
    out = np.zeros_like(t)
    for number, at_s in enumerate((0.0, 0.007, 0.016)):
        hz = np.exp(stroke.rng.uniform(np.log(4500), np.log(12500), 8))
        later = np.maximum(t - np.float32(at_s), 0)
        jingle = s.partials(stroke.chance, later, hz.tolist(), (0.07 * stroke.rng.uniform(0.6, 1.3, 8)).tolist())
        out += np.float32(1.0 if number == 0 else 0.6) * jingle * (t >= at_s)
    hiss = s.noise(stroke.chance, len(t), stroke.rate, 7000, 14000) * (s.decay(t, 0.035) + 0.5 * s.decay(t, 0.004))
    slap = s.noise(stroke.chance, len(t), stroke.rate, 500, 1800) * s.decay(t, 0.008)
    return s.finish(0.6 * out + 0.4 * hiss + 0.12 * slap, stroke.rate, fade_s=0.1)


VOICE = Voice("tambourine", render=tambourine, level_db=-10.0, pan=0.35)
