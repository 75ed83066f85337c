"""Taps from MIDI pads and keyboards: any note-on of any port, hot-pluggable.

RtMidi finds the ports, mido parses the messages. RtMidi gives the time between messages on arrival; the running sum
is a stamp unaffected by the program's pauses, mapped to the common clock like a window's event stamps. A message of
three bytes takes 0.96 ms over a MIDI cable (31 250 baud, 10 bits a byte: MIDI 1.0), which calibration includes.

On Linux the system's sequencer is used, or else a running JACK server: never both, as a pad on both would tap twice.
"""

import ctypes
import os
import sys
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import mido

from app.inputs.taps import Tap
from synth.base.arrays import Samples
from synth.base.words import Say, Template
from synth.device.clock import now_s
from synth.device.faults import Fault
from synth.device.playback import Player
from synth.device.stamps import StampClock

# Device of Linux's MIDI sequencer; without it RtMidi would complain on the terminal at each look.
SEQUENCER = Path("/dev/snd/seq")
# Socket of a JACK server, one for each server and user.
JACK_SOCKETS = Path("/dev/shm")
# Ports that are software connections, not instruments.
PASSAGES = ("Midi Through",)

NOT_INSTALLED = Template("midi_taps.not_installed", "the package python-rtmidi is not installed")
NO_SEQUENCER = Template("midi_taps.no_sequencer", "this system has no MIDI sequencer")
GONE = Template("midi_taps.gone", "The MIDI input {name} is not connected any more.")


def jack_socket() -> Path | None:
    """Socket of this user's JACK server; None where none runs or RtMidi lacks JACK."""
    import rtmidi

    if rtmidi.API_UNIX_JACK not in rtmidi.get_compiled_api():
        return None
    server = os.environ.get("JACK_DEFAULT_SERVER", "default")
    socket = JACK_SOCKETS / f"jack_{server}_{os.getuid()}_0"
    return socket if socket.exists() else None


def midi_missing() -> Say | None:
    """Why MIDI input is impossible on this computer, or None."""
    try:
        import rtmidi  # noqa: F401
    except ImportError:
        return NOT_INSTALLED()
    if sys.platform.startswith("linux") and not SEQUENCER.exists() and jack_socket() is None:
        return NO_SEQUENCER()
    return None


def _still_jack() -> None:
    """Keep JACK's library from starting a server and from writing to the terminal."""
    import rtmidi

    os.environ.setdefault("JACK_NO_START_SERVER", "1")
    # The C library's strlen takes a string and has no side effect.
    with suppress(AttributeError, OSError):
        ctypes.CDLL(rtmidi._rtmidi.__file__).jack_set_error_function(ctypes.CDLL(None).strlen)


class RtMidiPorts:
    """The MIDI inputs of this computer, by RtMidi's names."""

    def __init__(self) -> None:
        self._look: Any = None
        self._jack: int | None = None  # which JACK server ``_look`` asks, or was refused by: its socket's inode

    def names(self) -> list[str]:
        """Names of the current ports."""
        if midi_missing():
            self._look, self._jack = None, None
            return []
        server = self._server()
        if server != self._jack:  # another one, or its first
            self._look = None
        elif server is not None and self._look is None:
            return []  # present, but not responding
        self._jack = server
        try:
            if self._look is None:
                self._look = self._client()
            found = [str(name) for name in self._look.get_ports()]
        except Exception:  # RtMidi's errors have no common base class
            self._look = None
            return []
        return [name for name in found if not name.startswith(PASSAGES)]

    def open(self, name: str, callback: Callable[[tuple[list[int], float], Any], None]) -> Any:
        """Open a port by name; None where it is gone or held. Closed by ``close_port``."""
        try:
            port = self._client()
            port.set_callback(callback)
            return port.open_port(port.get_ports().index(name))
        except Exception:  # gone between two looks, or held by another program
            return None

    @staticmethod
    def _server() -> int | None:
        if not sys.platform.startswith("linux") or SEQUENCER.exists():
            return None
        socket = jack_socket()
        try:
            return None if socket is None else socket.stat().st_ino
        except OSError:  # it has just gone
            return None

    def _client(self) -> Any:
        import rtmidi

        if self._jack is not None:
            _still_jack()
            return rtmidi.MidiIn(rtmidi.API_UNIX_JACK, name="Tallybar")
        # By default RtMidi would switch to JACK when the sequencer has no port.
        linux = sys.platform.startswith("linux")
        return rtmidi.MidiIn(rtmidi.API_LINUX_ALSA if linux else rtmidi.API_UNSPECIFIED)


@dataclass(slots=True, eq=False)
class _Port:
    """An open port: the clock of its stamps, and the sum of the differences."""

    name: str
    taps: deque[tuple[str, Tap]]
    now: Callable[[], float]
    stamps: StampClock = field(default_factory=lambda: StampClock(own_epoch=True))
    stamp_s: float = 0.0
    handle: Any = None

    def message(self, event: tuple[list[int], float], data: Any = None) -> None:
        """Callback in RtMidi's thread: bytes, and seconds since the previous message."""
        handled_s = self.now()
        octets, since_s = event
        # Stamps start at an hour: zero would be invalid.
        self.stamp_s = self.stamp_s + since_s if self.stamp_s else 3600.0
        at_s, origin = self.stamps.to_clock(self.stamp_s * 1e3, handled_s)
        try:
            heard = mido.Message.from_bytes(octets)
        except ValueError:
            return
        if heard.type == "note_on" and heard.velocity > 0:  # a velocity of zero is a note-off (MIDI 1.0)
            self.taps.append((self.name, Tap(at_s, "midi", origin == "stamp", heard.velocity)))


class MidiTaps:
    """All MIDI inputs: ``look`` updates them, ``take`` returns the taps."""

    source = "midi"
    trouble: Say | None = None
    fault: Fault | None = None

    def __init__(self, ports: Any = None, now: Callable[[], float] = now_s) -> None:
        self._ports = ports if ports is not None else RtMidiPorts()
        self._now = now
        self._open: dict[str, _Port] = {}
        self._taps: deque[tuple[str, Tap]] = deque(maxlen=4096)
        self.name = ""
        """The port that the latest tap came from."""

    @property
    def names(self) -> list[str]:
        """Names of the open ports."""
        return list(self._open)

    def look(self) -> None:
        """Open new ports, close missing ones. Call every second or so."""
        there = self._ports.names()
        for name in [name for name in self._open if name not in there]:
            self._shut(self._open.pop(name))
        for name in there:
            if name not in self._open:
                port = _Port(name, self._taps, self._now)
                port.handle = self._ports.open(name, port.message)
                if port.handle is not None:
                    self._open[name] = port

    def take(self) -> list[Tap]:
        """Taps since the last call."""
        taken = []
        while self._taps:
            self.name, tap = self._taps.popleft()
            taken.append(tap)
        return taken

    def begin(self, player: Player, samples: Samples) -> None:
        """A sound starts: discard earlier taps."""
        self._taps.clear()

    def rest(self) -> None:
        """The sound is over."""

    def check(self) -> Say | None:
        """See ``Input``: the port of the latest tap has gone."""
        return GONE(name=self.name) if self.name and self.name not in self._open else None

    def close(self) -> None:
        """Close all ports."""
        for port in self._open.values():
            self._shut(port)
        self._open.clear()

    @staticmethod
    def _shut(port: _Port) -> None:
        try:
            port.handle.close_port()
        except Exception:  # a device that has gone cannot be closed properly
            return
