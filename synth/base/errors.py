"""Errors caused from outside the program.

A wrong call inside the program is a ``ValueError``; a missing device, a full disk or a broken file is ``Trouble``: a
sentence that says what happened and what to do.
"""

from collections.abc import Iterable
from difflib import get_close_matches

from synth.base.words import Say, say

# Nobody mistypes a longer one, and to compare it would take for ever.
LONGEST_NAME = 60


class Trouble(Exception):
    """An error from outside the program; ``str(trouble)`` is one line in English.

    ``says`` is the translatable sentence. What only commands print may be plain text.
    """

    def __init__(self, says: Say | str) -> None:
        super().__init__(str(says))
        self.says = says if isinstance(says, Say) else say(says)


def near(name: str, known: Iterable[str]) -> str:
    """A question that suggests the known names nearest to a mistyped one, or the empty string.

    >>> near("snair", ["kick", "snare"])
    ' Did you mean snare?'
    """
    if len(name) > LONGEST_NAME:
        return ""
    found = get_close_matches(name.lower(), list(known), n=3, cutoff=0.5)
    return f" Did you mean {' or '.join(found)}?" if found else ""
