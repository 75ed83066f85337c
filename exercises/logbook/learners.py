"""Who a learner is: a lasting id, a name that may repeat, and a label that is unique in the logbook.

The id has 32 hex digits. Where two have the same name, the label adds the first digits of the id: "Ada #3f2a". A
learner may be ``joined`` to another, whose trials are then those of both (see ``joining``); commands and screens know
only learners that are not.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from shlex import quote
from typing import Any, NamedTuple

from synth.base.border import shown
from synth.base.errors import Trouble, near
from synth.base.words import Template

# Digits of an id in a label, more where two begin alike.
SHORT = 4
LONGEST_NAME = 60
ID = re.compile(r"[0-9a-f]{32}")
# What a label ends with; and a name with it, or it alone.
ENDS = re.compile(rf"#[0-9a-f]{{{SHORT},32}}$")
LABEL = re.compile(rf"(?:(.*?) ?)#([0-9a-f]{{{SHORT},32}})")

NO_NAME = Template(
    "learners.no_name",
    "{name} cannot be a name: 1 to {most} characters are needed, and no # with digits at the end.",
)

# Runs a SELECT with these values and returns its rows.
Rows = Callable[[str, tuple[object, ...]], list[Any]]

# The learner to whom the trials of an id belong; a circle, which no program makes, ends at one of its members.
ROOT = """
    WITH RECURSIVE up (id, joined) AS (
        SELECT id, joined FROM learners WHERE key = ?
        UNION SELECT learners.id, learners.joined FROM up JOIN learners ON learners.id = up.joined
    ) SELECT id FROM up ORDER BY joined IS NOT NULL LIMIT 1
"""
# A learner (row) and all who are joined to it.
WHOLE = """
    WITH RECURSIVE down (id) AS (
        SELECT ? UNION SELECT learners.id FROM down JOIN learners ON learners.joined = down.id
    ) SELECT id FROM down
"""


class Known(NamedTuple):
    """A row of a logbook's learners: id (None in old files), and the id of the one it is joined to."""

    name: str
    id: str | None = None
    joined: str | None = None


@dataclass(frozen=True, slots=True)
class Learner:
    """A learner of a logbook: row number, id, name, and label."""

    number: int
    id: str
    name: str
    label: str


def learners(rows: Rows, *, joined: bool = False) -> list[Learner]:
    """The learners, in order of creation; or those that are joined to others, whose labels all have digits."""
    found = rows(f"SELECT id, key, name FROM learners WHERE joined IS {'NOT ' * joined}NULL ORDER BY id", ())
    times = Counter(name for _, _, name in found)
    like = {key for _, key, name in found if joined or times[name] > 1 or ENDS.search(name)}
    digits = SHORT
    while len({key[:digits] for key in like}) < len(like):
        digits += 1
    return [
        Learner(number, key, name, f"{name} #{key[:digits]}" if key in like else name) for number, key, name in found
    ]


def row_number(rows: Rows, asked: str) -> int | None:
    """Row of the learner with an id, a label or a name, the first of several; None for an unknown one."""
    if ID.fullmatch(asked) and (found := rows(ROOT, (asked,))):
        return int(found[0][0])
    if ENDS.search(asked):
        return next((each.number for each in matches(learners(rows), asked)), None)
    # Any other label is a name; there is an index of names, and a logbook may have thousands.
    found = rows("SELECT id FROM learners WHERE name = ? AND joined IS NULL ORDER BY id LIMIT 1", (asked,))
    return int(found[0][0]) if found else None


def row_of_name(rows: Rows, name: str) -> int | None:
    """Row of the first learner of exactly that name, of one who is joined to none if there is one."""
    found = rows("SELECT key FROM learners WHERE name = ? ORDER BY joined IS NOT NULL, id LIMIT 1", (name,))
    return int(rows(ROOT, found[0])[0][0]) if found else None


def matches(known: Sequence[Learner], asked: str) -> list[Learner]:
    """Learners meant by an id, a label, a name, or "#" with the first digits of an id, with or without the name."""
    for attribute in ("id", "label", "name"):
        if found := [each for each in known if getattr(each, attribute) == asked]:
            return found
    part = LABEL.fullmatch(asked)
    if part is None:
        return []
    return [each for each in known if each.id.startswith(part[2]) and part[1] in ("", each.name)]


def one_of(known: Sequence[Learner], asked: str) -> Learner:
    """The learner meant; ``Trouble`` for an unknown one, or a name that several have."""
    found = matches(known, asked)
    if not found:
        raise Trouble(
            f"There is no learner {shown(asked, 60)!r} in the logbook.{near(asked, [each.label for each in known])}"
        )
    if len(found) > 1:
        labels = ", ".join(quote(shown(each.label, 60)) for each in found[:5])
        raise Trouble(f"{shown(asked, 60)!r} can be {len(found)} learners; say which: {labels}.")
    return found[0]


def label_of(known: Sequence[Learner], asked: str) -> str:
    """The label of the learner with an id, label or name; the text itself for an unknown one."""
    return next((each.label for each in matches(known, asked)), asked)


def good_name(text: str) -> str:
    """A name as typed, white space folded; ``Trouble`` for one that a learner cannot have."""
    name = " ".join(text.split())
    if not (0 < len(name) <= LONGEST_NAME and name.isprintable()) or ENDS.search(name):
        raise Trouble(NO_NAME(name=shown(text, 60) or "''", most=LONGEST_NAME))
    return name
