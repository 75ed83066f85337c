"""The drills: one file each, or a room (its rungs, its words), discovered in this folder."""

from functools import lru_cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from exercises.forms.drill import INTRODUCTION, Drill
from exercises.forms.old_rungs import id_of
from exercises.trial.trial import Kind, Trial
from exercises.trial.versions import VERSION
from synth.base.errors import Trouble, near


@lru_cache(maxsize=1)
def drills() -> MappingProxyType[str, Drill[Any]]:
    """All drills by id, in the order of the ladder."""
    found: list[Drill[Any]] = [import_module(f"{__name__}.{each.name}").DRILL for each in iter_modules(__path__)]
    return MappingProxyType({each.id: each for each in sorted(found, key=lambda each: (each.ladder, each.id))})


def marked_drills() -> list[Drill[Any]]:
    """The drills whose answers are marked, in the order of the ladder."""
    return [each for each in drills().values() if each.kind is not Kind.NONE]


def drill(id: str) -> Drill[Any]:
    """Look a drill up by id. Raises ``Trouble`` with near names for an unknown one."""
    known = drills()
    if id not in known:
        raise Trouble(f"There is no drill {id!r}.{near(id, known)} 'drills' lists them all.")
    return known[id]


def rung_id(drill: str, number: int, version: int) -> str | None:
    """The lasting name of the rung that a version of the trials had under a number; None for none."""
    found = drills().get(drill)
    if found is not None and number == INTRODUCTION:
        return None if found.introduction is None else found.introduction.id
    return None if found is None else id_of(drill, found.rungs, number, version)


def rung_now(drill: str, id: str | None) -> int | None:
    """Number (from 1) that a rung has by now; None for one that is no more, or of an unknown drill."""
    return _numbers(drill).get(id or "")


@lru_cache
def _numbers(drill: str) -> dict[str, int]:
    found = drills().get(drill)
    return {} if found is None else {each.id: number for number, each in enumerate(found.rungs, 1)}


def drill_of(trial: Trial) -> Drill[Any]:
    """The drill of a trial read from a file. Raises ``Trouble`` where drill, rung or kind do not exist.

    The rung of another version may be one that is no more.
    """
    field = "drill"
    try:
        found = drill(trial.drill)
        field = "rung"
        if trial.version == VERSION:
            found.row_at(trial.rung)
        found.rung_of(trial)
    except Trouble as slip:
        raise Trouble(f"'{field}': {slip}") from slip
    if trial.kind is not found.kind:
        raise Trouble(f"'kind' is {trial.kind}; in the drill {found.id} it is {found.kind}")
    return found
