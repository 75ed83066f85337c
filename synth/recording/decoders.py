"""The sound of a file as blocks of frames: by libsndfile, and what that does not know by an ``ffmpeg`` program.

A file is only read, and always by the same decoder, from wherever: the grid belongs to what is heard. Blocks are
float32 (n, channels), finite.
"""

import os
import re
import shutil
import subprocess
from collections.abc import Generator, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryFile
from typing import Protocol

import numpy as np
import soundfile

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
# Bytes of an MP3 in which the frame lies that says how long it is.
FIRST_FRAMES = 4096
# What ffmpeg is asked for; always the same, so that times agree.
FFMPEG, FFMPEG_RATE_HZ, FFMPEG_CHANNELS = "ffmpeg", 48_000, 2
# An ffmpeg that begins within a file is given so many s before, in which it settles, from a multiple of 10 ms, which
# is a frame at the usual rates.
SETTLES_S, BEGIN = 0.5, FFMPEG_RATE_HZ // 100
# First bytes, from which place, of sound and films that libsndfile does not read. Others are not given to ffmpeg: it
# takes lists of addresses for films, too.
OTHER_FORMATS = (
    (4, b"ftyp"),
    (0, b"\x1aE\xdf\xa3"),
    (0, b"0&\xb2u"),
    (0, b"\xff\xf1"),
    (0, b"\xff\xf9"),
    (0, b"\xff\xfc"),
    (0, b"\xff\xfd"),
    (0, b"caff"),
    (0, b"ADIF"),
    (0, b"MAC "),
    (0, b"wvpk"),
    (0, b"MPCK"),
    (0, b"TTA1"),
    (0, b"DSD "),
    (0, b"#!AMR"),
    (0, b"\x00\x00\x01\xba"),
    (8, b"AVI "),
)


class Source(Protocol):
    """An open sound of known rate and number of channels."""

    @property
    def rate_hz(self) -> int:
        """Frames a second."""

    @property
    def channels(self) -> int:
        """Samples a frame."""

    def blocks(self, first: int = 0) -> Generator[Samples, None, None]:
        """The frames from ``first`` on, in blocks. Raises ``Trouble`` where it is damaged or not finite."""


@contextmanager
def opened(path: Path | str) -> Iterator[Source]:
    """Open the sound of a file. Raises ``Trouble`` where it is none or needs a program that is missing."""
    name = shown(path)
    with open_file(path) as file:
        head = file.read(16)
        os.lseek(file.fileno(), 0, os.SEEK_SET)
        try:
            sound = soundfile.SoundFile(file.fileno(), closefd=False)
        except (soundfile.SoundFileError, TypeError, ValueError):
            if not head:
                raise Trouble(NO_SOUND(path=name)) from None
            yield ByFfmpeg(path, name, _ffmpeg_for(name, head))
            return
        with sound:
            _check_form(name, sound)
            yield ByLibsndfile(path, name, sound)


def _check_form(name: str, sound: "soundfile.SoundFile") -> None:
    low, high = RATES_HZ
    if not low <= sound.samplerate <= high:
        raise Trouble(ODD_RATE(path=name, rate=sound.samplerate, low=low, high=high))
    if sound.channels > MOST_CHANNELS:
        raise Trouble(TOO_MANY(path=name, channels=sound.channels, most=MOST_CHANNELS))
    if LONGEST_S * sound.samplerate < sound.frames < 1 << 60:
        raise Trouble(TOO_LONG(path=name, hours=LONGEST_S // 3600))


@dataclass(frozen=True, slots=True)
class ByLibsndfile:
    """A sound read by libsndfile. Its seeking is exact: the tests compare it with reading on."""

    path: Path | str
    name: str
    sound: "soundfile.SoundFile"

    @property
    def rate_hz(self) -> int:
        """Frames a second."""
        return int(self.sound.samplerate)

    @property
    def channels(self) -> int:
        """Samples a frame."""
        return int(self.sound.channels)

    def blocks(self, first: int = 0) -> Generator[Samples, None, None]:
        """The frames from ``first`` on; that the file is whole is seen at its end."""
        sound = self.sound
        done, frames = first, max(1, BLOCK // sound.channels)
        broken = any(int(more) > int(there) for more, there in SHORT.findall(sound.extra_info))
        broken = broken or (sound.format == "OGG" and not _ends_as_ogg(self.path))
        try:
            if first or sound.tell():
                if first >= sound.frames:
                    return
                sound.seek(first)
            while len(block := sound.read(frames, dtype="float32", always_2d=True)):
                done += len(block)
                yield _finite(self.name, block)
        except soundfile.SoundFileError:
            broken = True
        short = sound.frames < 1 << 60 and done < sound.frames - MISSING_S * sound.samplerate
        if broken or (short and (sound.format != "MP3" or _says_its_length(self.path))):
            raise Trouble(BROKEN(path=self.name, seconds=f"{done / sound.samplerate:.1f}"))


def _ends_as_ogg(path: Path | str) -> bool:
    """Whether the last page of an Ogg file says that it is the last (RFC 3533, flag 4 of the header type)."""
    with open_file(path) as file:
        file.seek(max(0, file.seek(0, os.SEEK_END) - OGG_PAGE))
        _, _, page = file.read().rpartition(b"OggS")
    return len(page) > 1 and bool(page[1] & 4)


def _says_its_length(path: Path | str) -> bool:
    """Whether an MP3 has a frame that says how long it is; else libsndfile gives an estimate.

    Names of such frames from memory; the length of the tag before them is that of ID3v2.4, section 3.1.
    """
    with open_file(path) as file:
        head = file.read(10)
        if head[:3] == b"ID3":
            size = sum((byte & 127) << 7 * at for at, byte in enumerate(reversed(head[6:10])))
            file.seek(10 + size)
        found = file.read(FIRST_FRAMES)
    return any(name in found for name in (b"Xing", b"Info", b"VBRI"))


def _ffmpeg_for(name: str, head: bytes) -> str:
    """The program for a file that libsndfile does not read; ``Trouble`` if it is no sound or there is no program."""
    known = any(head[at:].startswith(mark) for at, mark in OTHER_FORMATS)
    damaged = head.startswith(OWN_FORMATS)
    program = ffmpeg() if known or damaged else None
    if program is None:
        raise Trouble((NO_FFMPEG if known else DAMAGED if damaged else NOT_AUDIO)(path=name))
    return program


def ffmpeg() -> str | None:
    """The ffmpeg program on the PATH, or that of the package ``imageio-ffmpeg``; None without either."""
    return shutil.which(FFMPEG) or _of_package()


@cache
def _of_package() -> str | None:
    try:
        import imageio_ffmpeg

        found = imageio_ffmpeg.get_ffmpeg_exe()
    except (ImportError, RuntimeError, OSError):
        return None
    return str(found)


@dataclass(frozen=True, slots=True)
class ByFfmpeg:
    """A sound read by an ffmpeg program, always as two channels of ``FFMPEG_RATE_HZ``."""

    path: Path | str
    name: str
    program: str
    rate_hz: int = FFMPEG_RATE_HZ
    channels: int = FFMPEG_CHANNELS

    def blocks(self, first: int = 0) -> Generator[Samples, None, None]:
        """The frames from ``first`` on. From within the file it is told where to begin, somewhat earlier."""
        early = max(0, first - int(SETTLES_S * self.rate_hz)) // BEGIN * BEGIN
        skip = first - early
        done, rest = first, b""
        with TemporaryFile() as complaints:
            process = subprocess.Popen(
                self._words(early / self.rate_hz), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=complaints
            )
            try:
                assert process.stdout is not None
                while data := process.stdout.read(4 * BLOCK):
                    data = rest + data
                    whole = len(data) - len(data) % (4 * self.channels)
                    rest = data[whole:]
                    block = np.frombuffer(data[:whole], "<f4").reshape(-1, self.channels)
                    block, skip = block[skip:], max(0, skip - len(block))
                    done += len(block)
                    if len(block):
                        yield _finite(self.name, block)
                status = process.wait()
            finally:
                with suppress(OSError):
                    process.kill()
                process.wait()
                if process.stdout is not None:
                    process.stdout.close()
        if not done:
            raise Trouble(NOT_AUDIO(path=self.name))
        if status:
            raise Trouble(BROKEN(path=self.name, seconds=f"{done / self.rate_hz:.1f}"))

    def _words(self, from_s: float) -> list[str]:
        begin = ["-ss", f"{from_s:.9f}"] if from_s else []
        whole = f"file:{Path(self.path).absolute()}"
        form = ["-f", "f32le", "-ac", str(self.channels), "-ar", str(self.rate_hz)]
        quiet = ["-v", "error", "-nostdin", "-protocol_whitelist", "file"]
        return [self.program, *quiet, *begin, "-i", whole, "-map", "0:a:0", *form, "-"]


def _finite(name: str, block: Samples) -> Samples:
    """The block within bounds; ``Trouble`` where values are not finite."""
    if not np.isfinite(block).all():
        raise Trouble(NOT_NUMBERS(path=name))
    return np.clip(block, -LOUDEST, LOUDEST)
