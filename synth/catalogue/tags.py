"""Title and artist of a file, by tinytag, as one line each."""

import warnings
from pathlib import Path
from typing import BinaryIO, cast

from synth.base.border import open_file

# What is kept of a title or artist, in characters.
LONGEST = 300


def read_tags(path: Path | str) -> tuple[str, str]:
    """Title and artist; empty where there are none, or none that can be read.

    A library reads bytes of a stranger here: call it in a process that may take long or end.
    """
    import tinytag

    try:
        with open_file(path), Path(path).open("rb") as file, warnings.catch_warnings():
            warnings.simplefilter("ignore")
            found = tinytag.TinyTag.get(filename=Path(path).name, file_obj=cast(BinaryIO, file), duration=False)
        return one_line(found.title), one_line(found.artist)
    except Exception:  # whatever a library says to bytes of a stranger: there is no title
        return "", ""


def one_line(text: object) -> str:
    """A text as one line of at most ``LONGEST`` characters: whatever is not printed becomes a space."""
    if not isinstance(text, str):
        return ""
    plain = "".join(each if each.isprintable() else " " for each in text[: 10 * LONGEST])
    return " ".join(plain.split())[:LONGEST].strip()
