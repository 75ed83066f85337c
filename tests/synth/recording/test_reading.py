"""Reading recordings: every format gives the same sound at the same time; what cannot be read is refused."""

import os
import stat

import numpy as np
import pytest
import soundfile

from synth.base.errors import Trouble
from synth.recording.reading import read_mono

pytestmark = pytest.mark.sampled(4)

RATE = 22_050
# Seconds of the test sound, and where its click is.
LONG_S, CLICK_S = 3.0, 1.0


def sound(rate_hz: int, channels: int = 2) -> np.ndarray:
    """Soft noise with a click, (n, channels)."""
    rng = np.random.default_rng(0)
    samples = 0.01 * rng.standard_normal((int(LONG_S * rate_hz), channels))
    at = int(CLICK_S * rate_hz)
    samples[at : at + rate_hz // 2000] = 0.9
    return samples.astype(np.float32)


def read(path) -> np.ndarray:
    return np.concatenate(list(read_mono(path, RATE)))


@pytest.mark.parametrize("ending", ["wav", "aiff", "flac", "ogg", "mp3"])
def test_every_format_is_as_long_and_its_click_where_it_was(tmp_path, ending):
    path = tmp_path / f"a.{ending}"
    soundfile.write(path, sound(44_100), 44_100)
    found = read(path)
    assert len(found) == pytest.approx(LONG_S * RATE, abs=2)
    assert np.argmax(np.abs(found) > 0.4) / RATE == pytest.approx(CLICK_S, abs=0.001)


@pytest.mark.parametrize(("rate", "channels"), [(8_000, 1), (22_050, 1), (48_000, 2), (192_000, 2), (44_100, 24)])
def test_any_rate_and_number_of_channels_is_read(tmp_path, rate, channels):
    path = tmp_path / "a.wav"
    soundfile.write(path, sound(rate, channels), rate, subtype="FLOAT")
    found = read(path)
    assert len(found) == pytest.approx(LONG_S * RATE, abs=2)
    assert np.argmax(np.abs(found) > 0.4) / RATE == pytest.approx(CLICK_S, abs=0.002)


def test_values_beyond_all_bounds_do_not_overflow(tmp_path):
    path = tmp_path / "a.wav"
    soundfile.write(path, np.full((RATE, 2), 3e38, np.float32), RATE, subtype="FLOAT")
    assert np.isfinite(read(path)).all()


def test_channels_are_averaged(tmp_path):
    path = tmp_path / "a.wav"
    soundfile.write(path, np.tile(np.float32([0.5, -0.1]), (RATE, 1)), RATE, subtype="FLOAT")
    np.testing.assert_allclose(read(path), 0.2, rtol=1e-6)


@pytest.mark.parametrize("ending", ["wav", "aiff", "flac", "ogg", "mp3"])
def test_a_file_that_was_cut_off_is_refused(tmp_path, ending):
    path = tmp_path / f"a.{ending}"
    soundfile.write(path, sound(44_100), 44_100)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    with pytest.raises(Trouble, match="damaged or cut off"):
        read(path)


def test_a_file_written_as_a_stream_of_unknown_length_is_read(tmp_path):
    """Programs that write to a pipe put the greatest number in the place of the length."""
    path = tmp_path / "a.wav"
    soundfile.write(path, sound(RATE), RATE)
    data = bytearray(path.read_bytes())
    at = data.index(b"data") + 4
    data[4:8] = data[at : at + 4] = b"\xff\xff\xff\xff"
    path.write_bytes(data)
    assert len(read(path)) == LONG_S * RATE


@pytest.mark.parametrize(
    ("name", "samples", "says"),
    [
        ("zero", np.zeros(0), "no sound in this file"),
        ("one", np.zeros(1), "no sound in this file"),
        ("nan", np.full(RATE, np.nan), "not numbers"),
        ("inf", np.full(RATE, np.inf), "not numbers"),
        ("many", np.zeros((RATE, 25)), "25 channels"),
    ],
)
def test_what_holds_no_sound_is_refused(tmp_path, name, samples, says):
    path = tmp_path / f"{name}.wav"
    soundfile.write(path, samples, RATE, subtype="FLOAT")
    with pytest.raises(Trouble, match=says):
        read(path)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "no sound in this file"),
        (b"hello " * 1000, "no sound that can be read"),
        (np.random.default_rng(0).bytes(50_000), "no sound that can be read"),
        (b"\0\0\0\x20ftypisom" + bytes(5000), "read by the program ffmpeg. Please install it"),
        (b"RIFF\x10\0\0\0WAVEjunk", "damaged"),
    ],
)
def test_what_is_no_audio_is_refused(tmp_path, monkeypatch, data, says):
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("synth.recording.decoders._of_package", lambda: None)
    path = tmp_path / "a.mp3"
    path.write_bytes(data)
    with pytest.raises(Trouble, match=says) as caught:
        read(path)
    assert "\n" not in str(caught.value)


def test_more_than_three_hours_are_refused_at_once(tmp_path):
    path = tmp_path / "a.wav"
    with soundfile.SoundFile(path, "w", 8_000, 1, "PCM_U8") as file:
        for _ in range(3 * 60 + 1):
            file.write(np.zeros(60 * 8_000, np.int16))
    with pytest.raises(Trouble, match="longer than 3 hours"):
        next(read_mono(path, RATE))


# --- ffmpeg: a stand-in that is on the PATH


def stand_in(folder, script: str) -> None:
    program = folder / "ffmpeg"
    program.write_text(f"#!/bin/sh\n{script}\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)


@pytest.fixture
def film(tmp_path, monkeypatch):
    """A file that only ffmpeg reads; its stand-in is alone on the PATH, but for the shell's own programs."""
    (tmp_path / "film.m4a").write_bytes(b"\0\0\0\x20ftypM4A " + bytes(2000))
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}/usr/bin{os.pathsep}/bin")
    return tmp_path / "film.m4a"


def test_other_formats_come_through_ffmpeg(tmp_path, film):
    sound(48_000).astype("<f4").tofile(tmp_path / "raw")
    stand_in(tmp_path, f'cat "{tmp_path}/raw"')
    found = read(film)
    assert len(found) == pytest.approx(LONG_S * RATE, abs=2)
    assert np.argmax(np.abs(found) > 0.4) / RATE == pytest.approx(CLICK_S, abs=0.001)


@pytest.mark.parametrize(
    ("script", "says"), [("exit 1", "no sound that can be read"), ('cat "{raw}"; exit 1', "cut off after 3.0 s")]
)
def test_what_ffmpeg_cannot_read_is_refused(tmp_path, film, script, says):
    sound(48_000).astype("<f4").tofile(tmp_path / "raw")
    stand_in(tmp_path, script.format(raw=tmp_path / "raw"))
    with pytest.raises(Trouble, match=says):
        read(film)
