"""Data of the program: grooves, fonts, icons, ... Each folder has its own licence."""

from importlib.resources import files
from pathlib import Path

_ROOT = Path(str(files(__name__)))


def path(*parts: str) -> Path:
    """Path of a shipped file or folder, e.g. ``path("grooves")``."""
    return _ROOT.joinpath(*parts)
