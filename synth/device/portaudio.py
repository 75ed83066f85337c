"""Sound devices through PortAudio: what there is, and a stream of one, out or in, that is not running yet.

``Stream`` and ``OpenStream`` are what the player needs of a device; tests put their own in their place.
"""

import contextlib
import sys
from collections import Counter
from collections.abc import Callable
from typing import Any, Protocol

from synth.base.arrays import Samples
from synth.base.errors import Trouble

# Called for each block with (out, frames, time, status) as sounddevice does.
Callback = Callable[[Samples, int, Any, Any], None]


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
    """A stream of a real device, out or in, as the player and the microphone need it."""

    def __init__(self, stream: Any, name: str, description: str) -> None:
        self._stream = stream
        self.latency = float(stream.latency)
        self.channels = int(stream.channels)
        self.name = name
        self.description = description

    def start(self) -> None:
        """Let the device call back."""
        self._stream.start()

    def close(self) -> None:
        """Drop what is still to be heard and give the device back."""
        self._stream.abort(ignore_errors=True)
        self._stream.close(ignore_errors=True)


class _Refused(Exception):
    """A device that is there and does not open: its name, and what PortAudio said."""

    def __init__(self, name: str, said: str) -> None:
        super().__init__(said)
        self.name, self.said = name, said.splitlines()[0]
        self.rate = "sample rate" in said.lower()
        self.busy = "unavailable" in said.lower() or "busy" in said.lower()


def _library() -> Any:
    """sounddevice, imported when it is needed; ``Trouble`` when PortAudio is missing."""
    try:
        import sounddevice
    except OSError as error:
        raise Trouble("The PortAudio library is missing: install libportaudio2 for sound.") from error
    return sounddevice


def _open(side: str, channels: int, *, device: int | str | None, sample_rate_hz: int, **how: Any) -> DeviceStream:
    """A stream of the ``"output"`` or ``"input"`` side, of so many channels, or all of a device that refuses them.

    Raises LookupError when there is no such device, ``_Refused`` when it is there and does not open.
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
            # Whatever is refused is tried with all channels: not every host says that it was their number (WASAPI
            # blames the sample rate, from memory). What is said then tells more only if it was the channels before.
            if why is None or "channels" in str(why):
                why = error
        else:
            host = sd.query_hostapis(info["hostapi"])["name"]
            return DeviceStream(stream, name, f"{name} ({host}), {sample_rate_hz} Hz, {stream.latency * 1e3:.0f} ms")
    raise _Refused(name, str(why)) from why


def _several(error: LookupError) -> bool:
    """Whether a name was not found because it is that of more than one device, by sounddevice's own words."""
    return str(error).startswith("Multiple ")


def open_device(
    *, device: int | str | None, sample_rate_hz: int, block_frames: int, latency_s: float, callback: Callback
) -> Stream:
    """Open a real output through PortAudio; one or two channels, or all of a device that refuses two.

    Raises Trouble when there is no device, or when it refuses the rate or is held by another program.
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
    """Open a real input through PortAudio, with one channel if it can.

    Raises Trouble when there is no microphone, or when it refuses the rate or is held by another program.
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
    """Let PortAudio look for devices again: it only does so when it starts."""
    sd: Any = sys.modules.get("sounddevice")
    if sd is not None:
        with contextlib.suppress(Exception):
            sd._terminate()
        with contextlib.suppress(Exception):
            sd._initialize()


def outputs() -> list[tuple[int, str]]:
    """Output devices of this computer as (number, name to open it by). Raises Trouble when PortAudio is missing."""
    return _named("output")


def microphones() -> list[tuple[int, str]]:
    """Input devices of this computer as (number, name to open it by). Raises Trouble when PortAudio is missing."""
    return _named("input")


def _named(side: str) -> list[tuple[int, str]]:
    sd = _library()
    found = [(at, info) for at, info in enumerate(sd.query_devices()) if info[f"max_{side}_channels"] > 0]
    # One device is there once for every host, often by the same name: then only the host's tells them apart.
    times = Counter(str(info["name"]).lower() for _, info in found)

    def name(info: Any) -> str:
        own = str(info["name"])
        return own if times[own.lower()] == 1 else f"{own}, {sd.query_hostapis(info['hostapi'])['name']}"

    return [(at, name(info)) for at, info in found]
