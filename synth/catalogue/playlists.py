"""Playlists as lists of files: M3U and M3U8 (a name a line) and XSPF 1 (XML).

Nothing is fetched: what is not a file of this computer is left out. XML is read without a document type, so that
there are no entities.
"""

import re
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.parsers import expat

from synth.base.border import read_bytes, shown
from synth.base.errors import Trouble
from synth.base.words import Template

ENDINGS = (".m3u8", ".m3u", ".xspf")
MOST_BYTES, MOST_FILES = 8_000_000, 100_000
LONGEST_NAME, DEEPEST = 4096, 20
SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:")

NO_LIST = Template("playlist.no_list", "{path}: this is no list of files that can be read.")
NO_FILES = Template("playlist.no_files", "{path}: this list names no file of this computer.")


def read_playlist(path: Path) -> list[Path]:
    """The files that a list names, in its order, from its folder on, whether or not they are there.

    Raises ``Trouble`` where it is no list, names nothing, or is too large.
    """
    data = read_bytes(path, MOST_BYTES)
    try:
        names = _by_xml(data) if path.suffix.lower() == ".xspf" else _by_lines(data)
        if len(names) > MOST_FILES:
            raise ValueError("too long")
    except (expat.ExpatError, ValueError) as slip:
        raise Trouble(NO_LIST(path=shown(path))) from slip
    found = [file for name in names if (file := _file(name, path.parent)) is not None]
    if not found:
        raise Trouble(NO_FILES(path=shown(path)))
    return found


def _by_lines(data: bytes) -> list[str]:
    """Lines that are no comments; UTF-8, or Latin-1 where it is none, as old lists are written (common practice)."""
    if b"\0" in data:
        raise ValueError("not text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    return [name for line in re.split(r"[\r\n]+", text) if (name := line.strip()) and not name.startswith("#")]


def _by_xml(data: bytes) -> list[str]:
    """The ``location`` of every ``track``."""
    parser = expat.ParserCreate(namespace_separator=" ")
    names: list[str] = []
    within: list[str] = []

    def refuse(*_: object) -> None:
        raise ValueError("a document type")

    def begin(name: str, _: dict[str, str]) -> None:
        within.append(name.rpartition(" ")[2])
        if len(within) > DEEPEST:
            raise ValueError("too deep")
        if within[-2:] == ["track", "location"]:
            names.append("")

    def text(part: str) -> None:
        if within[-2:] == ["track", "location"] and len(names[-1]) <= LONGEST_NAME:
            names[-1] += part

    parser.StartDoctypeDeclHandler = refuse
    parser.StartElementHandler = begin
    parser.EndElementHandler = lambda _: within.pop()
    parser.CharacterDataHandler = text
    parser.Parse(data, True)
    return [name.strip() for name in names]


def _file(name: str, folder: Path) -> Path | None:
    """A file of this computer by its name or ``file:`` address; None for anything else."""
    if not name or len(name) > LONGEST_NAME or "\0" in name:
        return None
    if SCHEME.match(name):
        try:
            parts = urlsplit(name)
        except ValueError:
            return None
        if parts.scheme.lower() != "file" or parts.netloc not in ("", "localhost"):
            return None
        from urllib.request import url2pathname  # brings what speaks to servers: half of what a start would read

        name = url2pathname(parts.path)
    elif not (folder / name).exists():
        name = unquote(name) if "%" in name else name
    return None if "\0" in name else folder / name
