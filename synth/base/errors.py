"""Trouble from outside, told to a person.

A wrong call inside the program is a ``ValueError``; a missing device, a full disk or a broken file is
``Trouble``: a sentence that says what happened and what to do, fit for a screen or a terminal.
"""

from collections.abc import Iterable
from difflib import get_close_matches

from synth.base.words import Say, say


class Trouble(Exception):
    """Something outside the program went wrong; ``str(trouble)`` is one clear line in English.

    ``says`` is the sentence that a window translates. What only commands print may be given as plain text.
    """

    def __init__(self, says: Say | str) -> None:
        super().__init__(str(says))
        self.says = says if isinstance(says, Say) else say(says)


def near(name: str, known: Iterable[str]) -> str:
    """A closing remark that offers the known names nearest to a mistyped one, or the empty string.

    >>> near("snair", ["kick", "snare"])
    ' Did you mean snare?'
    """
    found = get_close_matches(name.lower(), list(known), n=3, cutoff=0.5)
    return f" Did you mean {' or '.join(found)}?" if found else ""
