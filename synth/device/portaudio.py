"""PortAudio: the list of sound devices, and streams that are opened but not yet started.

``Stream`` and ``OpenStream`` are what the player needs of a device; tests replace them.
"""

import contextlib
import sys
from collections import Counter
from collections.abc import Callable
from typing import Any, Protocol

from synth.base.arrays import Samples
from synth.base.errors import Trouble

# Called for each block with (out, frames, time, status), as by sounddevice.
Callback = Callable[[Samples, int, Any, Any], None]


class Stream(Protocol):
    """An output stream as the player needs it."""

    latency: float
    channels: int
    description: str

    def start(self) -> None: ...
    def close(self) -> None: ...


class OpenStream(Protocol):
    """Opens a stream without starting it. Raises ``Trouble``."""

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
    """A stream of a real device, output or input."""

    def __init__(self, stream: Any, name: str, description: str) -> None:
        self._stream = stream
        self.latency = float(stream.latency)
        self.channels = int(stream.channels)
        self.name = name
        self.description = description

    def start(self) -> None:
        """Start the callbacks."""
        self._stream.start()

    def close(self) -> None:
        """Discard pending sound and release the device."""
        self._stream.abort(ignore_errors=True)
        self._stream.close(ignore_errors=True)


class _Refused(Exception):
    """A device that exists but does not open: its name, and PortAudio's message."""

    def __init__(self, name: str, said: str) -> None:
        super().__init__(said)
        self.name, self.said = name, said.splitlines()[0]
        self.rate = "sample rate" in said.lower()
        self.busy = "unavailable" in said.lower() or "busy" in said.lower()


def _library() -> Any:
    """The sounddevice module, imported on first use. Raises ``Trouble`` where PortAudio is missing."""
    try:
        import sounddevice
    except OSError as error:
        raise Trouble("The PortAudio library is missing: install libportaudio2 for sound.") from error
    return sounddevice


def _open(side: str, channels: int, *, device: int | str | None, sample_rate_hz: int, **how: Any) -> DeviceStream:
    """Open a stream of the ``"output"`` or ``"input"`` side with ``channels`` channels, or else all the device has.

    Raises ``LookupError`` where there is no such device, ``_Refused`` where it does not open.
    """
    sd = _library()
    try:
        info = sd.query_devices(device, side)
    except (ValueError, sd.PortAudioError) as error:
        raise LookupError(str(error)) from error
    name, most = str(info["name"]), int(info[f"max_{side}_channels"])
    kind = sd.OutputStream if side == "output" else sd.InputStream
    why: Exception | None = None
    for count in sorted({min(channels, most), most}):
        try:
            stream = kind(samplerate=sample_rate_hz, device=device, channels=count, dtype="float32", **how)
        except sd.PortAudioError as error:
            # Retry with all channels after any error: not every host names the channel count (WASAPI blames the
            # sample rate, from memory). Keep the first error unless it named the channels.
            if why is None or "channels" in str(why):
                why = error
        else:
            host = sd.query_hostapis(info["hostapi"])["name"]
            return DeviceStream(stream, name, f"{name} ({host}), {sample_rate_hz} Hz, {stream.latency * 1e3:.0f} ms")
    raise _Refused(name, str(why)) from why


def _several(error: LookupError) -> bool:
    """Whether the error says that several devices have the name (sounddevice's wording)."""
    return str(error).startswith("Multiple ")


def open_device(
    *, device: int | str | None, sample_rate_hz: int, block_frames: int, latency_s: float, callback: Callback
) -> Stream:
    """Open an output with one or two channels, or all of a device that refuses two.

    Raises ``Trouble`` where there is no device, the rate is refused, or another program holds it.
    """
    how = {"blocksize": block_frames, "latency": latency_s, "callback": callback}
    try:
        return _open("output", 2, device=device, sample_rate_hz=sample_rate_hz, **how)
    except LookupError as error:
        if _several(error):
            raise Trouble(f"Several sound outputs are called {device!r}: choose one from the list.") from error
        named = f" called {device!r}" if device is not None else ""
        raise Trouble(f"No sound output{named} was found: connect one, or choose another.") from error
    except _Refused as refused:
        if refused.rate:
            raise Trouble(
                f"The sound output {refused.name!r} refuses {sample_rate_hz} Hz: choose another rate."
            ) from refused
        if refused.busy:
            raise Trouble(f"The sound output {refused.name!r} is held by another program, or gone.") from refused
        raise Trouble(f"The sound output {refused.name!r} could not be opened: {refused.said}") from refused


def open_microphone(
    *, device: int | str | None, sample_rate_hz: int, block_frames: int, latency_s: float, callback: Callback
) -> DeviceStream:
    """Open an input, with one channel if possible.

    Raises ``Trouble`` where there is no microphone, the rate is refused, or another program holds it.
    """
    how = {"blocksize": block_frames, "latency": latency_s, "callback": callback}
    try:
        return _open("input", 1, device=device, sample_rate_hz=sample_rate_hz, **how)
    except LookupError as error:
        if _several(error):
            raise Trouble(f"Several microphones are called {device!r}: choose one from the list.") from error
        raise Trouble("No microphone was found: connect one, or choose another.") from error
    except _Refused as refused:
        if refused.rate:
            raise Trouble(
                f"The microphone {refused.name!r} refuses {sample_rate_hz} Hz: choose another rate."
            ) from refused
        if refused.busy:
            raise Trouble(f"The microphone {refused.name!r} is held by another program, or gone.") from refused
        raise Trouble(f"The microphone {refused.name!r} could not be opened: {refused.said}") from refused


def rescan() -> None:
    """Restart PortAudio, which scans for devices only when it starts."""
    sd: Any = sys.modules.get("sounddevice")
    if sd is not None:
        with contextlib.suppress(Exception):
            sd._terminate()
        with contextlib.suppress(Exception):
            sd._initialize()


def outputs() -> list[tuple[int, str]]:
    """Output devices as (number, name to open it by). Raises ``Trouble`` where PortAudio is missing."""
    return _named("output")


def microphones() -> list[tuple[int, str]]:
    """Input devices as (number, name to open it by). Raises ``Trouble`` where PortAudio is missing."""
    return _named("input")


def _named(side: str) -> list[tuple[int, str]]:
    sd = _library()
    found = [(at, info) for at, info in enumerate(sd.query_devices()) if info[f"max_{side}_channels"] > 0]
    # A device is listed once per host API, often by the same name: then append the host's name.
    times = Counter(str(info["name"]).lower() for _, info in found)

    def name(info: Any) -> str:
        own = str(info["name"])
        return own if times[own.lower()] == 1 else f"{own}, {sd.query_hostapis(info['hostapi'])['name']}"

    return [(at, name(info)) for at, info in found]
