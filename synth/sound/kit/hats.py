"""The hi-hat, one pair of cymbals in three states: closed, open, closed with the foot."""

import numpy as np

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.stroke import Stroke
from synth.sound.kit.voice import Strike, Voice


def _cymbals(stroke: Stroke, tau: float, chick_db: float) -> Samples:
    """``tau`` decay, ``chick_db`` level of the first contact."""
    # Drawn first and equal in all three states: one pair of cymbals.
    edge, top, steep = stroke.between(-1.2, 1.2), stroke.between(-14, 5), stroke.between(8, 22)
    low_db, thump_db = stroke.between(-38, -6), stroke.between(-38, -8)
    metal = stroke.modes()
    tau *= float(np.exp2(stroke.between(-1.7, 0.9))) * stroke.ring()
    t = s.seconds(0.02 + 5 * tau, stroke.rate)
    lowest = min(4200 * 2 ** (0.8 * edge), 0.3 * stroke.rate)
    modes = np.exp(stroke.rng.uniform(np.log(lowest), np.log(min(14_000, 0.45 * stroke.rate)), 16))
    if stroke.machine:
        low_db, thump_db = -60.0, -60.0
    # Levels of the octaves: the edge of the sizzle lies between 2 and 5 kHz.
    knee = np.log2(s.WASH_HZ / lowest)
    levels = np.where(knee < 0, np.maximum(steep * knee, low_db), 0) + np.maximum(top * (knee - 1), -12) * (knee > 1)
    levels = levels + stroke.dull_db(0.4) * np.maximum(knee, 0)
    taus = tau * np.clip(1.3 - 0.12 * np.arange(9)[::-1], 0.4, None)
    hiss = stroke.wash(t, levels, taus.tolist(), metal)
    ring = s.unit(s.partials(stroke.chance, t, modes.tolist(), (tau * stroke.rng.uniform(0.5, 1.2, 16)).tolist()))
    contact = stroke.wash(t, np.where(knee < -1, low_db, 0), 0.002)
    thump = stroke.wash(t, (-6, 0, 0, 0, -6, -20, -30, -40, -50), 0.5 * tau)
    ring_db = stroke.between(-16, -6)
    # The lowest modes of the two cymbals, as they meet.
    low_hz = np.exp(stroke.rng.uniform(np.log(320), np.log(1500), 7)).tolist()
    clank = s.unit(s.partials(stroke.rng, t, low_hz, (tau * stroke.rng.uniform(0.3, 1.1, 7)).tolist()))
    sound = hiss + ring * s.db(-2.0 + stroke.dull_db(0.5) if stroke.machine else ring_db)
    if not stroke.machine:
        sound += clank * s.db(stroke.between(-24, -7) + stroke.dull_db(0.2))
    sound += contact * s.db(chick_db + stroke.dull_db()) + thump * s.db(thump_db)
    return s.finish(sound, stroke.rate, fade_s=2 * tau)


def closed_hat(stroke: Stroke) -> Samples:
    return _cymbals(stroke, 0.028 + 0.008 * stroke.force, -6)


def open_hat(stroke: Stroke) -> Samples:
    return _cymbals(stroke, 0.18, -14)


def pedal_hat(stroke: Stroke) -> Samples:
    return _cymbals(stroke, 0.03, -20)


def _voice(name: str, render: Strike, level_db: float) -> Voice:
    """One pair of hats, struck in different ways; any of them silences the open one."""
    return Voice(
        name,
        render=render,
        level_db=level_db,
        pan=0.22,
        chokes=("open_hat",),
        family="hats",
        room_db=-5.0,
        low_hz=200,
    )


VOICES = (
    _voice("closed_hat", closed_hat, -8.0),
    _voice("open_hat", open_hat, -7.0),
    _voice("pedal_hat", pedal_hat, -11.0),
)
