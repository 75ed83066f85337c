"""The hi-hat, one pair of cymbals in three states: closed, open, closed with the foot."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.voice import Voice


def _cymbals(rng: Generator, rate: int, tau: float, length_s: float, chick: float) -> Samples:
    """Inharmonic partials with different decays, and noise; ``chick`` is the share of the first contact."""
    # Drawn first and equal in all three states: one pair of cymbals.
    brightness = s.between(rng, 0.85, 1.2)
    size = s.between(rng, 0.7, 1.3)
    # Rates below 14 kHz leave less room for partials.
    lowest, highest = min(3300 * brightness, 0.3 * rate), min(14000.0, 0.45 * rate)
    hz = np.sort(np.exp(rng.uniform(np.log(lowest), np.log(highest), 22)))
    share = rng.uniform(0.5, 1.1, len(hz))
    tau *= size
    t = s.seconds(length_s * size, rate)
    ring = s.partials(rng, t, hz.tolist(), (tau * share).tolist())
    hiss = s.noise(rng, len(t), rate, 6500 * brightness, 15000, order=3) * s.decay(t, tau)
    contact = s.noise(rng, len(t), rate, 3500 * brightness, 11000) * s.decay(t, 0.0015)
    return s.finish(0.55 * ring + 0.5 * hiss + chick * contact, rate, fade_s=0.4 * length_s)


def closed_hat(rng: Generator, rate: int) -> Samples:
    return _cymbals(rng, rate, 0.020, 0.085, 0.5)


def open_hat(rng: Generator, rate: int) -> Samples:
    return _cymbals(rng, rate, 0.13, 0.42, 0.35)


def pedal_hat(rng: Generator, rate: int) -> Samples:
    return _cymbals(rng, rate, 0.028, 0.10, 0.15)


VOICES = (
    Voice("closed_hat", render=closed_hat, level_db=-8.0, pan=0.22, chokes=("open_hat",), family="hats"),
    Voice("open_hat", render=open_hat, level_db=-7.0, pan=0.22, chokes=("open_hat",), family="hats"),
    Voice("pedal_hat", render=pedal_hat, level_db=-11.0, pan=0.22, chokes=("open_hat",), family="hats"),
)
