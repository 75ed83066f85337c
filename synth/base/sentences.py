"""Sentences in a file: their form, and how deep they may lie within each other."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import Meta, Struct

from synth.base.border import Unfit
from synth.base.words import Say

# Greatest nesting of sentences: the deepest in use is three, plus one.
MOST_DEPTH = 4

Id = Annotated[str, Meta(min_length=1, max_length=64)]
Number = Annotated[float, Meta(ge=-1e12, le=1e12)]
# An answer or figure; whole numbers stay whole.
Figure = Annotated[int, Meta(ge=-(10**12), le=10**12)] | Number
# An unknown sentence becomes the value of a plain one, so that both may be as long.
Text = Annotated[str, Meta(max_length=2000)]
Plain = Text | Figure | bool | None


class Sentence(Struct, rename={"values": "with"}, omit_defaults=True):
    """A sentence as ``Say.to_json`` writes it."""

    say: Text
    values: Annotated[dict[Id, Sentence | Plain], Meta(max_length=32)] = {}

    def to_say(self) -> Say:
        """The sentence that the program shows."""
        return Say.from_json(msgspec.to_builtins(self))


def check_depth(name: str, level: list[Sentence]) -> None:
    """``Unfit`` with ``name`` for sentences deeper within each other than ``MOST_DEPTH``."""
    for _ in range(MOST_DEPTH):
        if not level:
            return
        level = [each for say in level for each in say.values.values() if isinstance(each, Sentence)]
    if level:
        raise Unfit(f"{name!r}: sentences within each other, more than {MOST_DEPTH}")
