"""The ride cymbal: a clear stick sound over a quiet, long wash."""

import numpy as np

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice


def ride(stroke: Stroke) -> Samples:
    tau = 1.05 * float(np.exp2(stroke.between(-1.3, 0.5))) * {"room": 1.0, "dry": 0.6}.get(stroke.family, 0.3)
    t = s.seconds(5.0 * tau, stroke.rate)
    ping_s = s.seconds(min(1.0, 4.6 * tau), stroke.rate)
    bell = np.exp(stroke.rng.uniform(np.log(2600), np.log(11_000), 18))
    ping = s.partials(stroke.chance, ping_s, bell.tolist(), (0.18 * stroke.rng.uniform(0.3, 1.6, 18)).tolist())
    top_db, low_db = stroke.between(-2, 6) + stroke.dull_db(0.7), stroke.between(-16, 1)
    levels = (-36, -33, -27, low_db, -16, -14, -2, top_db, 2 * top_db - 4)
    taus = [tau * factor * stroke.between(0.8, 1.25) for factor in (1.0, 1.2, 2.0, 3.0, 2.4, 1.5, 0.8, 0.4, 0.3)]
    stick_db, ping_db = stroke.between(-14, -7) + stroke.dull_db(0.5), stroke.between(-9, 1)
    metal, sides = stroke.modes(), []
    for _ in range(2):
        stick = stroke.wash(t, (-26, -22, -18, -12, -15, -12, 0, top_db, 2 * top_db), 0.012)
        sides.append(stroke.wash(t, levels, taus, metal) + stick * s.db(stick_db))
    both = np.stack([sides[0] + 0.35 * sides[1], sides[1] + 0.35 * sides[0]], axis=1)
    both[: len(ping)] += (s.unit(ping) * s.db(ping_db))[:, None]
    return s.finish(both, stroke.rate, fade_s=0.5 * tau)


VOICE = Voice("ride", render=ride, level_db=-9.0, pan=-0.28, rings=3, low_hz=40, room_db=None)
