"""Broken grooves and MIDI files: mutated, or full of one thing, each read as a person's own file would be.

Every one must give a result or one line for a person (`Trouble`), never another error. A mutation changes a file that
can be read in one to six places: signs or bytes changed, left out, doubled, brought in from another file, or put in
place of them such as tend to break readers.
"""

import io
import struct
import tempfile
import time
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

import mido
import numpy as np

from synth.base.errors import Trouble
from synth.midi.reading import midi_arrangement
from synth.midi.writing import midi_bytes
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove, groove_files, parse_groove, read_groove

ROOT = Path(__file__).parents[2]
LONGEST_LINE = 400
MB = 1_000_000

NASTY_TEXT = (
    *(
        "|",
        "||",
        ":",
        "#",
        "\t",
        "\0",
        "\r",
        "\x0b",
        "\u2028",
        "\ufeff",
        "\u0661",
        "\u00bd",
        "x" * 200,
        "-1",
        "0",
        "1e9",
    ),
    *("999999999999999999999", "nan", "50 %", "99 %", "metre: 7/8\n", "metre: 0/0\n", "steps: 96\n", "steps: 0\n"),
    *("kick on: 1 2 3 4.999\n", "tempo: 40-240\n", "swing: 66.667 %\n", "shift kick: -40 ms\n", "kick | X |\n"),
)
NASTY_BYTES = (
    *(b"\0", b"\xff", b"\x7f", b"\x80", b"\xff\x2f\x00", b"\xff\x51\x03\x00\x00\x00", b"\xff\x51\x03\xff\xff\xff"),
    *(b"\xff\x58\x04\x00\x00\x00\x00", b"\xff\x58\x04\xff\xff\x18\x08", b"\xff\x58\x04\x07\x03\x18\x08"),
    *(b"\xff\xff\xff\x7f", b"\x81\x00", b"\xff\x06\x07pick-up", b"\xff\x06\x08phrase 1", b"\xff\x03\x05drums"),
    *(b"\xf0\x7f", b"\xf7\x00", b"MTrk", b"MThd", b"\x99\x24\x00", b"\x99\x24\x7f", b"\xff\x54\x05\x60\0\0\0\0"),
)


@lru_cache(maxsize=1)
def good_texts() -> tuple[str, ...]:
    """The grooves that ship."""
    return tuple(path.read_text(encoding="utf-8") for path in groove_files().values())


@lru_cache(maxsize=1)
def good_midi() -> tuple[bytes, ...]:
    """Small files of both types: drums, a song, a pick-up, an excerpt with silence before it, a public score."""
    bar = {"tempo_bpm": 120, "form": "intro:1,verse:2"}
    records = [
        arrange(groove("backbeat"), **bar),
        arrange(groove("six-eight"), **bar | {"tempo_bpm": 70}, song=True),
        arrange(groove("trap"), **bar | {"tempo_bpm": 140}, exceptions=["pick-up"]),
        arrange(groove("five-four"), **bar, song=True, seed=2).excerpt(3, 9, lead_in_s=0.7),
    ]
    found = [(ROOT / "tests" / "data" / "two_bars_of_drums.mid").read_bytes()]
    found += map(midi_bytes, records)
    one = mido.MidiFile(type=0, ticks_per_beat=960)
    one.tracks.append(mido.merge_tracks(mido.MidiFile(file=io.BytesIO(found[1])).tracks))
    buffer = io.BytesIO()
    one.save(file=buffer)
    return (*found, buffer.getvalue())


def _mutated(
    draw: np.random.Generator, data: Any, other: Any, nasty: tuple[Any, ...], sign: Callable[[], Any]
) -> Any:
    """``data`` (text or bytes) changed in one to six places; ``other`` is a good file of its kind."""
    for _ in range(min(6, int(draw.geometric(0.4)))):
        at = int(draw.integers(0, len(data) + 1))
        until = at + int(draw.integers(1, 9 if draw.random() < 0.8 else 200))
        there = int(draw.integers(0, len(other)))
        evil = nasty[int(draw.integers(len(nasty)))]
        changes = (
            (data[:at], sign(), data[at + 1 :]),
            (data[:at], data[until:]),
            (data[:until], data[at:]),
            (data[:at], other[there : there + until - at], data[at:]),
            (data[:at], evil, data[at:]),
            (data[:at], evil, data[until:]),
            (data[:at],) if draw.random() < 0.2 else (data,),
        )
        data = data[:0].join(changes[int(draw.integers(len(changes)))])
    return data


def mutated_groove(draw: np.random.Generator) -> str:
    """A shipped groove with something wrong in it."""
    one, other = (good_texts()[int(at)] for at in draw.integers(0, len(good_texts()), 2))
    signs = "xXo.|: \n0159-%#/ms\u00e9"
    return str(_mutated(draw, one, other, NASTY_TEXT, lambda: signs[int(draw.integers(len(signs)))]))


def mutated_midi(draw: np.random.Generator) -> bytes:
    """A good MIDI file with something wrong in it; in every second one the lengths of its tracks are put right."""
    one, other = (good_midi()[int(at)] for at in draw.integers(0, len(good_midi()), 2))
    if draw.random() < 0.5:
        return bytes(_mutated(draw, one, other, NASTY_BYTES, lambda: draw.bytes(1)))
    head, *tracks = one.split(b"MTrk")
    which = int(draw.integers(len(tracks)))
    body = bytes(_mutated(draw, tracks[which][4:], other, NASTY_BYTES, lambda: draw.bytes(1)))
    tracks[which] = struct.pack(">I", len(body)) + body
    return b"MTrk".join([head, *tracks])


def read(data: str | bytes, path: Path) -> tuple[str, float]:
    """What became of a file ("result" or "trouble") and the processor's seconds; any other error goes through.

    ``AssertionError`` where the trouble is not one short line or the result is empty.
    """
    begun = time.process_time()
    try:
        if isinstance(data, str):
            found = len(parse_groove(data, "mutated").lines)
        else:
            path.write_bytes(data)
            found = len(midi_arrangement(path).hits)
    except Trouble as trouble:
        said = str(trouble)
    else:
        assert found
        return "result", time.process_time() - begun
    taken_s = time.process_time() - begun
    assert len(said.splitlines()) == 1, said
    assert len(said) <= LONGEST_LINE, said
    return "trouble", taken_s


def mutated(number: int, seed: int) -> str | bytes:
    """The mutated file of that number: grooves and MIDI files in turn, each from a seed of its own."""
    draw = np.random.default_rng([seed, number])
    return mutated_midi(draw) if number % 2 else mutated_groove(draw)


def heavy_midi(size: int) -> dict[str, bytes]:
    """Files of that many bytes, each full of one thing."""

    def full_of(event: bytes, before: bytes = b"") -> bytes:
        # The end of the last bar, so that what comes before is inside the record.
        after = b"\x00\x99\x24\x40\x00\xff\x2f\x00"
        body = b"\x00\x99\x24\x40" + before
        body += event * ((size - 22 - len(body) - len(after)) // len(event)) + after
        return b"MThd" + struct.pack(">IHHH", 6, 0, 1, 480) + b"MTrk" + struct.pack(">I", len(body)) + body

    empty = b"MTrk\0\0\0\4\0\xff\x2f\0"
    tracks = size // len(empty)
    return {
        "notes": full_of(b"\x00\x26\x40"),
        "notes apart": full_of(b"\x20\x26\x40"),
        "pressure": full_of(b"\x00\x01", b"\x00\xd9\x01"),
        "tempos": full_of(b"\x01\xff\x51\x03\x07\xa1\x20"),
        "signatures": full_of(b"\x01\xff\x58\x04\x04\x02\x18\x08"),
        "markers": full_of(b"\x01\xff\x06\x00"),
        "phrases": full_of(b"\x83\x60\xff\x06\x08phrase 1"),
        "a long message": full_of(b"\x01", b"\x00\xf0\x84\x80\x00"),
        "tracks": b"MThd" + struct.pack(">IHHH", 6, 1, min(tracks, 65_535), 480) + empty * tracks,
    }


def heavy_grooves(size: int) -> dict[str, str]:
    """Texts of about that many signs, each full of one thing."""
    pattern = "\nkick | X............... |"
    return {
        "signs": "x" * size,
        "lines": "\n" * size,
        "one bar": f"kick | {'x' * size} |",
        "bars": "kick " + "|x...............|" * (size // 17),
        "one word": "a" * size + ": x",
        "beats": f"kick on: {'1 ' * (size // 2)}{pattern}",
        "beats apart": "kick on: " + " ".join(f"{1 + at % 3999 / 1000:.3f}" for at in range(size // 6)) + pattern,
        "digits": f"tempo: {'1' * size}{pattern}",
        "remarks": ("# no\n" * (size // 5)) + pattern,
    }


def read_heavy_files() -> float:
    """Seconds of the processor for the slowest; ``AssertionError`` where one of 1 MB is not answered clearly."""
    slowest_s = 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "heavy.mid")
        for size in (119_900, MB):
            for name, data in heavy_midi(size).items():
                what, taken_s = read(data, path)
                assert size < MB or what == "trouble", name
                slowest_s = max(slowest_s, taken_s)
        for size in (99_000, MB):
            for name, text in heavy_grooves(size).items():
                what, taken_s = read(text, path)
                assert size < MB or what == "trouble", name
                slowest_s = max(slowest_s, taken_s)
                tab = Path(folder, "heavy.groove")
                tab.write_text(text, encoding="utf-8")
                try:
                    read_groove(tab)
                    assert size < MB, name
                except Trouble:
                    pass
    return slowest_s
