"""Playlists: lists that are written as programs write them, and hostile ones."""

import pytest

from synth.base.errors import Trouble
from synth.catalogue.playlists import MOST_BYTES, read_playlist

# The namespace of XSPF 1, in parts: no address stands in a file.
HEAD = '<?xml version="1.0" encoding="UTF-8"?><playlist version="1" xmlns="http:' + '//xspf.org/ns/0/"><trackList>'
TAIL = "</trackList></playlist>"
AWAY = "http:" + "//example.invalid/a.mp3"


def track(location: str) -> str:
    return f"<track><title>Invented</title><location>{location}</location></track>"


def put(folder, name: str, data: bytes | str):
    path = folder / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return path


def test_lines_are_files_from_the_list_s_folder_on(tmp_path):
    text = f"\ufeff#EXTM3U\r\n#EXTINF:123,Nobody - Invented\r\na.mp3\r\n\r\nsub/b c.flac\r\n/far/c.ogg\r\n{AWAY}\r\n"
    text += "file:///far/d%20e.wav\r\nÅ.mp3"
    found = read_playlist(put(tmp_path, "list.m3u8", text))
    assert list(map(str, found)) == [
        str(tmp_path / "a.mp3"),
        str(tmp_path / "sub/b c.flac"),
        "/far/c.ogg",
        "/far/d e.wav",
        str(tmp_path / "Å.mp3"),
    ]


def test_old_lists_are_latin_1(tmp_path):
    assert [each.name for each in read_playlist(put(tmp_path, "list.m3u", "Å.mp3".encode("latin-1")))] == ["Å.mp3"]


def test_a_name_with_a_percent_sign_is_a_name_where_such_a_file_is(tmp_path):
    put(tmp_path, "100%25.mp3", "")
    found = read_playlist(put(tmp_path, "list.m3u8", "100%25.mp3\nb%20c.mp3"))
    assert [each.name for each in found] == ["100%25.mp3", "b c.mp3"]


def test_tracks_of_xspf(tmp_path):
    text = HEAD + track("file:///far/a%20b.flac") + track(" c.ogg ") + track(AWAY) + track("x &amp; y.mp3") + TAIL
    found = read_playlist(put(tmp_path, "list.xspf", text))
    assert list(map(str, found)) == ["/far/a b.flac", str(tmp_path / "c.ogg"), str(tmp_path / "x & y.mp3")]


BOMB = '<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "' + "&b;" * 50 + '">]>'
OUTSIDE = '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]>'


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.xspf", HEAD[: HEAD.index("<playlist")] + BOMB + "<a>&c;</a>", "no list of files"),
        ("a.xspf", OUTSIDE + "<playlist><trackList>" + track("&b;") + TAIL, "no list of files"),
        ("a.xspf", HEAD + track("a.mp3"), "no list of files"),
        ("a.xspf", "<a>" * 100_000, "no list of files"),
        ("a.xspf", b"\xff\xfe\x00", "no list of files"),
        ("a.xspf", "", "no list of files"),
        ("a.xspf", HEAD + TAIL, "names no file"),
        ("a.xspf", HEAD + track("x" * 100_000) + TAIL, "names no file"),
        ("a.m3u8", "", "names no file"),
        ("a.m3u8", AWAY, "names no file"),
        ("a.m3u8", "file:" + "//other.invalid/share/a.mp3", "names no file"),
        ("a.m3u8", "file:///a%00b.mp3", "names no file"),
        ("a.m3u8", b"a\0b.mp3", "no list of files"),
        ("a.m3u8", "#\n" * 100_000, "names no file"),
        ("a.m3u8", "a\n" * 100_001, "no list of files"),
        ("a.m3u8", b"x" * (MOST_BYTES + 1), "too large"),
        ("a.m3u8", "file:" + "//[::1/a", "names no file"),
    ],
)
def test_a_hostile_list_is_one_plain_line(tmp_path, name, data, says):
    with pytest.raises(Trouble, match=says) as caught:
        read_playlist(put(tmp_path, name, data))
    assert "\n" not in str(caught.value)
