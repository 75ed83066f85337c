"""A process that tries cases of one surface and prints what became of each.

    python -m tests.hostile.worker SURFACE SEED FIRST COUNT

A line a case: its number, what became of it, and the kind where it fell. One that dies is begun anew after it.
"""

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.hostile.surfaces import SURFACES
from tests.hostile.world import Fell, World, draw_of, memory_mb

# A worker that has grown so large is ended by itself after the case, and begun anew.
LARGEST_MB = 900


def outcomes(surface: str, seed: int, numbers: range, world: World) -> Iterator[tuple[int, str, str]]:
    """Number, outcome and kind of each case, tried one after the other in one world."""
    for number in numbers:
        world.begin()
        try:
            yield number, SURFACES[surface](draw_of(surface, seed, number), world), ""
        except Fell as fell:
            yield number, "fell", str(fell)
        except Exception as slip:  # of the case itself, where what it looked into is no longer what it was
            yield number, "fell", f"{type(slip).__name__}: {slip}"


def main() -> int:
    """Try the cases."""
    surface, seed, first, count = sys.argv[1], *map(int, sys.argv[2:5])
    with tempfile.TemporaryDirectory(prefix="hostile-") as folder, World(Path(folder) / "world") as world:
        for number, came, kind in outcomes(surface, seed, range(first, first + count), world):
            print(number, came, kind.encode("ascii", "backslashreplace").decode().replace("\n", " "), flush=True)
            if memory_mb("VmRSS") > LARGEST_MB:
                break
    return 0


if __name__ == "__main__":
    sys.exit(main())
