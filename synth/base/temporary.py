"""Temporary folders that a later start deletes if a killed process left them."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

PREFIX = "tallybar-"
# Locked by its process while the folder is in use.
LOCK = "in-use"


@contextmanager
def temporary_folder() -> Iterator[Path]:
    """A private folder in the system's temporary folder, deleted at the end of the block."""
    with tempfile.TemporaryDirectory(prefix=PREFIX, ignore_cleanup_errors=True) as name:
        folder = Path(name)
        with (folder / LOCK).open("wb") as lock:
            _try_lock(lock.fileno())
            yield folder


def sweep() -> None:
    """Delete this user's temporary folders that no running process has locked."""
    if not hasattr(os, "getuid"):
        return  # only POSIX tells whether a folder is in use
    for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
        with suppress(OSError):
            found = folder.lstat()
            if found.st_uid != os.getuid() or folder.is_symlink() or not folder.is_dir():
                continue
            with (folder / LOCK).open("rb") as lock:
                if _try_lock(lock.fileno()):
                    shutil.rmtree(folder, ignore_errors=True)


def _try_lock(file: int) -> bool:
    """Lock an open file for this process; returns whether that succeeded."""
    try:
        import fcntl
    except ImportError:
        return False
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
