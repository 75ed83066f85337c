"""The instruments of a record, one small file each, and the kit that holds one take of every one of them."""

from zlib import crc32

import numpy as np

from synth.errors import near
from synth.kit import clap, crash, hats, kick, snare, toms
from synth.kit.voice import Voice
from synth.loudness import k_weighted
from synth.metre import Samples

__all__ = ["VOICES", "Kit", "Voice"]

VOICES: dict[str, Voice] = {
    voice.name: voice for voice in (kick.VOICE, snare.VOICE, clap.VOICE, *hats.VOICES, crash.VOICE, *toms.VOICES)
}

# Power of the loudest 100 ms of a voice at 0 dB: leaves the peaks of most shots some 6 to 10 dB below full scale.
_REFERENCE_POWER = 10 ** (-14 / 10)
_WINDOW_S = 0.1


class Kit:
    """One take of every voice, drawn from a seed: the same seed gives the same samples.

    A voice is rendered when it is first asked for, whatever was asked before it, and kept.
    """

    def __init__(self, seed: int = 0, sample_rate_hz: int = 48_000) -> None:
        """``ValueError`` where the seed is negative or the rate outside 8 to 192 kHz."""
        if seed < 0:
            raise ValueError(f"kit seed {seed}: 0 or more expected")
        if not 8_000 <= sample_rate_hz <= 192_000:
            raise ValueError(f"sample rate {sample_rate_hz}: 8000 to 192000 Hz expected. Is this kHz?")
        self.seed = seed
        self.sample_rate_hz = sample_rate_hz
        self._shots: dict[str, Samples] = {}

    def shot(self, voice: str) -> Samples:
        """The sound of one hit at full velocity, float32 (frames, 2), read-only, its attack at frame 0.

        ``ValueError`` for an unknown voice, with the nearest names.
        """
        if voice not in self._shots:
            self._shots[voice] = self._render(voice)
        return self._shots[voice]

    def _render(self, name: str) -> Samples:
        if name not in VOICES:
            raise ValueError(f"voice {name!r} is unknown.{near(name, VOICES)}")
        voice = VOICES[name]
        assert voice.render is not None
        rng = np.random.default_rng([self.seed, crc32((voice.family or name).encode())])
        sound = voice.render(rng, self.sample_rate_hz)
        stereo = np.repeat(sound[:, None], 2, axis=1) if sound.ndim == 1 else sound
        # Balance, not constant power: a voice in the middle stays as it is.
        stereo = stereo * np.array([min(1, 1 - voice.pan), min(1, 1 + voice.pan)], dtype=np.float32)
        stereo *= np.float32(10 ** (voice.level_db / 20) / self._strength(stereo))
        stereo.setflags(write=False)
        return stereo

    def _strength(self, stereo: Samples) -> float:
        """Level of the loudest 100 ms relative to the reference, as a factor."""
        power = np.concatenate([[0.0], np.cumsum(np.square(k_weighted(stereo, self.sample_rate_hz)).sum(axis=1))])
        window = round(_WINDOW_S * self.sample_rate_hz)
        span = min(window, len(stereo))
        loudest = float(np.max(power[span:] - power[:-span])) / window
        return float(np.sqrt(loudest / _REFERENCE_POWER)) + 1e-12
