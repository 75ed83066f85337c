"""Folders of the learner's data, settings and log."""

import os
from pathlib import Path

# Environment variable that names one folder for all three.
HOME_VARIABLE = "TALLYBAR_HOME"


def data_folder() -> Path:
    """Folder of the logbook and of the user's own grooves."""
    return _folder("user_data_dir")


def config_folder() -> Path:
    """Folder of the settings."""
    return _folder("user_config_dir")


def log_folder() -> Path:
    """Folder of the program's log."""
    return _folder("user_log_dir")


def _folder(kind: str) -> Path:
    """``TALLYBAR_HOME``, or the folder that ``platformdirs.<kind>`` gives for this platform."""
    home = os.environ.get(HOME_VARIABLE)
    if home:
        return Path(home)
    import platformdirs

    return Path(getattr(platformdirs, kind)("tallybar", appauthor=False))
