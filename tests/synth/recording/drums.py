"""Drums with a bass, made for the tests of recordings: small, mono, each attack on its frame."""

from collections.abc import Callable

import numpy as np

RATE_HZ = 22_050
# Beats of the bar with a kick and with a snare, by metre.
KICKS = {3: (0,), 4: (0, 2), 5: (0, 3), 6: (0,), 7: (0, 3)}
SNARES = {3: (1, 2), 4: (1, 3), 5: (2, 4), 6: (2, 4), 7: (2, 5, 6)}
NOTES_HZ = (55.0, 65.4, 49.0, 73.4)


def _voice(length_s: float, decay_s: float, kind: str, rng: np.random.Generator) -> np.ndarray:
    at_s = np.arange(int(length_s * RATE_HZ)) / RATE_HZ
    if kind == "kick":
        sound = np.sin(2 * np.pi * (50 * at_s + 4 * (1 - np.exp(-at_s / 0.03))) + 1.2)
    else:
        sound = rng.standard_normal(len(at_s))
        if kind == "hat":
            sound = np.diff(sound, n=2, prepend=(0, 0)) / 3
    return sound * np.exp(-at_s / decay_s)


def drums(
    tempo_bpm: float = 124.0,
    bars: int = 40,
    *,
    beats: int = 4,
    start_s: float = 0.25,
    time_of: Callable[[np.ndarray], np.ndarray] | None = None,
    swing: float = 0.5,
    phrase: int = 8,
    seed: int = 0,
) -> tuple[np.ndarray, np.ndarray]:
    """Samples (n,) float32 and the times of the beats (bars * beats,).

    ``time_of`` leads beats (from 0, in beats) to seconds, where the tempo is not steady.
    """
    rng = np.random.default_rng(seed)
    time_of = time_of or (lambda beat: start_s + beat * 60 / tempo_bpm)
    end_s = float(time_of(np.array(float(bars * beats))))
    out = np.zeros(int((end_s + 0.5) * RATE_HZ))
    voices = {
        "kick": 0.8 * _voice(0.2, 0.06, "kick", rng),
        "snare": 0.35 * _voice(0.15, 0.04, "snare", rng),
        "hat": 0.2 * _voice(0.05, 0.012, "hat", rng),
        "crash": 0.3 * _voice(1.0, 0.3, "hat", rng),
    }

    def hit(voice: str, beat: float, gain: float = 1.0) -> None:
        at = round(float(time_of(np.array(beat))) * RATE_HZ)
        sound = voices[voice][: len(out) - at]
        out[at : at + len(sound)] += gain * sound

    for bar in range(bars):
        first = bar * beats
        for beat in range(beats):
            hit("hat", first + beat)
            hit("hat", first + beat + swing, 0.7)
            if beat in KICKS[beats]:
                hit("kick", first + beat)
            if beat in SNARES[beats]:
                hit("snare", first + beat)
        if bar % 2:
            hit("kick", first + beats - 1.5, 0.7)
        if bar % phrase == 0:
            hit("crash", first)
        if bar >= phrase:
            low, high = (round(float(time_of(np.array(float(at)))) * RATE_HZ) for at in (first, first + beats))
            pitch = NOTES_HZ[bar // 2 % 4] * (1.5 if bar // phrase % 2 else 1.0)
            out[low:high] += 0.12 * np.sign(np.sin(2 * np.pi * pitch * np.arange(high - low) / RATE_HZ))
    return (0.5 * out).astype(np.float32), time_of(np.arange(bars * beats, dtype=np.float64))
