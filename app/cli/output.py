"""Output of the commands: lines without control characters from files or names."""

import codecs
import json
import re
import sys
from collections.abc import Iterator
from typing import Any, TypeVar

from synth.base.border import escaped, shown

T = TypeVar("T")

# Longest line of trouble in characters; text that it echoes is shortened by ``shown``.
MOST_TROUBLE = 600
# Trials between two lines of progress: about a second of reading.
COUNTED = 2000
ODD = re.compile(r"[^\x20-\x7e\n]")


def prepare_output() -> None:
    """Make standard output and error write characters missing in their encoding as escapes."""

    def written(slip: UnicodeError) -> tuple[str, int]:
        assert isinstance(slip, UnicodeEncodeError)
        return "".join(map(escaped, slip.object[slip.start : slip.end])), slip.end

    codecs.register_error("tallybar", written)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="tallybar")


def say(line: object) -> None:
    """Print a line."""
    print(clean(str(line)), flush=True)


def complain(line: object, name: str = "tallybar: ") -> None:
    """Print a line of trouble on standard error, after the program's name."""
    print(name + shown(line, MOST_TROUBLE), file=sys.stderr)


def number_of(n: int, thing: str) -> str:
    """``1 trial``, ``2 trials``."""
    return f"{n} {thing}" if n == 1 else f"{n} {thing}s"


def counted(trials: Iterator[T]) -> Iterator[T]:
    """The same trials, with their number on the terminal while they are read."""
    shown = ""
    try:
        for n, each in enumerate(trials):
            if n and n % COUNTED == 0 and sys.stderr.isatty():
                shown = f"\r{n:,} trials read. Ctrl-C cancels."
                print(shown, end="", file=sys.stderr, flush=True)
            yield each
    finally:
        if shown:
            print(f"\r{'':<{len(shown)}}\r", end="", file=sys.stderr, flush=True)


def say_json(data: Any) -> None:
    """Print plain values as JSON."""
    text = json.dumps(data, indent=2, ensure_ascii=False)
    print(ODD.sub(lambda found: found[0] if found[0].isprintable() else json.dumps(found[0])[1:-1], text))


def clean(text: str) -> str:
    """The text with control characters except line feeds as escapes."""
    return ODD.sub(lambda found: found[0] if found[0].isprintable() else escaped(found[0]), text)
