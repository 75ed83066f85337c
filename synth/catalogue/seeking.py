"""Keys of files: what tells, without decoding, that a file is unchanged or has only moved."""

import hashlib
import os
from pathlib import Path

from synth.base.border import open_file
from synth.base.errors import Trouble
from synth.catalogue.recording import Key

# Bytes of each end of a file that are hashed.
END = 65_536


def stat_of(path: Path | str) -> Key | None:
    """Size and time of change of a file, without its hash; None where it is missing."""
    try:
        found = os.stat(path)  # noqa: PTH116 - a text, for speed
    except (OSError, ValueError):
        return None
    return Key(found.st_size, found.st_mtime_ns)


def key_of(path: Path | str) -> Key | None:
    """The key of an ordinary file; None where it cannot be read."""
    try:
        with open_file(path) as file:
            found = os.fstat(file.fileno())
            both = hashlib.blake2b(digest_size=16)
            both.update(file.read(END))
            file.seek(max(END, found.st_size - END))
            both.update(file.read(END))
    except (Trouble, OSError):
        return None
    return Key(found.st_size, found.st_mtime_ns, both.hexdigest())
