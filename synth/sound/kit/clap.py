"""The clap: several pairs of hands within a few milliseconds, then the room."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def clap(rng: Generator, rate: int) -> Samples:
    room_tau = s.between(rng, 0.04, 0.075)
    hands = int(rng.integers(3, 5))
    t = s.seconds(4.5 * room_tau, rate)
    # The first pair is the loudest and the others follow closely: the beat is felt at frame 0.
    at_s = np.concatenate([[0.0], np.cumsum(rng.uniform(0.006, 0.010, hands - 1))])
    low, high = s.between(rng, 900, 1200), s.between(rng, 3200, 5200)
    sides = []
    for _ in range(2):  # each ear hears its own hands
        envelope = np.float32(0.32) * s.burst(t, float(at_s[-1]), room_tau)
        for number, start in enumerate(at_s):
            envelope += np.float32(1.0 if number == 0 else 0.5) * s.burst(t, float(start), 0.0028)
        centre = s.noise(rng, len(t), rate, low, high, order=3)
        sides.append(s.finish(centre * envelope, rate, fade_s=room_tau))
    sides = [s.drive(0.4 * side, 1.6) for side in sides]
    both = 0.75 * (sides[0] + sides[1])
    return np.stack([both + 0.35 * sides[0], both + 0.35 * sides[1]], axis=1)


VOICE = Voice("clap", render=clap, level_db=-1.0, depth=-1)
