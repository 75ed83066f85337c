"""Processes of this program's own code beside it: a crash ends one of them alone."""

import errno
import os
import subprocess
import sys
from contextlib import suppress
from typing import Any

# Words, then the number of entries of the path, so that it is this program's wherever it was started from.
HEAD = "import sys; n = int(sys.argv[1]); WORDS = sys.argv[2 : 2 + n]; sys.path = sys.argv[2 + n :]; "
NICE = "import os; hasattr(os, 'nice') and os.nice(19); "


def begun(code: str, *words: str, lowest: bool = False) -> "subprocess.Popen[bytes]":
    """Start a process that runs ``code`` with the list ``WORDS``; its input and output are pipes.

    ``lowest``: at the lowest priority. Raises ``OSError``, also where the program is a bundle without Python.
    """
    if not sys.executable or getattr(sys, "frozen", False):
        raise OSError(errno.ENOEXEC, "no Python to run it")
    apart: dict[str, Any] = {"start_new_session": True}  # Ctrl-C is for the program, which then ends it
    if sys.platform == "win32":
        idle = subprocess.IDLE_PRIORITY_CLASS if lowest else 0
        apart = {"creationflags": idle | subprocess.CREATE_NO_WINDOW}
    return subprocess.Popen(
        [sys.executable, "-P", "-c", HEAD + NICE * lowest + code, str(len(words)), *words, *sys.path],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        **apart,
    )


def ended(process: "subprocess.Popen[bytes]") -> None:
    """End a process, if it has not, and close its pipes."""
    with suppress(OSError):
        process.kill()
    process.wait()
    for pipe in (process.stdin, process.stdout):
        with suppress(OSError):
            if pipe is not None:
                pipe.close()
