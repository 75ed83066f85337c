"""What a simulated learner taps with on the desk: a key, the mouse button, a MIDI pad, hands that clap.

``tap(at_s)`` waits for a moment of the clock, taps, and gives the moment at which it truly was; ``took_s`` holds how
long each tap took until screen or system had it. Only what a person could reach is used: none of these is inside the
program.
"""

import os
import time
from typing import Protocol

from tests.end_to_end.desk import Desk, Hand, hurry
from tests.end_to_end.virtual_room import VirtualRoom

# In the window of 1280 x 800 that stands at the screen's corner: on the count sheet, and on the calibration's pad.
SHEET_AT, PAD_AT = (400, 360), (300, 450)
CLAP_PEAK = 0.3
MIDI_PADS = (36, 38)


class Tapper(Protocol):
    """An input in somebody's hands. ``source`` is the program's word for it, ``way`` how it gets there."""

    source: str
    way: str
    took_s: list[float]

    def ready(self, on_pad: bool) -> None: ...
    def tap(self, at_s: float) -> float: ...


def spin_until(at_s: float) -> None:
    """Wait for a moment of the clock, the last of it without sleeping."""
    time.sleep(max(at_s - time.perf_counter() - 0.002, 0))
    while time.perf_counter() < at_s:
        pass


class Keys:
    """The space bar, through XTest."""

    source, way = "key", "XTest"

    def __init__(self, hand: Hand) -> None:
        self._hand, self.took_s = hand, hand.took_s

    def ready(self, on_pad: bool) -> None:
        """Nothing to do."""

    def tap(self, at_s: float) -> float:
        """Press and let go."""
        return self._hand.press_at("space", at_s)


class Mouse:
    """The left mouse button, through XTest."""

    source, way = "mouse", "XTest"

    def __init__(self, hand: Hand) -> None:
        self._hand, self.took_s = hand, hand.took_s

    def ready(self, on_pad: bool) -> None:
        """Put the pointer where a click is a tap."""
        self._hand.move(*(PAD_AT if on_pad else SHEET_AT))

    def tap(self, at_s: float) -> float:
        """Click."""
        return self._hand.press_at("mouse", at_s)


class Pad:
    """A MIDI pad: a virtual port of RtMidi in this process, which the program finds as it finds any other.

    It goes through ALSA's sequencer where there is one, else through a JACK server of the desk's own;
    ``RuntimeError`` with the reason where neither is there, or no RtMidi.
    """

    source = "midi"

    def __init__(self, desk: Desk) -> None:
        try:
            import rtmidi
        except ImportError as missing:
            raise RuntimeError(f"no MIDI: {missing}") from None

        from app.inputs.midi_taps import SEQUENCER

        if SEQUENCER.exists():
            interface, self.way = rtmidi.API_LINUX_ALSA, "a virtual port of ALSA's sequencer"
        else:
            desk.start_jack()
            os.environ |= {name: desk.env[name] for name in ("JACK_DEFAULT_SERVER", "JACK_NO_START_SERVER")}
            interface, self.way = rtmidi.API_UNIX_JACK, "a virtual port on JACK"
        self._port = rtmidi.MidiOut(interface, name="Desk")
        self._port.open_virtual_port("Pad")
        self._hits = 0
        self.took_s: list[float] = []

    def close(self) -> None:
        """Unplug it."""
        self._port.close_port()
        self._port.delete()

    def ready(self, on_pad: bool) -> None:
        """The program looks for ports every second."""
        time.sleep(1.2)

    def tap(self, at_s: float) -> float:
        """Hit one of two pads in turn, harder and softer."""
        note, velocity = MIDI_PADS[self._hits % 2], 60 + self._hits * 7 % 60
        self._hits += 1
        hurry(0)
        try:
            spin_until(at_s)
            hit_s = time.perf_counter()
            self._port.send_message([0x99, note, velocity])
            self.took_s.append(time.perf_counter() - hit_s)
            time.sleep(0.03)
            self._port.send_message([0x89, note, 0])
        finally:
            hurry(0, first=False)
        return hit_s


class Claps:
    """Claps in the virtual room: they stand in the microphone's sound at the sample that sounded at that moment."""

    source, way = "mic", "the virtual room's microphone"

    def __init__(self, room: VirtualRoom) -> None:
        self._room = room
        self.took_s: list[float] = []

    def ready(self, on_pad: bool) -> None:
        """Nothing to do."""

    def tap(self, at_s: float) -> float:
        """Clap; the microphone's sound is written a little later, so this cannot be late."""
        spin_until(at_s)
        self._room.thump(at_s, CLAP_PEAK)
        self.took_s.append(0.0)
        return at_s
