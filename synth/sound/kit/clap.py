"""The clap: several pairs of hands within a few milliseconds, then the room."""

import numpy as np

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Voice

# The air that hands push, as a microphone in a room has it: the lowest bands alone.
AIR_DB = [0, -22, *[-60] * 7]


def clap(stroke: Stroke) -> Samples:
    tau = stroke.between(0.02, 0.055) * stroke.ring()
    t = s.seconds(0.03 + 5 * tau, stroke.rate)
    # The first pair is the loudest and the others follow closely: the beat is felt at frame 0.
    hands = 3 if stroke.machine else int(stroke.rng.integers(3, 7))
    at_s = np.concatenate(
        [[0.0], np.cumsum([stroke.about(stroke.between(0.004, 0.010), 0.15) for _ in range(hands)])]
    )
    centre, up, down = stroke.between(-1, 4), stroke.between(-6, -2), stroke.between(-12, -5)
    levels = [4 * down, 3 * down, 2 * down, down, centre, 0, up, 2 * up, 3.5 * up]
    tail_db = stroke.between(-6, 4)
    air_db = stroke.between(-44, 8)  # most of it is lost in the microphone
    sides = []
    for _ in range(2):  # each ear hears its own hands
        envelope = np.zeros_like(t)
        for number, start in enumerate(at_s):
            envelope += np.float32(1.0 if number == 0 else stroke.between(0.4, 0.7)) * s.burst(t, float(start), 0.003)
        hit = s.unit(stroke.wash(t, levels, 10.0) * envelope)
        tail = s.unit(stroke.wash(t, levels, 10.0) * s.burst(t, float(at_s[-1]), tau))
        if not stroke.machine:
            low = s.unit(stroke.wash(t, AIR_DB, 10.0) * s.burst(t, 0.0, 2 * tau))
            hit = hit + low * s.db(air_db)
        sides.append(s.finish(hit * s.db(stroke.dull_db(0.3)) + tail * s.db(tail_db), stroke.rate, fade_s=tau))
    both = 0.75 * (sides[0] + sides[1])
    return np.stack([both + 0.35 * sides[0], both + 0.35 * sides[1]], axis=1)


VOICE = Voice("clap", render=clap, level_db=-1.0, low_hz=180, depth=-1)
