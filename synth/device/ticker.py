"""A soft tick for every tap, on a stream of its own with little latency: what is measured never contains it."""

from contextlib import suppress
from typing import Any

import numpy as np

from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.device.playback import Player
from synth.device.portaudio import OpenStream, Stream, open_device

# As short a latency as hosts usually keep up with; a tick that stutters harms nothing else.
LATENCY_S, BLOCK_FRAMES = 0.012, 128
# A short high tone, 22 dB below full scale before the volume, that is gone after some 20 ms.
TONE_HZ, FADE_S, LASTS_S, PEAK = 1_700.0, 0.004, 0.03, 0.08


def soft_tick(sample_rate_hz: int) -> Samples:
    """The tick, float32 (frames,)."""
    t = np.arange(round(LASTS_S * sample_rate_hz)) / sample_rate_hz
    return np.asarray(PEAK * np.sin(2 * np.pi * TONE_HZ * t) * np.exp(-t / FADE_S), np.float32)


class Ticker:
    """Ticks on the output of a player while ``on``; everything but the callback is called from one thread."""

    def __init__(self, player: Player, *, on: bool = False, open_stream: OpenStream = open_device) -> None:
        self.on = on
        self._player, self._open_stream = player, open_stream
        self._stream: Stream | None = None
        self._opened: tuple[object, int] | None = None
        self._samples, self._at = np.zeros(0, np.float32), 0

    def begin(self) -> None:
        """Have the stream open where ticks are wanted, on the player's output; without one there are none."""
        wanted = (self._player.device, self._player.sample_rate_hz) if self.on else None
        if self._stream is not None and self._opened == wanted and not getattr(self._stream, "closed", False):
            return
        self.close()
        if wanted is None:
            return
        self._samples = soft_tick(wanted[1])
        self._at = len(self._samples)
        with suppress(Trouble):
            self._stream = self._open_stream(
                device=wanted[0],
                sample_rate_hz=wanted[1],
                block_frames=BLOCK_FRAMES,
                latency_s=LATENCY_S,
                callback=self._callback,
            )
            self._stream.start()
            self._opened = wanted

    def tick(self) -> None:
        """Let one be heard."""
        if self.on:
            self._at = 0

    def close(self) -> None:
        """Release the output."""
        stream, self._stream, self._opened = self._stream, None, None
        if stream is not None:
            with suppress(Exception):  # as of a device that is gone
                stream.close()

    def _callback(self, out: Samples, frames: int, when: Any, status: Any) -> None:
        at = self._at
        piece = self._samples[at : at + frames]
        out.fill(0)
        gain = self._player.gain
        for channel in range(min(2, out.shape[1])):
            np.multiply(piece, gain, out=out[: len(piece), channel])
        if self._at == at:  # else another tap came meanwhile
            self._at = min(at + frames, len(self._samples))
