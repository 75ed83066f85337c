"""A recording analysed in a process of its own, of the lowest priority, which a crash of a decoder ends alone."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from synth.base.border import open_file, shown
from synth.base.errors import Trouble
from synth.base.words import Say
from synth.recording.grid import Grid
from synth.recording.refusals import CRASHED, NO_PROCESS, PATIENCE

# Longest time of an analysis in s: three hours of sound take three minutes, on a busy computer some times that.
PATIENCE_S = 1800.0
CODE = "import sys; path, *sys.path = sys.argv[1:]; from synth.recording.finding.analysis import serve; serve(path)"


def grid_of(path: Path | str, patience_s: float = PATIENCE_S) -> Grid:
    """The grid of an audio file, found or refused, by a worker process.

    Raises ``Trouble`` where the file cannot be read, or the process crashes or takes longer than ``patience_s``.
    """
    with open_file(path):  # what is no file at all is refused at once
        pass
    apart: dict[str, Any] = {"start_new_session": True}  # Ctrl-C is for the program, which then ends it
    if sys.platform == "win32":
        apart = {"creationflags": subprocess.IDLE_PRIORITY_CLASS | subprocess.CREATE_NO_WINDOW}
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-c", CODE, os.fspath(path), *sys.path],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
            timeout=patience_s,
            check=False,
            **apart,
        )
    except subprocess.TimeoutExpired:
        raise Trouble(PATIENCE(path=shown(path))) from None
    except OSError as slip:
        raise Trouble(NO_PROCESS(path=shown(path), why=slip.strerror)) from None
    try:
        told = json.loads(done.stdout)
    except ValueError:
        raise Trouble(CRASHED(path=shown(path))) from None
    if "trouble" in told:
        raise Trouble(Say.from_json(told["trouble"]))
    refused = told.pop("refused")
    return Grid(**told, refused=Say.from_json(refused) if refused else None)


def serve(path: str) -> None:
    """What the process does: writes the grid, or what went wrong, as one line of JSON."""
    if hasattr(os, "nice"):
        os.nice(19)
    json.dump(_told(lambda: analysed(path)), sys.stdout)


def _told(find: Callable[[], Grid]) -> dict[str, Any]:
    try:
        grid = find()
    except Trouble as trouble:
        return {"trouble": trouble.says.to_json()}
    return asdict(replace(grid, refused=None)) | {"refused": grid.refused and grid.refused.to_json()}


def analysed(path: Path | str) -> Grid:
    """The grid of an audio file, in this process. Raises ``Trouble`` where the file cannot be read."""
    from synth.recording.finding.finder import find_grid  # numpy and the decoders: the process alone needs them
    from synth.recording.finding.onsets import RATE_HZ, hear
    from synth.recording.reading import read_mono

    return find_grid(hear(read_mono(path, RATE_HZ)))
