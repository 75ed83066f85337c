"""Title and artist, as libsndfile writes them, and hostile ones."""

import numpy as np
import pytest
import soundfile

from synth.catalogue.tags import LONGEST, one_line, read_tags


@pytest.mark.parametrize(("ending", "form"), [("flac", None), ("ogg", None), ("mp3", None), ("wav", None)])
def test_title_and_artist_are_read(tmp_path, ending, form):
    path = tmp_path / f"a.{ending}"
    with soundfile.SoundFile(path, "w", 44_100, 1) as file:
        file.title, file.artist = "Invented title", "Nobody at all"
        file.write(np.zeros(44_100))
    assert read_tags(path) == ("Invented title", "Nobody at all")


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("  a\n\tb\x00\x1b[2J\u202e c ", "a b [2J c"),
        ("x" * 10_000_000, "x" * LONGEST),
        (None, ""),
        (5, ""),
        ("\x00" * 100, ""),
        ("\ud800a", "a"),
    ],
)
def test_a_tag_is_one_short_line(text, line):
    assert one_line(text) == line


def _id3(size: bytes, frame: bytes) -> bytes:
    return b"ID3\x04\x00\x00" + size + frame


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"ID3",
        _id3(b"\x7f\x7f\x7f\x7f", b"TIT2\x7f\x7f\x7f\x7f\x00\x00\x03a"),
        _id3(b"\x00\x00\x01\x00", b"TIT2\x00\x00\x00\x05\x00\x00\x01\xff\xfea\xd8"),
        b"fLaC\x84\xff\xff\xff" + b"\xff" * 100,
        b"OggS" + b"\xff" * 5000,
        b"RIFF\xff\xff\xff\xffWAVELIST\xff\xff\xff\xffINFOINAM\xff\xff\xff\xff",
        b"\x00\x00\x00\x08ftypM4A \x00\x00\x00\x00moov" + b"\x00\x00\x00\x08udta" * 50_000,
    ],
)
def test_a_hostile_tag_is_no_title(tmp_path, data):
    path = tmp_path / "a.mp3"
    path.write_bytes(data)
    title, artist = read_tags(path)
    assert len(title) <= LONGEST
    assert title.isprintable()
    assert artist == ""
    assert read_tags(tmp_path / "missing.mp3") == ("", "")
