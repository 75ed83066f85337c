"""Audio files in blocks: by libsndfile, and what that does not know by an ``ffmpeg`` program.

A file is only read. It is always read by the same decoder, whatever for: the grid belongs to what is heard. Frames
of every channel are averaged and brought to the rate of the analysis by soxr, which keeps time (linear phase).
"""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryFile

import numpy as np
import soundfile
import soxr

from synth.base.arrays import Samples
from synth.base.border import open_file, shown
from synth.base.errors import Trouble
from synth.recording.refusals import (
    BROKEN,
    DAMAGED,
    NO_FFMPEG,
    NO_SOUND,
    NOT_AUDIO,
    NOT_NUMBERS,
    ODD_RATE,
    TOO_LONG,
    TOO_MANY,
)

LONGEST_S = 3 * 3600
MOST_CHANNELS = 24
RATES_HZ = (8_000, 192_000)
# Samples of all channels that are read at a time.
BLOCK = 1 << 19
# A file that ends so much before its own length is cut off.
MISSING_S = 0.1
# Values beyond are no sound (full scale is 1) and would overflow.
LOUDEST = 1e6
# What libsndfile notes of a chunk of samples that is longer than its file, but for lengths that stand for "unknown".
SHORT = re.compile(r"^ *(?:data|SSND) : (\d{1,9}|[123]\d{9}) \(should be (\d+)\)", re.MULTILINE)
# First bytes of what libsndfile reads if it is whole.
OWN_FORMATS = (b"OggS", b"fLaC", b"RIFF", b"FORM", b"ID3", b"RF64")
# Bytes of the largest page of an Ogg file (RFC 3533, section 6).
OGG_PAGE = 65_307
# What ffmpeg is asked for; always the same, so that times agree.
FFMPEG, FFMPEG_RATE_HZ, FFMPEG_CHANNELS = "ffmpeg", 48_000, 2
# First bytes, from which place, of sound and films that libsndfile does not read.
OTHER_FORMATS = (
    (4, b"ftyp"),
    (0, b"\x1aE\xdf\xa3"),
    (0, b"0&\xb2u"),
    (0, b"\xff\xf1"),
    (0, b"\xff\xf9"),
    (0, b"ADIF"),
    (0, b"MAC "),
    (0, b"wvpk"),
    (0, b"MPCK"),
    (0, b"DSD "),
    (0, b"#!AMR"),
    (0, b"\x00\x00\x01\xba"),
    (8, b"AVI "),
)


def read_mono(path: Path | str, rate_hz: int) -> Iterator[Samples]:
    """The sound of a file in blocks (n,), float32, all channels averaged, at ``rate_hz``.

    Raises ``Trouble`` where it is no sound, damaged, empty, not finite, too long, or needs a program that is missing.
    """
    name = shown(path)
    with open_file(path) as file:
        head = file.read(16)
        os.lseek(file.fileno(), 0, os.SEEK_SET)
        try:
            sound = soundfile.SoundFile(file.fileno(), closefd=False)
        except (soundfile.SoundFileError, TypeError, ValueError):
            if not head:
                raise Trouble(NO_SOUND(path=name)) from None
            yield from _checked(name, _resampled(_by_ffmpeg(path, name, head), FFMPEG_RATE_HZ, rate_hz), rate_hz)
            return
        with sound:
            _check_form(name, sound)
            yield from _checked(
                name, _resampled(_by_libsndfile(path, name, sound), sound.samplerate, rate_hz), rate_hz
            )


def _check_form(name: str, sound: "soundfile.SoundFile") -> None:
    low, high = RATES_HZ
    if not low <= sound.samplerate <= high:
        raise Trouble(ODD_RATE(path=name, rate=sound.samplerate, low=low, high=high))
    if sound.channels > MOST_CHANNELS:
        raise Trouble(TOO_MANY(path=name, channels=sound.channels, most=MOST_CHANNELS))
    if LONGEST_S * sound.samplerate < sound.frames < 1 << 60:
        raise Trouble(TOO_LONG(path=name, hours=LONGEST_S // 3600))


def _by_libsndfile(path: Path | str, name: str, sound: "soundfile.SoundFile") -> Iterator[Samples]:
    done, frames = 0, max(1, BLOCK // sound.channels)
    broken = any(int(more) > int(there) for more, there in SHORT.findall(sound.extra_info))
    broken = broken or (sound.format == "OGG" and not _ends_as_ogg(path))
    try:
        while len(block := sound.read(frames, dtype="float32", always_2d=True)):
            done += len(block)
            yield _mono(name, block)
    except soundfile.SoundFileError:
        broken = True
    if broken or (sound.frames < 1 << 60 and done < sound.frames - MISSING_S * sound.samplerate):
        raise Trouble(BROKEN(path=name, seconds=f"{done / sound.samplerate:.1f}"))


def _ends_as_ogg(path: Path | str) -> bool:
    """Whether the last page of an Ogg file says that it is the last (RFC 3533, flag 4 of the header type)."""
    with open_file(path) as file:
        file.seek(max(0, file.seek(0, os.SEEK_END) - OGG_PAGE))
        _, _, page = file.read().rpartition(b"OggS")
    return len(page) > 1 and bool(page[1] & 4)


def _by_ffmpeg(path: Path | str, name: str, head: bytes) -> Iterator[Samples]:
    known = any(head[at:].startswith(mark) for at, mark in OTHER_FORMATS)
    program = shutil.which(FFMPEG)
    if program is None:
        damaged = head.startswith(OWN_FORMATS)
        raise Trouble((NO_FFMPEG if known else DAMAGED if damaged else NOT_AUDIO)(path=name))
    whole = str(Path(path).absolute())
    form = ("-f", "f32le", "-ac", str(FFMPEG_CHANNELS), "-ar", str(FFMPEG_RATE_HZ))
    with TemporaryFile() as complaints:
        process = subprocess.Popen(
            [program, "-v", "error", "-nostdin", "-i", f"file:{whole}", "-map", "0:a:0", *form, "-"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=complaints,
        )
        done, rest = 0, b""
        try:
            assert process.stdout is not None
            while data := process.stdout.read(4 * BLOCK):
                data = rest + data
                whole_bytes = len(data) - len(data) % (4 * FFMPEG_CHANNELS)
                rest = data[whole_bytes:]
                block = np.frombuffer(data[:whole_bytes], "<f4").reshape(-1, FFMPEG_CHANNELS)
                done += len(block)
                yield _mono(name, block)
            status = process.wait()
        finally:
            with suppress(OSError):
                process.kill()
            process.wait()
            if process.stdout is not None:
                process.stdout.close()
        if not done:
            raise Trouble(NOT_AUDIO(path=name))
        if status:
            raise Trouble(BROKEN(path=name, seconds=f"{done / FFMPEG_RATE_HZ:.1f}"))


def _mono(name: str, block: Samples) -> Samples:
    """The mean of the channels of (n, channels); ``Trouble`` where values are not finite."""
    if not np.isfinite(block).all():
        raise Trouble(NOT_NUMBERS(path=name))
    mean: Samples = np.clip(block, -LOUDEST, LOUDEST).mean(axis=1, dtype=np.float32)
    return mean


def _resampled(blocks: Iterator[Samples], from_hz: int, to_hz: int) -> Iterator[Samples]:
    if from_hz == to_hz:
        yield from blocks
        return
    stream = soxr.ResampleStream(from_hz, to_hz, 1, dtype="float32")
    for block in blocks:
        yield stream.resample_chunk(np.ascontiguousarray(block))
    yield stream.resample_chunk(np.zeros(0, np.float32), last=True)


def _checked(name: str, blocks: Iterator[Samples], rate_hz: int) -> Iterator[Samples]:
    """The same blocks; ``Trouble`` for no sound at all, and for too much."""
    done = 0
    for block in blocks:
        done += len(block)
        if done > LONGEST_S * rate_hz:
            raise Trouble(TOO_LONG(path=name, hours=LONGEST_S // 3600))
        if len(block):
            yield block
    if done < 2:
        raise Trouble(NO_SOUND(path=name))
