"""MIDI taps: any note-on, velocity kept, stamps that the program's pauses do not touch, ports that come and go."""

import os
import sys

import mido
import pytest

from app.inputs import midi_taps
from app.inputs.midi_taps import MidiTaps, RtMidiPorts, midi_missing


class Ports:
    """Ports that a test plugs in and pulls out; a loop within the program instead of a system's MIDI."""

    def __init__(self) -> None:
        self.there: dict[str, object] = {}
        self.callbacks = {}
        self.closed: list[str] = []

    def names(self):
        return list(self.there)

    def open(self, name, callback):
        if self.there[name] == "held":
            return None
        self.callbacks[name] = callback
        closed = self.closed

        class Handle:
            def close_port(self) -> None:
                closed.append(name)
                raise RuntimeError("gone")

        return Handle()

    def send(self, name: str, since_s: float, message: mido.Message) -> None:
        self.callbacks[name]((message.bytes(), since_s), None)


class Clock:
    now_s = 50.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def ports() -> Ports:
    return Ports()


def test_any_note_on_is_a_tap_with_its_velocity(ports):
    clock = Clock()
    taps = MidiTaps(ports, clock)
    ports.there["Pad"] = "free"
    taps.look()
    ports.send("Pad", 0.0, mido.Message("note_on", channel=9, note=36, velocity=101))
    ports.send("Pad", 0.1, mido.Message("note_off", channel=9, note=36))
    ports.send("Pad", 0.1, mido.Message("note_on", note=60, velocity=0))  # MIDI 1.0: the same as a note-off
    ports.send("Pad", 0.1, mido.Message("control_change", control=64, value=127))
    ports.send("Pad", 0.1, mido.Message("note_on", channel=3, note=60, velocity=1))
    ports.callbacks["Pad"](([0x90, 200, 3], 0.1), None)  # no MIDI message: ignored
    found = taps.take()
    assert [(tap.source, tap.velocity) for tap in found] == [("midi", 101), ("midi", 1)]
    assert taps.take() == []


def test_the_moment_is_when_it_came_not_when_it_was_handled(ports):
    """Handled up to 9 ms late, a tap keeps its place, parts of a millisecond included."""
    clock, true_s = Clock(), 50.0
    taps = MidiTaps(ports, clock)
    ports.there["Pad"] = "free"
    taps.look()
    late_s = (0.0, 0.0, 0.009, 0.004, 0.0, 0.007)
    since_s = (0.0, 0.5, 0.4303, 0.51, 0.5, 0.25)
    expected = []
    for late, since in zip(late_s, since_s, strict=True):
        true_s += since
        clock.now_s = true_s + late
        ports.send("Pad", since, mido.Message("note_on", note=36, velocity=64))
        expected.append(true_s)
    found = taps.take()
    assert all(tap.stamped for tap in found)
    assert max(abs(tap.at_s - at_s) for tap, at_s in zip(found, expected, strict=True)) <= 1e-6


def test_ports_come_and_go_while_the_program_runs(ports):
    taps = MidiTaps(ports, Clock())
    taps.look()
    assert taps.names == []
    ports.there |= {"Pad": "free", "Keys": "held"}
    taps.look()
    assert taps.names == ["Pad"]
    ports.send("Pad", 0.0, mido.Message("note_on", note=60, velocity=90))
    assert taps.take()
    assert taps.check() is None
    ports.there["Keys"] = "free"
    del ports.there["Pad"]
    taps.look()
    assert taps.names == ["Keys"]
    assert str(taps.check()) == "The MIDI input Pad is not connected any more."
    assert ports.closed == ["Pad"]  # and that it could not be closed any more did no harm
    taps.close()
    assert taps.names == []


def test_this_computer_is_asked_without_harm():
    """With a sequencer or without one, with the library or without: a list of names, or a reason."""
    names = RtMidiPorts().names()
    assert isinstance(names, list)
    assert not (names and midi_missing())


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="JACK is looked for on Linux")
def test_a_jack_server_that_answers_no_more_is_left_alone_in_silence(monkeypatch, tmp_path, capfd):
    """What a crashed server leaves: no port, no server started in its place, not a word on the terminal."""
    pytest.importorskip("rtmidi")
    monkeypatch.setattr(midi_taps, "SEQUENCER", tmp_path / "seq")
    monkeypatch.setattr(midi_taps, "JACK_SOCKETS", tmp_path)
    monkeypatch.setenv("JACK_DEFAULT_SERVER", "nobody")
    monkeypatch.delenv("JACK_NO_START_SERVER", raising=False)
    assert midi_missing()
    (tmp_path / f"jack_nobody_{os.getuid()}_0").touch()
    assert not midi_missing()
    ports = RtMidiPorts()
    assert ports.names() == ports.names() == []
    assert os.environ["JACK_NO_START_SERVER"] == "1"
    assert capfd.readouterr() == ("", "")
