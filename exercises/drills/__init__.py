"""The drills: one file each, found by looking into this folder."""

from functools import lru_cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from exercises.drill import Drill
from synth.errors import Trouble, near


@lru_cache(maxsize=1)
def drills() -> MappingProxyType[str, Drill[Any]]:
    """Every drill by its id, in the order of the ladder."""
    found: list[Drill[Any]] = [import_module(f"{__name__}.{each.name}").DRILL for each in iter_modules(__path__)]
    return MappingProxyType({each.id: each for each in sorted(found, key=lambda each: (each.place, each.id))})


def drill(id: str) -> Drill[Any]:
    """The drill of that id; ``Trouble`` with the near ones where there is none."""
    known = drills()
    if id not in known:
        raise Trouble(f"There is no drill {id!r}.{near(id, known)} 'drills' lists them all.")
    return known[id]
