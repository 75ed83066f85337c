"""Reads files with size limits and validates their contents.

Only ordinary files are opened, never waiting for a pipe or device. msgspec validates plain values against a type (a
dataclass, ``Annotated`` with ``Meta`` for ranges and lengths); its messages are put into plain words. ``Unfit`` says
what is wrong; callers turn it into ``Trouble`` that names the file.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, TypeVar

import msgspec

from synth.base.errors import Trouble
from synth.base.folders import foreign_link
from synth.base.reasons import reason
from synth.base.words import Template

NOT_READ = Template("border.not_read", "{path}: cannot be read ({why})")
FOREIGN = Template("border.foreign", "a link that somebody else has made")
NO_NAME = Template("border.no_name", "not the name of a file")
A_FOLDER = Template("border.a_folder", "a folder, not a file")
NOT_ORDINARY = Template("border.not_ordinary", "not an ordinary file")
TOO_LARGE = Template("border.too_large", "too large: {size} bytes, at most {most}")

T = TypeVar("T")

# Longest echo of text from a file, a name or an answer, in characters.
SHOWN = 200
# Size limit of files with plain values (settings, plans, calibrations, trials), in bytes.
MOST_BYTES = 8_000_000


class Unfit(ValueError):
    """An invalid value; the message says in one line what was expected."""


def shown(text: object, most: int = SHOWN) -> str:
    r"""A text for display: one line, no control characters, at most ``most`` characters.

    Control characters and bytes of a name that are not UTF-8 (surrogates, PEP 383) become ``\xNN``.
    """
    plain = str(text)
    cut = plain[: most + 1]
    clean = "".join(each if each.isprintable() else escaped(each) for each in cut)
    return clean if len(clean) <= most and len(cut) == len(plain) else f"{clean[: most - 1]}…"


def escaped(character: str) -> str:
    r"""A character as an escape: ``\xNN`` for a control character or a byte that is not UTF-8 (PEP 383)."""
    code = ord(character)
    if 0xDC80 <= code <= 0xDCFF:  # an undecodable byte of a name (PEP 383)
        return f"\\x{code - 0xDC00:02x}"
    if character.isspace():
        return " "
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


@contextmanager
def open_file(path: Path | str, most_bytes: int | None = None) -> Iterator[IO[bytes]]:
    """Open an ordinary file for reading. ``Trouble`` for anything else, or more than ``most_bytes``."""
    if foreign_link(Path(path)):
        raise Trouble(NOT_READ(path=shown(path), why=FOREIGN()))
    try:
        # Non-blocking: opening a pipe without a writer would wait for ever.
        flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
        number = os.open(path, flags)
    except (OSError, ValueError) as slip:
        why = reason(slip) if isinstance(slip, OSError) else NO_NAME()
        raise Trouble(NOT_READ(path=shown(path), why=why)) from slip
    error: OSError | None = None
    found = os.fstat(number)
    unfit = (
        A_FOLDER()
        if stat.S_ISDIR(found.st_mode)
        else NOT_ORDINARY()
        if not stat.S_ISREG(found.st_mode)
        else TOO_LARGE(size=found.st_size, most=most_bytes)
        if most_bytes is not None and found.st_size > most_bytes
        else None
    )
    if unfit is None and hasattr(os, "pread"):
        try:
            os.pread(number, 1, 0)
        except OSError as slip:  # a file of the system that has nothing to give, a broken disk
            error, unfit = slip, reason(slip)
    if unfit is not None:
        os.close(number)
        raise Trouble(NOT_READ(path=shown(path), why=unfit)) from error
    with open(number, "rb") as file:  # noqa: PTH123 - a descriptor, which it closes
        yield file


def read_bytes(path: Path | str, most_bytes: int = MOST_BYTES) -> bytes:
    """The bytes of an ordinary file. ``Trouble`` if it is unreadable or larger than ``most_bytes``."""
    with open_file(path, most_bytes) as file:
        try:
            data = file.read(most_bytes + 1)
        except OSError as slip:
            raise Trouble(NOT_READ(path=shown(path), why=reason(slip))) from slip
    if len(data) > most_bytes:  # a growing file, or one of unknown size
        raise Trouble(f"{shown(path)}: too large (at most {most_bytes} bytes)")
    return data


def read_text(path: Path | str, most_bytes: int = MOST_BYTES) -> str:
    """The text of a UTF-8 file without its byte-order mark; ``Trouble`` if it is invalid."""
    data = read_bytes(path, most_bytes)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as slip:
        line = data.count(b"\n", 0, slip.start) + 1
        raise Trouble(f"{shown(path)}, line {line}: not text; UTF-8 expected") from slip


def read_json(path: Path | str, most_bytes: int = MOST_BYTES) -> Any:
    """The plain values of a JSON file; ``Trouble`` if it is invalid."""
    try:
        return parsed(read_bytes(path, most_bytes))
    except Unfit as slip:
        raise Trouble(f"{shown(path)}: {slip}") from slip


def parsed(data: bytes | str) -> Any:
    """JSON as plain values, with or without a byte-order mark; ``Unfit`` if it is invalid."""
    data = data.removeprefix(b"\xef\xbb\xbf") if isinstance(data, bytes) else data.removeprefix("\ufeff")
    try:
        return msgspec.json.decode(data)
    except (msgspec.DecodeError, RecursionError, UnicodeError) as slip:
        raise Unfit("not JSON") from slip


def fitted(value: Any, kind: type[T]) -> T:
    """Plain values as a ``kind``, with types, ranges and lengths checked; ``Unfit`` names the field."""
    try:
        return msgspec.convert(value, kind, strict=True)
    except msgspec.ValidationError as slip:
        raise Unfit(plain(str(slip))) from slip
    except (OverflowError, RecursionError, UnicodeError) as slip:
        raise Unfit("a value out of range") from slip


# msgspec's names of types, and plain ones; searched in this order.
_TYPES = {
    "int": "a whole number",
    "float": "a number",
    "str": "a text",
    "bool": "true or false",
    "array": "a list",
    "object": "named values",
    "null": "nothing",
}
_PLACE = re.compile(r" - at `(?:key in )?\$?(?P<place>[^`]*)`$")


def plain(message: str) -> str:
    """msgspec's message in plain words: ``'rung': a whole number from 1 expected, not a text``."""
    place = _PLACE.search(message)
    said = message[: place.start()] if place else message
    name = place["place"].strip(".") if place else ""
    if found := re.fullmatch(r"Object missing required field `(.*)`", said):
        return f"{'.'.join(filter(None, (name, found[1])))!r} is missing"
    if found := re.fullmatch(
        r"Expected `(.*?)`(?: (>=|<=|>|<) (\S+))?(?: of length (>=|<=) (\d+))?(?:, got `(.*)`)?", said
    ):
        kinds, sign, bound, length_sign, length, got = found.groups()
        said = " or ".join(_TYPES.get(kind, kind) for kind in kinds.split(" | "))
        said += f" {'from' if sign and sign[0] == '>' else 'up to'} {bound}" if sign else ""
        said += f" of {'at least' if length_sign == '>=' else 'at most'} {length}" if length_sign else ""
        said += " expected" + (f", not {_TYPES.get(got, got)}" if got else "")
    elif found := re.match(r"Invalid enum value (.*)", said):
        said = f"{found[1]} is not one of those that there are"
    elif "matching regex" in said:
        said = "written in another form than expected"
    else:
        said = said[:1].lower() + said[1:]
    return shown(f"{name!r}: {said}" if name else said)
