"""Drills that learner or tutor want in every plan or in none."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Chosen:
    """Drills that learner or tutor want in every plan (``always``) or in none (``never``), by id; unknown ones are
    ignored.
    """

    always: tuple[str, ...] = ()
    never: tuple[str, ...] = ()


NOTHING_CHOSEN = Chosen()
