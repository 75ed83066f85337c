"""Trouble from outside, told to a person.

A wrong call inside the program is a ``ValueError``; a missing device, a full disk or a broken file is
``Trouble``: its text is one line that says what happened and what to do, fit for a screen or a terminal.
"""

from collections.abc import Iterable
from difflib import get_close_matches


class Trouble(Exception):
    """Something outside the program went wrong; ``str(trouble)`` is one clear line for a person."""


def near(name: str, known: Iterable[str]) -> str:
    """A closing remark that offers the known names nearest to a mistyped one, or the empty string.

    >>> near("snair", ["kick", "snare"])
    ' Did you mean snare?'
    """
    found = get_close_matches(name.lower(), list(known), n=3, cutoff=0.5)
    return f" Did you mean {' or '.join(found)}?" if found else ""
