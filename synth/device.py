"""Sound devices through PortAudio: what there is, and a stream of one that is not running yet.

``Stream`` and ``OpenStream`` are what the player needs of a device; tests put their own in their place.
"""

import contextlib
import sys
from collections.abc import Callable, Iterator
from typing import Any, Protocol

from synth.errors import Trouble
from synth.metre import Samples

Callback = Callable[[Samples, int, Any, Any], None]
"""Called for each block with (out, frames, time, status) as sounddevice does."""


class Stream(Protocol):
    """What the player needs of a running output stream."""

    latency: float
    channels: int
    description: str

    def start(self) -> None: ...
    def close(self) -> None: ...


class OpenStream(Protocol):
    """Makes a stream that is not running yet; says why not as ``Trouble``."""

    def __call__(
        self,
        *,
        device: int | str | None,
        sample_rate_hz: int,
        block_frames: int,
        latency_s: float,
        callback: Callback,
    ) -> Stream: ...


class DeviceStream:
    """A stream of a real device, as the player needs it."""

    def __init__(self, stream: Any, description: str) -> None:
        self._stream = stream
        self.latency = float(stream.latency)
        self.channels = int(stream.channels)
        self.description = description

    def start(self) -> None:
        """Let the device call back."""
        self._stream.start()

    def close(self) -> None:
        """Drop what is still to be heard and give the device back."""
        self._stream.abort(ignore_errors=True)
        self._stream.close(ignore_errors=True)


def _library() -> Any:
    """sounddevice, imported when it is needed; ``Trouble`` when PortAudio is missing."""
    try:
        import sounddevice
    except OSError as error:
        raise Trouble("The PortAudio library is missing: install libportaudio2 for sound.") from error
    return sounddevice


def open_device(
    *, device: int | str | None, sample_rate_hz: int, block_frames: int, latency_s: float, callback: Callback
) -> Stream:
    """Open a real output through PortAudio; one or two channels, or all of a device that refuses two.

    Raises Trouble when there is no device, or when it refuses the rate or is held by another program.
    """
    sd = _library()
    try:
        info = sd.query_devices(device, "output")
    except (ValueError, sd.PortAudioError) as error:
        named = f" called {device!r}" if device is not None else ""
        raise Trouble(f"No sound output{named} was found: connect one, or choose another.") from error
    name, most = str(info["name"]), int(info["max_output_channels"])
    why: Exception | None = None
    for channels in sorted({min(2, most), most}):
        try:
            stream = sd.OutputStream(
                samplerate=sample_rate_hz,
                blocksize=block_frames,
                device=device,
                channels=channels,
                dtype="float32",
                latency=latency_s,
                callback=callback,
            )
        except sd.PortAudioError as error:
            why = error
        else:
            host = sd.query_hostapis(info["hostapi"])["name"]
            return DeviceStream(stream, f"{name} ({host}), {sample_rate_hz} Hz, {stream.latency * 1e3:.0f} ms")
    said = str(why).lower()
    if "sample rate" in said:
        raise Trouble(f"The sound output {name!r} refuses {sample_rate_hz} Hz: choose another rate.") from why
    if "unavailable" in said or "busy" in said:
        raise Trouble(f"The sound output {name!r} is held by another program, or gone.") from why
    raise Trouble(f"The sound output {name!r} could not be opened: {str(why).splitlines()[0]}") from why


def rescan() -> None:
    """Let PortAudio look for devices again: it only does so when it starts."""
    sd: Any = sys.modules.get("sounddevice")
    if sd is not None:
        with contextlib.suppress(Exception):
            sd._terminate()
        with contextlib.suppress(Exception):
            sd._initialize()


def outputs() -> Iterator[tuple[int, str, int]]:
    """Output devices of this computer as (number, name, channels). Raises Trouble when PortAudio is missing."""
    sd = _library()
    for number, info in enumerate(sd.query_devices()):
        if info["max_output_channels"] > 0:
            yield number, str(info["name"]), int(info["max_output_channels"])
