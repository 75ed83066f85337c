"""Sound devices: how they are opened and described, and what is said of those that are not there or refuse."""

import sys
from types import SimpleNamespace

import pytest

from synth.base.errors import Trouble
from synth.device.portaudio import microphones, open_device, open_microphone, outputs

RATE_HZ = 48_000
SEVERAL = "Multiple output devices found for 'x':\n[0] x, Host A\n[1] x, Host B"  # sounddevice's words


class NoStream(Exception):
    """Stands in for sounddevice's own error."""


def host(*, channels=2, query=None, refuse=lambda **asked: None):
    """A stand-in for the sounddevice module, with one device that plays and records."""
    device = {
        "name": "invented device",
        "max_output_channels": channels,
        "max_input_channels": channels,
        "hostapi": 0,
    }

    def query_devices(number=None, kind=None):
        if query:
            raise query
        return device if kind else [device, device | {"max_input_channels": 0}, device | {"max_output_channels": 0}]

    def stream(**asked):
        said = refuse(**asked)
        if said:
            raise NoStream(said)
        return SimpleNamespace(**asked | {"latency": 0.09})

    return SimpleNamespace(
        PortAudioError=NoStream,
        query_devices=query_devices,
        query_hostapis=lambda number: {"name": "invented host"},
        OutputStream=stream,
        InputStream=stream,
    )


@pytest.fixture
def opened(monkeypatch):
    """Opens a device of a stand-in host."""

    def opening(stand_in, which=open_device, device=None):
        monkeypatch.setitem(sys.modules, "sounddevice", stand_in)
        return which(
            device=device, sample_rate_hz=RATE_HZ, block_frames=512, latency_s=0.08, callback=lambda *a: None
        )

    return opening


def test_a_device_is_described_in_words(opened):
    """Name, host, rate and latency: what a calibration belongs to."""
    stream = opened(host())
    assert stream.description == "invented device (invented host), 48000 Hz, 90 ms"
    assert opened(host(), open_microphone).name == "invented device"


@pytest.mark.parametrize(
    ("which", "channels", "got"),
    [
        (open_device, 1, 1),
        (open_device, 2, 2),
        (open_device, 8, 2),
        (open_microphone, 1, 1),
        (open_microphone, 2, 1),
        (open_microphone, 8, 1),
    ],
)
def test_no_more_channels_than_needed_are_opened(opened, which, channels, got):
    """One to hear with, two to play on, or the one there is."""
    assert opened(host(channels=channels), which).channels == got


@pytest.mark.parametrize("which", [open_device, open_microphone])
def test_a_device_that_insists_on_eight_channels_gets_them(opened, which):
    """Where fewer are refused, all are opened."""

    def refuse(channels, **_):
        return None if channels == 8 else "Invalid number of channels [PaErrorCode -9998]"

    assert opened(host(channels=8, refuse=refuse), which).channels == 8


@pytest.mark.parametrize(
    ("which", "device", "stand_in", "said"),
    [
        (open_device, None, host(query=NoStream("Error querying device -1")), "No sound output was found"),
        (open_device, "x", host(query=ValueError("No such device")), "No sound output called 'x' was found"),
        (open_device, "x", host(query=ValueError(SEVERAL)), "Several sound outputs are called 'x'"),
        (open_microphone, "x", host(query=ValueError(SEVERAL)), "Several microphones are called 'x'"),
        (open_microphone, None, host(query=NoStream("Error querying device -1")), "No microphone was found"),
        *(
            (which, None, host(refuse=lambda said=said, **_: said), told)
            for which in (open_device, open_microphone)
            for said, told in (
                ("Invalid sample rate [PaErrorCode -9997]", "refuses 48000 Hz"),
                ("Device unavailable [PaErrorCode -9985]", "held by another program"),
                ("Unanticipated host error\nALSA lib ...", "could not be opened: Unanticipated host error"),
            )
        ),
    ],
)
def test_what_a_host_refuses_is_said_in_one_line(opened, which, device, stand_in, said):
    """No device, an unknown one, a rate refused, one held by another program, anything else."""
    with pytest.raises(Trouble, match=said) as caught:
        opened(stand_in, which, device)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("which", [open_device, open_microphone])
def test_a_missing_library_is_said_in_one_line(monkeypatch, opened, which):
    """Without PortAudio the import itself fails with OSError."""
    real = __import__

    def no_library(name, *rest, **more):
        if name == "sounddevice":
            raise OSError("PortAudio library not found")
        return real(name, *rest, **more)

    monkeypatch.setattr("builtins.__import__", no_library)
    with pytest.raises(Trouble, match="libportaudio2"):
        opened(None, which)


@pytest.mark.parametrize(
    ("few", "all_of_them", "told"),
    [
        ("Invalid sample rate", "Unanticipated host error", "refuses 48000 Hz"),
        ("Device unavailable", "Invalid number of channels", "held by another program"),
        ("Invalid number of channels", "Invalid sample rate", "refuses 48000 Hz"),
    ],
)
def test_of_two_refusals_the_one_that_tells_more_is_said(opened, few, all_of_them, told):
    """The first, unless it speaks of the channels that are then changed."""
    with pytest.raises(Trouble, match=told):
        opened(host(channels=8, refuse=lambda channels, **_: few if channels == 2 else all_of_them))


def test_each_listed_name_opens_its_own_device(monkeypatch):
    """By sounddevice's own search for a name, where two hosts list devices of one name."""
    try:
        import sounddevice
    except OSError:
        pytest.skip("PortAudio is not installed")
    devices = [
        {"name": name, "hostapi": at, "max_output_channels": 2, "max_input_channels": 0}
        for name, at in [("Speakers", 0), ("Speakers", 1), ("Speakers (2)", 1)]
    ]
    monkeypatch.setattr(sounddevice, "query_devices", lambda *_: devices)
    monkeypatch.setattr(sounddevice, "query_hostapis", lambda at: {"name": ["Host A", "Host B"][at]})
    assert [name for _, name in outputs()] == ["Speakers, Host A", "Speakers, Host B", "Speakers (2)"]
    assert [sounddevice._get_device_id(name, "output", True) for _, name in outputs()] == [0, 1, 2]


def test_devices_are_listed_by_what_they_can_do(monkeypatch):
    """A device without inputs is no microphone, one without outputs no speaker."""
    monkeypatch.setitem(sys.modules, "sounddevice", host())
    assert [number for number, _ in outputs()] == [0, 1]
    assert [number for number, _ in microphones()] == [0, 2]
