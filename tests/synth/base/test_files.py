"""Files: whole or not at all."""

import os
from pathlib import Path

import numpy as np
import pytest
import soundfile

from synth.base.errors import Trouble
from synth.base.files import replace_with, same, write_json, write_sound, write_text

SOUND = np.linspace(-0.9, 0.9, 2000, dtype=np.float32).reshape(1000, 2)


@pytest.mark.parametrize(("ending", "bits"), [(".wav", 24), (".flac", 16), (".WAV", 24)])
def test_sound_comes_back(tmp_path: Path, ending: str, bits: int) -> None:
    """A written sound reads back with its rate, to 24 or 16 bits."""
    path = tmp_path / f"drums{ending}"
    write_sound(path, SOUND, 44_100)
    again, rate = soundfile.read(path, dtype="float32")
    assert rate == 44_100
    np.testing.assert_allclose(again, SOUND, atol=2.0 ** (2 - bits))
    assert [entry.name for entry in tmp_path.iterdir()] == [path.name]


def test_an_error_leaves_the_old_file(tmp_path: Path) -> None:
    """What stood there before stays when writing breaks off, and nothing is left beside it."""
    path = tmp_path / "count.txt"
    write_text(path, "old")

    def break_off() -> None:
        with replace_with(path) as beside:
            beside.write_text("half")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        break_off()
    assert path.read_text() == "old"
    assert len(list(tmp_path.iterdir())) == 1


def test_places_that_cannot_be_written_are_trouble(tmp_path: Path) -> None:
    """A folder, a missing folder, a device and an unknown ending are told in one line; nothing is written."""
    for path, part in (
        (tmp_path, "is a folder"),
        (tmp_path / "no" / "x.wav", "no folder"),
        (Path("/dev/null"), "no ordinary file"),
        (tmp_path / ("x" * 300), "cannot be written"),
        (tmp_path / "a\0b", "cannot be written"),
    ):
        with pytest.raises(Trouble, match=part):
            write_text(path, "text")
    with pytest.raises(Trouble, match=r"must end with \.wav or \.flac or \.mp3 or \.ogg"):
        write_sound(tmp_path / "x.aiff", SOUND, 48_000)
    assert not list(tmp_path.iterdir())


def test_a_long_sound_is_written_in_pieces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a second at most: one long write of a .ogg ended the program."""
    lengths: list[int] = []
    write = soundfile.SoundFile.write
    monkeypatch.setattr(
        soundfile.SoundFile, "write", lambda self, data: (lengths.append(len(data)), write(self, data))[1]
    )
    write_sound(tmp_path / "long.ogg", np.zeros((20_000, 2), np.float32), 8_000)
    assert lengths == [8_000, 8_000, 4_000]
    assert soundfile.info(tmp_path / "long.ogg").frames == 20_000


def test_a_full_disk_is_trouble(tmp_path: Path) -> None:
    """An error of the system while writing becomes one line and leaves nothing."""
    with pytest.raises(Trouble, match="no space left"), replace_with(tmp_path / "x.txt"):
        raise OSError(28, "No space left on device")
    assert not list(tmp_path.iterdir())


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """Writing through a link replaces what it points to."""
    goal, link = tmp_path / "goal.txt", tmp_path / "link.txt"
    goal.write_text("old")
    link.symlink_to(goal)
    write_text(link, "new")
    assert link.is_symlink()
    assert goal.read_text() == "new"


def test_json_has_no_nan(tmp_path: Path) -> None:
    """NaN is a wrong call, and nothing is written."""
    with pytest.raises(ValueError, match="JSON"):
        write_json(tmp_path / "x.json", {"bias_ms": float("nan")})
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(os.name != "posix", reason="names are bytes on POSIX alone")
def test_a_name_that_is_no_utf_8_is_written(tmp_path):
    path = tmp_path / os.fsdecode(b"caf\xe9.wav")
    write_sound(path, np.zeros((100, 2), np.float32), 48_000)
    assert [os.fsencode(each.name) for each in tmp_path.iterdir()] == [b"caf\xe9.wav"]


def test_links_that_go_round_in_a_circle_are_told(tmp_path):
    """And stay as they are."""
    path = tmp_path / "a.txt"
    path.symlink_to("b.txt")
    (tmp_path / "b.txt").symlink_to("a.txt")
    with pytest.raises(Trouble, match="too many levels"):
        write_text(path, "x")
    assert path.is_symlink()
    assert same(path, tmp_path / "." / "a.txt")
    assert not same(path, tmp_path / "c.txt")
