"""A wordless voice: harmonics under the formants of a vowel, with vibrato."""

import numpy as np
from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit import shaping as s
from synth.sound.kit.tones import doubled, harmonics, held, how_many, hz_of
from synth.sound.kit.voice import Voice

# First three formants in Hz, a woman's: Peterson & Barney 1952, JASA 24, 175-184 (values from memory).
VOWELS = ((850, 1220, 2810), (590, 920, 2710), (370, 950, 2670))


def voice_tone(rng: Generator, rate: int, pitch: float, duration_s: float) -> Samples:
    vowel = VOWELS[int(rng.integers(len(VOWELS)))]
    vibrato_hz, depth, throat = s.between(rng, 4.8, 5.8), s.between(rng, 0.004, 0.008), s.between(rng, 0.94, 1.08)
    hz = hz_of(pitch)
    t = s.seconds(duration_s + 0.4, rate)
    grown = np.clip((t - np.float32(0.15)) * np.float32(4), 0, 1)
    frequency = hz * np.arange(1, 1 + how_many(hz, 4500, rate))
    strength = 0.03 / np.arange(1, 1 + len(frequency))
    for formant, share, width in zip(vowel, (1.0, 0.45, 0.12), (110, 130, 200), strict=True):
        strength = strength + share / (1 + np.square((frequency - formant * throat) / width))
    breath = s.noise(rng, len(t), rate, 1500, 6000) * np.float32(0.015)
    slow = rng.random()

    def sung(phase: float, detune: float) -> Samples:
        """One of two voices that sing together."""
        turn = np.float32(2 * np.pi) * (np.float32(vibrato_hz) * t + np.float32(phase))
        cycles = np.float32(hz * detune) * (t - grown * np.float32(depth / (2 * np.pi * vibrato_hz)) * np.cos(turn))
        sway = 1 + np.float32(0.12) * grown * s.sine(t, vibrato_hz, 0.3 + phase)
        sway += np.float32(0.1) * s.sine(t, 0.45, slow + phase)
        sound = harmonics(cycles.astype(np.float32), strength.tolist(), rate=rate)
        return s.finish((sound + breath) * sway * held(t, duration_s, 0.06, 0.4), rate, fade_s=0.15)

    return doubled(sung(0.0, 0.998), sung(0.37, 1.002), apart=0.8)


VOICE = Voice("voice", sing=voice_tone, level_db=-3.5, default_s=1.0)
