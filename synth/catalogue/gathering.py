"""The files that are meant by files, folders and playlists."""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.catalogue.playlists import ENDINGS as PLAYLISTS
from synth.catalogue.playlists import read_playlist

# Endings of what is looked for in a folder; a file that is named is tried whatever it is called.
_NAMES = "wav aif aiff aifc flac ogg oga opus mp3 mp2 m4a mp4 aac alac wma mka webm caf wv ape"
ENDINGS = frozenset(f".{each}" for each in _NAMES.split(" "))
MOST_FILES = 100_000

TOO_MANY = Template("gathering.too_many", "{path}: more than {most} sounds; choose a folder within it.")
NOTHING = Template("gathering.nothing", "{path}: there is no sound in this folder.")


def gathered(paths: Iterable[Path | str]) -> list[Path]:
    """The files, those of the folders and of all within them, and those of the playlists, each once.

    Raises ``Trouble`` for a list that cannot be read, and for a folder without sound or with too much of it.
    """
    found: dict[str, Path] = {}
    for path in map(Path, paths):
        if path.is_dir():
            files = list(_limited(path))
            if not files:
                raise Trouble(NOTHING(path=shown(path)))
        elif path.suffix.lower() in PLAYLISTS:
            files = read_playlist(path)
        else:
            files = [path]
        found.update({os.path.abspath(each): each for each in files})  # noqa: PTH100 - links stay links
    return list(map(Path, found))


def sounds_in(folder: Path) -> Iterator[Path]:
    """The sounds of a folder and of those within it, in the order of their names; links to folders are left out."""
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(each for each in folders if not each.startswith("."))
        for name in sorted(names):
            if os.path.splitext(name)[1].lower() in ENDINGS and not name.startswith("."):  # noqa: PTH122
                yield Path(place, name)


def _limited(folder: Path) -> Iterator[Path]:
    for number, path in enumerate(sounds_in(folder)):
        if number >= MOST_FILES:
            raise Trouble(TOO_MANY(path=shown(folder), most=MOST_FILES))
        yield path
