"""Where the system plays this program's sound: the sound server's output and its socket, as it tells them.

A host such as ALSA's or the server's default names one output, behind which the system moves the sound: to headphones
that are put on, or another device. PulseAudio, and PipeWire in its stead, say so; elsewhere nothing is known here.
"""

import os
from dataclasses import dataclass
from threading import Event, Thread
from typing import Any

from app.logfile import log

# Seconds after which the server is asked in any case, and after which one that is gone is sought again.
ASK_S, SEEK_S = 0.5, 3.0
# Longest wait for the thread's end, in s: a server that does not answer keeps it.
LONGEST_S = 2.0
FACILITIES = ("sink_input", "sink")


@dataclass(frozen=True, slots=True)
class Place:
    """An output: what identifies it from day to day, and what a person calls it."""

    id: str
    name: str


class OutputPlace:
    """Follows the place of this process's sound in a thread of its own; ``place`` is None while it is unknown."""

    def __init__(self) -> None:
        self.place: Place | None = None
        self._over = Event()
        self._pulse: Any = None
        self._thread: Thread | None = None

    def begin(self) -> None:
        """Begin to follow."""
        self._thread = Thread(target=self._follow, name="output place", daemon=True)
        self._thread.start()

    def end(self) -> None:
        """Follow no longer."""
        self._over.set()
        pulse, thread = self._pulse, self._thread
        if pulse is not None:
            pulse.event_listen_stop()
        if thread is not None:
            thread.join(LONGEST_S)

    def _follow(self) -> None:
        try:
            import pulsectl
        except (ImportError, OSError) as why:  # the second without the server's library
            log.info("outputs are not followed: %s", why)
            return

        def stop(_: object) -> None:
            raise pulsectl.PulseLoopStop

        while not self._over.is_set():
            try:
                with pulsectl.Pulse("Tallybar") as pulse:
                    pulse.event_mask_set(*FACILITIES)
                    pulse.event_callback_set(stop)
                    self._pulse = pulse
                    while not self._over.is_set():
                        self.place = place_of(pulse, str(os.getpid()))
                        pulse.event_listen(ASK_S)
            except (pulsectl.PulseError, pulsectl.PulseDisconnected):
                self.place = None
            self._pulse = None
            self._over.wait(SEEK_S)


def place_of(pulse: Any, process: str) -> Place | None:
    """The place of the first stream of a process by its id; None without one."""
    for stream in pulse.sink_input_list():
        if stream.proplist.get("application.process.id") == process:
            sink = next((each for each in pulse.sink_list() if each.index == stream.sink), None)
            if sink is None:
                return None
            port = sink.port_active
            if port is None:
                return Place(sink.name, sink.description)
            return Place(f"{sink.name}:{port.name}", f"{sink.description}, {port.description}")
    return None
