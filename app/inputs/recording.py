"""Records the microphone for up to a minute and a half, with the capture time of each sample."""

import contextlib
from collections.abc import Callable
from typing import Any, Protocol

import numpy as np

from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.device import clock
from synth.device.callbacks import UNDERFLOW
from synth.device.portaudio import open_microphone
from synth.device.stream_clock import StreamClock
from synth.device.stream_faults import StreamFaults

KEPT_S = 90
BLOCK_FRAMES = 512
LATENCY_S = 0.05
# Most frames of one block, and seconds by which a block may be late: a server keeps what is not fetched.
LONGEST_BLOCK = 1 << 15
LATE_S = 0.5

NOT_STARTED = Template("recording.not_started", "The microphone did not start: {why}")


class InputStream(Protocol):
    """An input stream as the microphone needs it."""

    latency: float
    name: str

    def start(self) -> None: ...
    def close(self) -> None: ...


class Recorder(Protocol):
    """A microphone as calibration and claps need it."""

    frames: int
    sample_rate_hz: int

    @property
    def name(self) -> str: ...
    @property
    def lost(self) -> bool: ...
    def open(self) -> None: ...
    def close(self) -> None: ...
    def samples(self, first: int = 0) -> Samples: ...
    def captured_s(self, frame: float) -> float: ...


class Microphone:
    """Records while open; the sound thread only copies into preallocated arrays.

    Frames count from 0 at ``open``. ``device``: PortAudio's number or name, None for the default.
    """

    def __init__(
        self,
        device: int | str | None = None,
        sample_rate_hz: int = 48_000,
        *,
        open_stream: Callable[..., InputStream] = open_microphone,
        now: Callable[[], float] = clock.now_s,
    ) -> None:
        self.device, self.sample_rate_hz = device, sample_rate_hz
        self._open_stream, self._now = open_stream, now
        self._stream: InputStream | None = None
        self._ring = np.zeros(KEPT_S * sample_rate_hz, np.float32)
        self._watch: StreamFaults | None = None
        self._mono = np.zeros(LONGEST_BLOCK, np.float32)
        self._lost = False
        self.frames = 0

    @property
    def name(self) -> str:
        """Name of the device; empty while closed."""
        return self._stream.name if self._stream is not None else ""

    @property
    def lost(self) -> bool:
        """Whether samples were lost since ``open``, so that times are unreliable.

        Reported by the host, nothing received for half a second, or a lasting delay of all blocks.
        """
        watch = self._watch
        if watch is not None and self._stream is not None and watch.clock.notes.count:
            watch.clock.line()
            self._lost |= bool(watch.look(self._now(), LATE_S))
        return self._lost

    def open(self) -> None:
        """Start recording. Raises ``Trouble`` where there is no microphone or it refuses."""
        if self._stream is not None:
            return
        self.frames, self._lost = 0, False
        stream = self._open_stream(
            device=self.device,
            sample_rate_hz=self.sample_rate_hz,
            block_frames=BLOCK_FRAMES,
            latency_s=LATENCY_S,
            callback=self._callback,
        )
        self._watch = StreamFaults(StreamClock(self.sample_rate_hz, stream.latency, self._now()))
        self._stream = stream
        try:
            stream.start()
        except Exception as error:
            self.close()
            raise Trouble(NOT_STARTED(why=str(error).splitlines()[0])) from error

    def close(self) -> None:
        """Stop and release the device; the recording is kept."""
        stream, self._stream = self._stream, None
        if stream is not None:
            with contextlib.suppress(Exception):  # a device that has gone cannot be closed properly
                stream.close()

    def samples(self, first: int = 0) -> Samples:
        """The recording from a frame on, as far as it is kept; float32 (frames,)."""
        last = self.frames
        first = max(first, last - len(self._ring) + BLOCK_FRAMES * 4, 0)
        return self._ring[np.arange(first, last) % len(self._ring)]

    def captured_s(self, frame: float) -> float:
        """Capture time of a sample on the common clock, as far as the host knows; the rest is for calibration.

        Arrival minus the stream's latency. The delay reported with each block is ignored: on a sound server it
        varied by over 200 ms within a minute while the samples arrived regularly.
        """
        assert self._watch is not None
        clock = self._watch.clock
        line = clock.line()
        return line.heard_s(frame) - line.lead_s - clock.latency_s

    def _callback(self, heard: Samples, frames: int, when: Any, status: Any) -> None:
        arrived_s = self._now()
        if self._watch is not None:
            flags = UNDERFLOW if status and status.input_overflow else 0
            self._watch.clock.notes.note(self.frames, arrived_s, 0.0, flags)
        mono = heard[:, 0] if heard.shape[1] == 1 else np.mean(heard, axis=1, out=self._mono[:frames])
        at, size = self.frames % len(self._ring), len(self._ring)
        first = min(frames, size - at)
        self._ring[at : at + first] = mono[:first]
        if first < frames:
            self._ring[: frames - first] = mono[first:]
        self.frames += frames
