"""Output of the commands: lines without control characters from files or names."""

import codecs
import json
import re
import sys
from typing import Any

from synth.base.border import escaped, shown

# Longest line of trouble in characters; text that it echoes is shortened by ``shown``.
MOST_TROUBLE = 600
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


def say_json(data: Any) -> None:
    """Print plain values as JSON."""
    text = json.dumps(data, indent=2, ensure_ascii=False)
    print(ODD.sub(lambda found: found[0] if found[0].isprintable() else json.dumps(found[0])[1:-1], text))


def clean(text: str) -> str:
    """The text with control characters except line feeds as escapes."""
    return ODD.sub(lambda found: found[0] if found[0].isprintable() else escaped(found[0]), text)
