"""`./run bench [--json] [--only NAMES]`: prints the figures of the modules in this folder.

A benchmark is a module beside this file with a function ``figures() -> dict[str, dict]``: name of a figure, which
carries its unit (``window_painted_s``, ``times_faster``), to

    {"value": 0.61, "unit": "s", "goal": "at most 0.8", "met": True}

and "note": "..." if there is more to say. A figure that cannot be had on this computer has the value None, met None
and a note that says why. Ratios are taken in one run, both sides in turn; times are medians. Benchmarks may import
the program, ``tests.end_to_end.desk`` and the references of requirements-test.txt. The status is 1 if a benchmark
broke; a goal that is missed is only said.
"""

import argparse
import importlib.util
import json
import sys
import traceback
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent


def load(path: Path) -> Any:
    """The benchmark module in a file."""
    spec = importlib.util.spec_from_file_location(f"benchmark_{path.stem}", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def line(name: str, figure: dict[str, Any]) -> str:
    """A figure as one line of the table."""
    value = figure["value"]
    shown = "-" if value is None else f"{value:.4g}" if isinstance(value, float) else str(value)
    verdict = {True: "met", False: "MISSED", None: ""}[figure.get("met")]
    goal = figure.get("goal") or ""
    note = figure.get("note") or ""
    return f"  {name:<36} {shown:>10} {figure.get('unit', ''):<8} {goal:<18} {verdict:<7}{note}".rstrip()


def main() -> int:
    """Run the benchmarks that are asked for and print what they found."""
    known = {path.stem: path for path in sorted(HERE.glob("[a-z]*.py"))}
    asked = argparse.ArgumentParser(prog="./run bench", description="Prints the figures that the program is held to.")
    asked.add_argument("--json", action="store_true", help="as JSON: benchmark, figure, value")
    asked.add_argument("--only", action="append", metavar="NAMES", help=f"parted by commas: {', '.join(known)}")
    options = asked.parse_args()
    names = [name.strip() for words in options.only or [] for name in words.split(",") if name.strip()]
    if unknown := [name for name in names if name not in known]:
        asked.error(f"there is no benchmark {unknown[0]!r}; there are {', '.join(known)}")
    found: dict[str, dict[str, Any]] = {}
    broken = []
    for name in names or known:
        try:
            found[name] = load(known[name]).figures()
        except Exception:
            traceback.print_exc()
            broken.append(name)
            continue
        if not options.json:
            print(name, *(line(*figure) for figure in found[name].items()), sep="\n", flush=True)
    if options.json:
        print(json.dumps(found, indent=2))
    if broken:
        print(f"could not be measured: {', '.join(broken)}", file=sys.stderr)
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
