"""Writing files: whole or not at all."""

import json
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from synth.base.arrays import Samples
from synth.base.errors import Trouble

if TYPE_CHECKING:
    import soundfile

# 24 bits keep the noise of rounding below what any speaker lets through.
SOUND_FORMATS = {".wav": ("WAV", "PCM_24"), ".flac": ("FLAC", "PCM_24")}


def check_ending(path: Path, endings: tuple[str, ...]) -> str:
    """The ending in small letters; ``Trouble`` names the known ones where it is none of them."""
    ending = path.suffix.lower()
    if ending not in endings:
        raise Trouble(f"{path}: the name must end with {' or '.join(endings)}.")
    return ending


@contextmanager
def replace_with(path: Path | str) -> Iterator[Path]:
    """A path beside ``path`` to write to, which takes its place when the block ends without an error.

    After an error the old file, if any, is as it was and nothing is left beside it. Raises ``Trouble`` where
    ``path`` is a folder, a device, in a folder that does not exist, or in a place that cannot be written.
    """
    goal = Path(path)
    try:
        # A link stays a link: what it points to is replaced.
        goal = goal.resolve()
        if goal.is_dir():
            raise Trouble(f"{path} is a folder: a file name is expected.")
        # Never rename over a device or a pipe.
        if goal.exists() and not goal.is_file():
            raise Trouble(f"{path} is no ordinary file and is left alone.")
        if not goal.parent.is_dir():
            raise Trouble(f"{path}: there is no folder {goal.parent}.")
        handle, beside_name = tempfile.mkstemp(prefix=f".{goal.name[:50]}-", suffix=goal.suffix, dir=goal.parent)
    except (OSError, ValueError, RuntimeError) as error:
        raise Trouble(f"{path} cannot be written: {_reason(error)}.") from None
    os.close(handle)
    beside = Path(beside_name)
    try:
        yield beside
        # mkstemp makes private files; give this one the rights that any new file gets.
        mask = os.umask(0)
        os.umask(mask)
        beside.chmod(goal.stat().st_mode & 0o777 if goal.exists() else 0o666 & ~mask)
        beside.replace(goal)
    except OSError as error:
        raise Trouble(f"{path} cannot be written: {_reason(error)}.") from None
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def make_folder(path: Path | str) -> None:
    """Make a folder and those above it; one that is there already is kept. Raises ``Trouble`` where it cannot be."""
    try:
        Path(path).mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise Trouble(f"{path} is a file: a folder is expected.") from None
    except (OSError, ValueError) as error:
        raise Trouble(f"The folder {path} cannot be made: {_reason(error)}.") from None


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error)).rstrip(".").lower()


@contextmanager
def open_sound(path: Path | str, sample_rate_hz: int, channels: int = 2) -> Iterator["soundfile.SoundFile"]:
    """A sound file to write block by block (``.write(samples)``, float32 (frames, channels) in [-1, 1]).

    .wav or .flac by the ending, 24 bits. It takes its place only when the block ends without an error.
    """
    import soundfile  # costs 25 ms, which the window's start need not pay

    form, subtype = SOUND_FORMATS[check_ending(Path(path), tuple(SOUND_FORMATS))]
    with replace_with(path) as beside:
        try:
            with soundfile.SoundFile(beside, "w", sample_rate_hz, channels, subtype, format=form) as sound:
                yield sound
        except soundfile.SoundFileError as error:
            raise Trouble(f"{path} cannot be written: {_reason(error)}.") from None


def write_sound(path: Path | str, samples: Samples, sample_rate_hz: int) -> None:
    """Write float32 samples (frames,) or (frames, channels) in [-1, 1] as .wav or .flac, 24 bits."""
    with open_sound(path, sample_rate_hz, 1 if samples.ndim == 1 else samples.shape[1]) as sound:
        sound.write(samples)


def write_text(path: Path | str, text: str) -> None:
    """Write a text file (UTF-8, lines ending with a line feed)."""
    with replace_with(path) as beside:
        beside.write_text(text, encoding="utf-8", newline="\n")


def write_json(path: Path | str, data: Any) -> None:
    """Write plain values as JSON. NaN and infinity, which JSON lacks, raise ``ValueError``."""
    write_text(path, json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n")
