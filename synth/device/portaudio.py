"""PortAudio: the list of sound devices, and streams that are opened but not yet started.

``Stream`` and ``OpenStream`` are what the player needs of a device; tests replace them.
"""

import contextlib
import sys
import weakref
from collections import Counter
from collections.abc import Callable
from typing import Any, Protocol

from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.words import Template

NO_LIBRARY = Template("sound.no_library", "The PortAudio library is missing: install libportaudio2 for sound.")
# By side: what is said where a device is not found, is one of several, or does not open.
NONE = {
    "output": Template("sound.none", "No sound output was found. Connect an output, or choose another."),
    "input": Template("sound.no_mic", "No microphone was found. Connect a microphone, or choose another."),
}
NONE_CALLED = Template("sound.no_such", "No sound output called {name} was found. Connect it, or choose another.")
SEVERAL = {
    "output": Template("sound.several", "Several sound outputs are called {name}: choose from the list."),
    "input": Template("sound.several_mics", "Several microphones are called {name}: choose from the list."),
}
REFUSES_RATE = {
    "output": Template("sound.no_rate", "The sound output {name} refuses {rate} Hz: choose another rate."),
    "input": Template("sound.no_mic_rate", "The microphone {name} refuses {rate} Hz: choose another rate."),
}
HELD = {
    "output": Template("sound.held", "The sound output {name} is held by another program, or gone."),
    "input": Template("sound.held_mic", "The microphone {name} is held by another program, or gone."),
}
NOT_OPENED = {
    "output": Template("sound.not_open", "The sound output {name} could not be opened: {why}"),
    "input": Template("sound.mic_not_open", "The microphone {name} could not be opened: {why}"),
}

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
        self.closed = False
        _OPEN.add(self)

    def start(self) -> None:
        """Start the callbacks."""
        self._stream.start()

    def close(self) -> None:
        """Discard pending sound and release the device."""
        self.closed = True
        self._stream.abort(ignore_errors=True)
        self._stream.close(ignore_errors=True)


_OPEN: weakref.WeakSet[DeviceStream] = weakref.WeakSet()


def _library() -> Any:
    """The sounddevice module, imported on first use. Raises ``Trouble`` where PortAudio is missing."""
    try:
        import sounddevice
    except OSError as error:
        raise Trouble(NO_LIBRARY()) from error
    return sounddevice


def _open(side: str, channels: int, *, device: int | str | None, sample_rate_hz: int, **how: Any) -> DeviceStream:
    """Open a stream of the ``"output"`` or ``"input"`` side with ``channels`` channels, or else all the device has.

    Raises Trouble when there is no such device, or when it refuses the rate or is held by another program.
    """
    sd = _library()
    try:
        info = sd.query_devices(device, side)
    except (ValueError, sd.PortAudioError) as error:
        if str(error).startswith("Multiple "):  # by sounddevice's own words: the name is that of more than one
            raise Trouble(SEVERAL[side](name=repr(device))) from error
        named = side == "output" and device is not None
        raise Trouble(NONE_CALLED(name=repr(device)) if named else NONE[side]()) from error
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
    refusal = str(why)
    if "sample rate" in refusal.lower():
        raise Trouble(REFUSES_RATE[side](name=repr(name), rate=sample_rate_hz)) from why
    if "unavailable" in refusal.lower() or "busy" in refusal.lower():
        raise Trouble(HELD[side](name=repr(name))) from why
    raise Trouble(NOT_OPENED[side](name=repr(name), why=refusal.splitlines()[0])) from why


def open_device(
    *, device: int | str | None, sample_rate_hz: int, block_frames: int, latency_s: float, callback: Callback
) -> Stream:
    """Open an output with one or two channels, or all of a device that refuses two.

    Raises ``Trouble`` where there is no device, the rate is refused, or another program holds it.
    """
    how = {"blocksize": block_frames, "latency": latency_s, "callback": callback}
    return _open("output", 2, device=device, sample_rate_hz=sample_rate_hz, **how)


def open_microphone(
    *, device: int | str | None, sample_rate_hz: int, block_frames: int, latency_s: float, callback: Callback
) -> DeviceStream:
    """Open an input, with one channel if possible.

    Raises ``Trouble`` where there is no microphone, the rate is refused, or another program holds it.
    """
    how = {"blocksize": block_frames, "latency": latency_s, "callback": callback}
    return _open("input", 1, device=device, sample_rate_hz=sample_rate_hz, **how)


def rescan() -> None:
    """Restart PortAudio, which scans for devices only when it starts; it closes every stream that is open."""
    sd: Any = sys.modules.get("sounddevice")
    if sd is not None:
        for stream in [each for each in _OPEN if not each.closed]:
            with contextlib.suppress(Exception):
                stream.close()
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
