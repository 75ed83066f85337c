"""Atomic file writing: the whole file or nothing."""

from __future__ import annotations

import errno
import json
import os
import tempfile
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from synth.base.errors import Trouble
from synth.base.folders import FOLDER_MODE, foreign_link, is_private
from synth.base.reasons import reason
from synth.base.words import Say, Template

if TYPE_CHECKING:
    from synth.base.arrays import Samples

# Ending -> format, subtype and settings of libsndfile. MP3: 192 kbit/s, 7.2 MB for five minutes whatever is played;
# Vorbis: quality 5 of 10, about 5 MB.
SOUND_FORMATS: dict[str, tuple[str, str, dict[str, Any]]] = {
    ".wav": ("WAV", "PCM_24", {}),
    ".flac": ("FLAC", "PCM_16", {}),
    ".mp3": ("MP3", "MPEG_LAYER_III", {"bitrate_mode": "CONSTANT", "compression_level": 0.45}),
    ".ogg": ("OGG", "VORBIS", {"compression_level": 0.5}),
}
# Longest single write in seconds: one of a whole record ended the program in libsndfile's Vorbis encoder.
MOST_WRITE_S = 1.0


NOT_WRITTEN = Template("files.not_written", "{path} cannot be written: {why}.")
FOLDER = Template("files.folder", "{path} is a folder: a file name is expected.")
FOREIGN_LINK = Template("files.foreign_link", "{path} is a link that somebody else has made; it is left alone.")
NO_FILE = Template("files.no_file", "{path} is no ordinary file and is left alone.")
NO_FOLDER = Template("files.no_folder", "{path}: there is no folder {folder}.")
NOT_A_FOLDER = Template("files.not_a_folder", "{path} is a file: a folder is expected.")
NO_FOLDER_MADE = Template("files.no_folder_made", "The folder {path} cannot be made: {why}.")


def check_ending(path: Path, endings: tuple[str, ...]) -> str:
    """Return the ending in lower case; ``Trouble`` names ``endings`` if it is none of them."""
    ending = path.suffix.lower()
    if ending not in endings:
        raise Trouble(f"{path}: the name must end with {' or '.join(endings)}.")
    return ending


def same(one: Path | str, other: Path | str) -> bool:
    """Whether two names lead to one place, whatever stands there; links that go round in a circle lead nowhere."""
    return os.path.realpath(one) == os.path.realpath(other)


def unused(path: Path) -> Path:
    """The path, or if it exists the first free one with a number appended to its name."""
    numbered = (path.with_name(f"{path.stem}-{number}{path.suffix}") for number in count(2))
    return path if not os.path.lexists(path) else next(each for each in numbered if not os.path.lexists(each))


def set_aside(path: Path) -> Path:
    """Rename an unusable file of the program; returns the new path. Raises ``OSError``."""
    aside = unused(path.with_suffix(f".broken{path.suffix}"))
    path.replace(aside)
    return aside


@contextmanager
def replace_with(path: Path | str) -> Iterator[Path]:
    """Yield a temporary path beside ``path``; it replaces ``path`` when the block ends without an error.

    After an error the old file is unchanged and the temporary file is removed. Raises ``Trouble`` if ``path`` is a
    folder or a device, its folder does not exist, or it cannot be written.
    """
    goal = Path(path)
    try:
        if foreign_link(goal):
            raise Trouble(FOREIGN_LINK(path=path))
        private = is_private(goal)
        # Follow a symbolic link: replace its target.
        goal = Path(os.path.realpath(goal))
        if goal.is_symlink():
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP))
        if goal.is_dir():
            raise Trouble(FOLDER(path=path))
        # Never rename over a device or a pipe.
        if goal.exists() and not goal.is_file():
            raise Trouble(NO_FILE(path=path))
        if not goal.parent.is_dir():
            raise Trouble(NO_FOLDER(path=path, folder=goal.parent))
        handle, beside_name = tempfile.mkstemp(prefix=f".{goal.name[:50]}-", suffix=goal.suffix, dir=goal.parent)
    except (OSError, ValueError, RuntimeError) as error:
        raise Trouble(not_written(path, error)) from None
    os.close(handle)
    beside = Path(beside_name)
    try:
        yield beside
        # mkstemp creates private files: elsewhere apply the mode of the old file, or the default mode.
        if not private:
            mask = os.umask(0)
            os.umask(mask)
            beside.chmod(goal.stat().st_mode & 0o777 if goal.exists() else 0o666 & ~mask)
        beside.replace(goal)
    except OSError as error:
        raise Trouble(not_written(path, error)) from None
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def make_folder(path: Path | str) -> None:
    """Create a folder and its parents unless it exists. Raises ``Trouble`` if that fails."""
    try:
        folder = Path(path)
        if is_private(folder):
            make_folder(folder.parent)
            folder.mkdir(FOLDER_MODE, exist_ok=True)
        else:
            folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise Trouble(NOT_A_FOLDER(path=path)) from None
    except (OSError, ValueError) as error:
        raise Trouble(NO_FOLDER_MADE(path=path, why=reason(error))) from None


def not_written(path: Path | str, error: Exception) -> Say:
    """The message that a file cannot be written, with the system's reason."""
    return NOT_WRITTEN(path=path, why=reason(error))


@contextmanager
def open_sound(
    path: Path | str, sample_rate_hz: int, channels: int = 2, tags: Mapping[str, str] | None = None
) -> Iterator[Callable[[Samples], None]]:
    """Open a .wav (24 bits), .flac (16 bits), .mp3 or .ogg file; yields what writes the next samples.

    Samples are float32 (frames,) or (frames, channels) in [-1, 1]. ``tags``: "title" and "comment", without control
    characters. The file replaces ``path`` when the block ends without an error, see ``replace_with``.
    """
    import soundfile  # imported here: takes 25 ms of the window's start

    form, subtype, more = SOUND_FORMATS[check_ending(Path(path), tuple(SOUND_FORMATS))]
    most = max(1, round(MOST_WRITE_S * sample_rate_hz))
    with replace_with(path) as beside:
        try:
            # As bytes, where a name need not be UTF-8.
            name = str(beside) if os.name == "nt" else os.fsencode(beside)
            with soundfile.SoundFile(name, "w", sample_rate_hz, channels, subtype, format=form, **more) as sound:
                for tag, text in (tags or {}).items():
                    setattr(sound, tag, _unaccented(text) if form == "MP3" else text)

                def write(samples: Samples) -> None:
                    for first in range(0, len(samples), most):
                        sound.write(samples[first : first + most])

                yield write
        except soundfile.SoundFileError as error:
            raise Trouble(not_written(path, error)) from None


def _unaccented(text: str) -> str:
    """The text in ASCII: libsndfile puts UTF-8 into tags of an MP3 that are read as Latin-1."""
    letters = (each for each in unicodedata.normalize("NFKD", text) if not unicodedata.combining(each))
    return "".join(letters).encode("ascii", "replace").decode("ascii")


def write_sound(path: Path | str, samples: Samples, sample_rate_hz: int) -> None:
    """Write float32 samples (frames,) or (frames, channels) in [-1, 1], see ``open_sound``."""
    with open_sound(path, sample_rate_hz, 1 if samples.ndim == 1 else samples.shape[1]) as write:
        write(samples)


def write_bytes(path: Path | str, data: bytes) -> None:
    """Write a file."""
    with replace_with(path) as beside:
        beside.write_bytes(data)


def write_text(path: Path | str, text: str) -> None:
    """Write a text file (UTF-8, line feeds)."""
    with replace_with(path) as beside:
        beside.write_text(text, encoding="utf-8", newline="\n")


def write_json(path: Path | str, data: Any) -> None:
    """Write plain values as JSON. Raises ``ValueError`` for NaN and infinity."""
    plain = json.dumps(data, allow_nan=False, ensure_ascii=False)  # with an indent json takes four times as long
    write_text(path, msgspec.json.format(plain, indent=1) + "\n")
