"""Numbers and families of kits, for those who choose one without hearing it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from synth.base.errors import Trouble
from synth.base.words import Template

if TYPE_CHECKING:
    from numpy.random import Generator

# An acoustic set in a room, a drum machine, a break from a worn record, a dry and damped set. A kit's number gives
# its family: they take turns.
TITLES = {
    "room": Template("kits.room", "Acoustic drums in a room"),
    "machine": Template("kits.machine", "Drum machine"),
    "break": Template("kits.break", "Worn break"),
    "dry": Template("kits.dry", "Dry drums"),
}
FAMILY_NAMES = tuple(TITLES)
# Kits that records draw from: as many of each family.
KITS = 32


def check_family(family: str) -> str:
    """The name of a family of kits. Raises ``Trouble`` for an unknown one."""
    if family not in TITLES:
        raise Trouble(f"There is no family of kits {family!r}; there are {', '.join(TITLES)}.")
    return family


def draw_kits(rng: Generator, number: int) -> list[int]:
    """Seeds of different kits of the pool."""
    return [int(seed) for seed in rng.permutation(KITS)[:number]]


def of_family(seed: int, family: str | None) -> int:
    """The pool's kit of a family next to that of ``seed``. Raises ``Trouble`` for an unknown family."""
    if family is None:
        return seed
    return seed - seed % len(FAMILY_NAMES) + FAMILY_NAMES.index(check_family(family))
