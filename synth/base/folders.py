"""Private folders of the learner's data, settings and log."""

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

# Environment variable that replaces all three folders by one.
HOME_VARIABLE = "TALLYBAR_HOME"


def data_folder() -> Path:
    """Folder of the logbook and of the learner's grooves."""
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


FOLDER_MODE, FILE_MODE = 0o700, 0o600


def is_private(path: Path) -> bool:
    """Whether a path is one of these folders or within one."""
    place = Path(os.path.abspath(path))  # noqa: PTH100 - links stay links
    return any(place.is_relative_to(os.path.abspath(folder)) for folder in _folders())  # noqa: PTH100


def foreign_link(path: Path) -> bool:
    """Whether a private path is a link made by neither this user nor the system."""
    with suppress(OSError, AttributeError):  # no such file; no users on this platform
        return path.is_symlink() and path.lstat().st_uid not in (os.geteuid(), 0) and is_private(path)
    return False


def tighten() -> None:
    """Remove others' access rights from the folders and the program's files in them, where this user owns them."""
    for folder in _folders():
        if folder.resolve() == Path.home().resolve():
            continue
        for path in (folder, *_kept_in(folder)):
            with suppress(OSError, AttributeError):
                found = path.stat()
                mode = FOLDER_MODE if path.is_dir() else FILE_MODE
                if found.st_uid == os.geteuid() and found.st_mode & 0o077 and not foreign_link(path):
                    path.chmod(mode)


# Prefixes of the names of the program's files.
KEPT = ("logbook", "today.json", "calibrations", "settings.toml", "learners", "tallybar.log")


def _kept_in(folder: Path) -> Iterator[Path]:
    for path in folder.glob("*"):
        if path.name.startswith(KEPT):
            yield path
            if path.is_dir():
                yield from path.glob("*")


def _folders() -> list[Path]:
    return [data_folder(), config_folder(), log_folder()]
