"""Why a trial is void, as a kind and a figure: what broke its sound, no tap, or the learner's word.

A logbook keeps faults by name (``kept``); version 0.1.0 kept their English lines, which are read too.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from synth.base.words import Say, Template, fields, listed, say

BETWEEN = "; "


class FaultKind(StrEnum):
    """What happened."""

    STALL = "stall"
    UNDERFLOW = "underflow"
    SILENCE = "silence"
    MOVED = "moved"
    REROUTED = "rerouted"
    JUMP = "jump"
    LOST = "lost"
    MISSED = "missed"
    UNTAPPED = "untapped"
    WITHDRAWN = "withdrawn"


# Each as a line, with the figure of the fault if it has one.
LINES = {
    FaultKind.STALL: Template("faults.stall", "the computer was too busy for the sound ({figure} ms)"),
    FaultKind.UNDERFLOW: Template("faults.underflow", "the sound ran dry"),
    FaultKind.SILENCE: Template("faults.silence", "the sound stopped"),
    FaultKind.MOVED: Template("faults.moved", "the sound's timing shifted"),
    FaultKind.REROUTED: Template("faults.rerouted", "the sound moved to another output"),
    FaultKind.JUMP: Template("faults.jump", "the computer slept, or its clock was set ({figure} s)"),
    FaultKind.LOST: Template("faults.lost", "the program was too busy to watch the sound"),
    FaultKind.MISSED: Template("faults.missed", "the microphone missed a part of what it was to hear"),
    FaultKind.UNTAPPED: Template("faults.untapped", "no tap came in"),
    FaultKind.WITHDRAWN: Template("faults.withdrawn", "the learner said that it does not count"),
}
# As version 0.1.0 worded them.
OLD_LINES = {"the sound was not served for {figure} ms, longer than its buffer": FaultKind.STALL}
FIGURE = r"(?P<figure>[-+]?[\d.]+)"


@dataclass(frozen=True, slots=True)
class Fault:
    """One break: its kind, its ``figure`` in the unit of its line, and the first ``frame`` after it.

    Two of a kind with the same figure are equal, wherever they lie.
    """

    kind: FaultKind
    figure: str = ""
    frame: int = field(default=0, compare=False)

    @property
    def says(self) -> Say:
        """What happened, in a line without a full stop."""
        line = LINES[self.kind]
        return line(figure=self.figure) if self.figure else line()

    def __str__(self) -> str:
        return str(self.says)


def kept(faults: Iterable[Fault]) -> str:
    """Faults as a logbook keeps them: ``"stall 312; underflow"``."""
    return BETWEEN.join(f"{fault.kind} {fault.figure}".rstrip() for fault in faults)


def from_kept(text: str) -> Say:
    """A fault kept in a logbook, by this version or an older one, as a sentence; other text is unchanged."""
    return listed(_read(part) for part in text.split(BETWEEN)) or say(text)


def _read(text: str) -> Say:
    name, _, figure = text.partition(" ")
    if name in set(FaultKind) and bool(figure) == ("figure" in fields(LINES[FaultKind(name)].text)):
        return Fault(FaultKind(name), figure).says
    worded = {line.text: kind for kind, line in LINES.items()} | OLD_LINES
    for line, kind in worded.items():
        before, field, after = line.partition("{figure}")
        if found := re.fullmatch(re.escape(before) + (FIGURE if field else "") + re.escape(after), text):
            return LINES[kind](**found.groupdict())
    return say(text)
