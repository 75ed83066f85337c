"""Hostile input for every surface of the program: 100 000 cases, each held to the rules of ``tests.hostile.world``.

The cases are those of ``tests.hostile.surfaces``; a worker tries them one after the other and is begun anew where it
dies. ``TALLYBAR_FUZZ`` sets how many are tried in all, ``TALLYBAR_FUZZ_SEED`` which. Beside them, files that are
large and full of one thing. The share of each surface goes to standard error as it is done.
"""

import os
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

from tests.hostile.surfaces import SURFACES

ROOT = Path(__file__).parents[2]
CASES = int(os.environ.get("TALLYBAR_FUZZ", "100000"))
SEED = int(os.environ.get("TALLYBAR_FUZZ_SEED", "1"))
LARGEST_MB, LONGEST_S = 500, 1.0
# Of 100 000 cases, so many of each surface; the others get what is left in equal parts. No one gets less.
LEAST = 2_000
SHARES = {
    **{"arguments": 4_000, "trial files": 6_000, "taps and answers": 8_000, "JSON Lines": 2_500, "settings": 10_000},
    **{"plan": 8_000, "calibrations": 11_500, "grooves": 20_000, "MIDI": 20_000},
}
# The kernel's own high-water mark of a process that reads the heavy files and nothing else.
HEAVY = "from tests.hostile.music import read_heavy_files; print(read_heavy_files()); "
HEAVY += "print([line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')][0])"


def attempt(surface: str, cases: int) -> tuple[Counter[str], list[str]]:
    """Try the cases of a surface: how many were accepted, refused, fell; and of what kinds the latter are."""
    outcomes: Counter[str] = Counter()
    kinds: list[str] = []
    number = 0
    while number < cases:
        words = [sys.executable, "-m", "tests.hostile.worker", surface, str(SEED), str(number), str(cases - number)]
        environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
        with subprocess.Popen(
            words, cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        ) as worker:
            assert worker.stdout is not None
            for line in worker.stdout:
                told, came, kind = line.rstrip("\n").split(" ", 2)
                number = int(told) + 1
                outcomes[came] += 1
                if kind:
                    kinds.append(f"{surface} {told}: {kind}")
        if worker.returncode:  # it died of the case after the last that it told of
            outcomes["fell"] += 1
            kinds.append(f"{surface} {number}: the worker ended with status {worker.returncode}")
            number += 1
    return outcomes, kinds


def shares() -> dict[str, int]:
    """How many cases of each surface."""
    return {surface: max(1, SHARES.get(surface, LEAST) * CASES // 100_000) for surface in SURFACES}


def figures() -> dict[str, Any]:
    from tests.benchmarks.sound import figure

    found: dict[str, Any] = {}
    fallen: list[str] = []
    for surface, cases in shares().items():
        outcomes, kinds = attempt(surface, cases)
        fallen += kinds
        tried, fell = outcomes.total(), outcomes["fell"]
        said = f"{tried} tried, {outcomes['refused']} refused plainly, {outcomes['accepted']} accepted, {fell} fell"
        print(f"  {surface:<18} {said}", *kinds[:5], sep="\n      ", file=sys.stderr, flush=True)
        found[f"fuzz_{surface.lower().replace(' ', '_')}"] = figure(fell, "cases", "0", not fell, said)
    tried = sum(shares().values())
    said = "; ".join(fallen[:5])
    found["fuzz_cases"] = figure(tried, "cases", "100000", tried >= 100_000, f"{len(fallen)} fell. {said}".strip())
    heavy = subprocess.run([sys.executable, "-c", HEAVY], cwd=ROOT, capture_output=True, text=True, check=True)
    heavy_s, peak_kb = map(float, heavy.stdout.split())
    return found | {
        "heavy_slowest_s": figure(
            heavy_s, "s", "below 1", heavy_s < LONGEST_S, "120 kB and 1 MB of MIDI, 100 kB and 1 MB of groove"
        ),
        "heavy_memory_mb": figure(peak_kb / 1024, "MB", "below 500", peak_kb / 1024 < LARGEST_MB, "whole process"),
    }
