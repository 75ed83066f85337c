"""What comes from a file: bounded, plain, and never waited for. Control characters: Unicode general category Cc."""

import os
import unicodedata
from typing import Annotated

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Meta

from synth.base.border import Unfit, fitted, open_file, parsed, read_bytes, read_json, read_text, shown
from synth.base.errors import Trouble


class Example(msgspec.Struct):
    rung: Annotated[int, Meta(ge=1, le=100)]
    taps: Annotated[list[float], Meta(max_length=2)] = []


@given(st.text(st.characters(exclude_categories=()), max_size=400))
def test_what_is_shown_is_one_printable_line(text):
    line = shown(text)
    assert line.isprintable()
    assert len(line) <= 200
    assert not any(unicodedata.category(each) in ("Cc", "Cs") for each in line)
    line.encode("utf-8")


def test_a_byte_that_is_no_utf_8_is_shown_as_one():
    assert shown(os.fsdecode(b"caf\xe9.json")) == "caf\\xe9.json"
    assert shown("plain Größe") == "plain Größe"


def test_a_pipe_is_refused_at_once(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(Trouble, match="not an ordinary file"):
        read_bytes(pipe)


@pytest.mark.parametrize("make", ["folder", "device", "loop", "missing", "long", "zero byte"])
def test_what_is_no_file_is_told_in_one_line(tmp_path, make):
    path = {"folder": tmp_path, "device": "/dev/zero", "long": tmp_path / ("n" * 300), "zero byte": "a\0b"}.get(
        make, tmp_path / "here"
    )
    if make == "loop":
        path.symlink_to(path)
    with pytest.raises(Trouble) as told:
        read_bytes(path)
    assert str(told.value).isprintable()


def test_a_sparse_file_is_not_read(tmp_path):
    path = tmp_path / "sparse"
    with path.open("wb") as file:
        file.truncate(20_000_000_000)
    with pytest.raises(Trouble, match="too large"):
        read_text(path)


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path):
    path = tmp_path / "marked.json"
    path.write_bytes(b"\xef\xbb\xbf" + b'{"a": 1}')
    assert read_json(path) == {"a": 1}
    assert read_text(path) == '{"a": 1}'


@pytest.mark.parametrize("text", ["", "{", "[" * 200_000, "NaN", '{"a":1}x', '"\\ud800"', "\udcff"])
def test_what_is_no_json_is_refused(text):
    with pytest.raises(Unfit):
        parsed(text)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ({}, "'rung' is missing"),
        ({"rung": True}, "'rung': a whole number expected, not true or false"),
        ({"rung": 0}, "'rung': a whole number from 1 expected"),
        ({"rung": 2**80}, "'rung'"),
        ({"rung": 2, "taps": [1.0, "x"]}, "'taps[1]': a number expected, not a text"),
        ({"rung": 2, "taps": [1.0] * 3}, "'taps': a list of at most 2 expected"),
        ([], "named values expected, not a list"),
    ],
)
def test_what_does_not_fit_is_said_in_plain_words(value, says):
    with pytest.raises(Unfit) as told:
        fitted(value, Example)
    assert says in str(told.value)
    assert "`" not in str(told.value)


def test_an_open_file_is_closed_again(tmp_path):
    path = tmp_path / "file"
    path.write_text("x")
    with open_file(path) as file:
        assert file.read() == b"x"
    assert file.closed


def test_a_file_of_the_system_that_gives_nothing_is_told(tmp_path, monkeypatch):
    """Such as the kernel's log: it calls itself an ordinary file, and would be waited for without end."""

    def nothing(*_):
        raise BlockingIOError(11, "Resource temporarily unavailable")

    (tmp_path / "log").write_bytes(b"x")
    monkeypatch.setattr("os.pread", nothing, raising=False)
    with pytest.raises(Trouble, match="temporarily unavailable"):
        read_bytes(tmp_path / "log")
