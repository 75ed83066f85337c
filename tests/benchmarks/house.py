"""The size of the house: files, lines and modules by room, types, private names in tests, import time of the window.

Lines are lines of Python files, blank ones and comments included.
"""

import os
import re
import statistics
import subprocess
import sys
from dataclasses import fields
from pathlib import Path

from app.practice.practice import Practice

HERE = Path(__file__).parent.parent.parent
TOP = ("app", "exercises", "synth", "assets")
LINES_OF_0_1_0 = 31_080
PRIVATE_OF_0_1_0 = 448
MOST_MODULES = 14
# A file a thing: such a room may hold any number.
ONE_FILE_A_THING = ("exercises/drills", "synth/sound/kit", "assets/grooves")
PRIVATE = re.compile(r"\._[a-z]\w+")
# A parameter or a field that hands a theme on, outside the two files that read it.
THEMED = re.compile(r"\btheme: (\w+\.)?Theme\b|\bdef set_theme\b")
THEME_READ_IN = ("app/ui/base/theme.py", "app/ui/dress.py")


def python_files(under: Path) -> list[Path]:
    """The Python files of a folder and its subfolders."""
    return sorted(path for path in under.rglob("*.py") if "build" not in path.parts)


def lines(files: list[Path]) -> int:
    """Lines of some files."""
    return sum(len(path.read_text(encoding="utf-8").splitlines()) for path in files)


def rooms() -> dict[str, list[Path]]:
    """Every folder of Python files, from the checkout, to its own files."""
    found: dict[str, list[Path]] = {}
    for top in TOP:
        for path in python_files(HERE / top):
            found.setdefault(path.parent.relative_to(HERE).as_posix(), []).append(path)
    return found


def seconds_to_import(module: str, times: int = 5) -> float:
    """Median wall time of a Python that imports a module, less that of one that imports nothing."""
    watch = f"import time; t = time.perf_counter(); import {module}; print(time.perf_counter() - t)"
    command, env = [sys.executable, "-P", "-c", watch], os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    found = [subprocess.run(command, env=env, capture_output=True, text=True, check=True) for _ in range(times)]
    return statistics.median(float(each.stdout) for each in found)


def type_errors() -> int:
    """What mypy, strict, finds in the program."""
    packages = [word for top in ("app", "exercises", "synth") for word in ("-p", top)]
    done = subprocess.run(
        [sys.executable, "-P", "-m", "mypy", "--strict", *packages],
        cwd=HERE,
        capture_output=True,
        text=True,
        check=False,
    )
    found = re.search(r"Found (\d+) error", done.stdout)
    return int(found[1]) if found else 0


def circles() -> int:
    """How many modules import themselves by way of others."""
    import grimp

    graph = grimp.build_graph("app", "exercises", "synth", cache_dir=None)
    return sum(
        bool(graph.find_upstream_modules(each) & graph.find_downstream_modules(each)) for each in graph.modules
    )


def figures() -> dict[str, dict]:
    """One figure a room, then those of the whole."""
    rows: dict[str, dict] = {}
    for room, files in rooms().items():
        modules = [path for path in files if path.stem != "__init__"]
        free = room in ONE_FILE_A_THING
        rows[room] = {
            "value": len(modules),
            "unit": "modules",
            "goal": "" if free else f"at most {MOST_MODULES}",
            "met": None if free else len(modules) <= MOST_MODULES,
            "note": f"{lines(files)} lines",
        }
    every = [path for top in TOP for path in python_files(HERE / top)]
    total = lines(every)
    private = sum(len(PRIVATE.findall(path.read_text())) for path in python_files(HERE / "tests" / "app"))
    themed = [
        place
        for path in every
        if path.relative_to(HERE).as_posix() not in THEME_READ_IN
        for place in THEMED.findall(path.read_text())
    ]
    circular = circles()
    errors = type_errors()
    return rows | {
        "rooms": {"value": len(rows), "unit": ""},
        "files": {"value": len(every), "unit": ""},
        "lines": {
            "value": total,
            "unit": "lines",
            "goal": f"at most {LINES_OF_0_1_0 - 1500}",
            "met": total <= LINES_OF_0_1_0 - 1500,
            "note": f"{total - LINES_OF_0_1_0:+} to 0.1.0",
        },
        "lines_of_tests": {"value": lines(python_files(HERE / "tests")), "unit": "lines"},
        "modules_in_circles": {"value": circular, "unit": "", "goal": "0", "met": not circular},
        "type_errors": {"value": errors, "unit": "", "goal": "0", "met": errors == 0},
        "fields_of_practice": {"value": len(fields(Practice)), "unit": "", "note": "32 in 0.1.0"},
        "places_that_carry_the_theme": {"value": len(themed), "unit": ""},
        "private_names_in_tests_app": {
            "value": private,
            "unit": "",
            "goal": f"at most {PRIVATE_OF_0_1_0 // 2}",
            "met": private <= PRIVATE_OF_0_1_0 // 2,
        },
        "import_of_the_window_s": {"value": seconds_to_import("app.ui.window"), "unit": "s"},
    }
