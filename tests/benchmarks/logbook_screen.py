"""The logbook screen with ten years of practice: from the click to the painted page, and how long the window is deaf.

A real window (offscreen) on a logbook of 219 000 trials on disk. "Deaf" is the longest time in which the event loop
did not come round, that is, in which a key or the mouse would have waited.
"""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

from tests.benchmarks.logbook import BEGIN, fill

DAYS = 3650
ROUNDS = 5
GOAL_PAINTED_MS = 300.0
GOAL_DEAF_MS = 50.0
DRILLS = ("beat", "stopped-beat", "one")


def opened(path: Path) -> dict[str, list[float]]:
    """Milliseconds to the painted page, and the longest deafness: at the first opening, later, and for a drill."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QLoggingCategory, QTimer
    from PySide6.QtWidgets import QApplication

    from app import theme
    from app.ahead import Ahead
    from app.practice import Practice
    from app.today import make_plan
    from app.window import Window, dress
    from exercises.logbook.store import Logbook
    from tests.app.silent import SilentPlayer

    QLoggingCategory.setFilterRules("default.warning=false")
    application = QApplication.instance() or QApplication(["tallybar"])
    theme.load_fonts()
    dress(theme.LIGHT)
    found: dict[str, list[float]] = {}
    # The program plans the day as it starts.
    make_plan(path, "me", BEGIN + timedelta(days=DAYS), 10)
    with Logbook.open(path) as logbook:
        window = Window(Practice(SilentPlayer(), logbook, Ahead(lambda: 1)))
        window.resize(1280, 800)
        window.show()
        application.processEvents()
        beats: list[float] = []
        beat = QTimer()
        beat.timeout.connect(lambda: beats.append(time.perf_counter()))
        beat.start(0)

        def measure(name: str, click, done) -> None:  # type: ignore[no-untyped-def]
            beats.clear()
            begun_s = time.perf_counter()
            beats.append(begun_s)
            click()
            beats.append(time.perf_counter())
            while not done():
                application.processEvents()
            # What was put there last is painted before the loop comes round twice.
            application.processEvents()
            application.processEvents()
            ended_s = time.perf_counter()
            beats.append(ended_s)
            found.setdefault(f"{name}_ms", []).append((ended_s - begun_s) * 1000)
            gaps = [after - before for before, after in pairwise(beats)]
            found.setdefault(f"{name}_deaf_ms", []).append(max(gaps) * 1000)

        def there() -> bool:
            return bool(window.open_logbook().settled)

        measure("first_words", lambda: window.show_tab(2), lambda: window.open_logbook().page is not None)
        measure("first_charts", lambda: None, there)
        for _ in range(ROUNDS):
            window.show_tab(0)
            application.processEvents()
            measure("again", lambda: window.show_tab(2), there)
        for drill in DRILLS:
            for _ in range(3):
                measure("drill", lambda drill=drill: window.open_logbook().open_drill(drill), there)
        window.close()
    return found


def figures() -> dict[str, dict]:
    """Make ten years, then open them in a process of its own, where nothing is loaded yet."""
    with tempfile.TemporaryDirectory() as folder:
        from exercises.logbook.store import Logbook

        path = Path(folder) / "logbook.sqlite3"
        with Logbook.open(path) as logbook:
            fill(logbook, 0, DAYS)
        return measured(path)


def measured(path: Path) -> dict[str, dict]:
    """The figures of a logbook's screen."""
    code = f"import json, sys; from tests.benchmarks.logbook_screen import opened; from pathlib import Path; \
print(json.dumps(opened(Path({str(path)!r}))))"
    checkout = Path(__file__).parent.parent.parent
    ran = subprocess.run([sys.executable, "-c", code], cwd=checkout, capture_output=True, text=True, check=True)
    found = json.loads(ran.stdout.splitlines()[-1])
    first = found["first_words_ms"][0]
    whole = first + found["first_charts_ms"][0]

    def row(value: float, goal: float | None, note: str) -> dict:
        met = None if goal is None else value <= goal
        return {
            "value": value,
            "unit": "ms",
            "goal": "" if goal is None else f"at most {goal:g}",
            "met": met,
            "note": note,
        }

    deaf = {name: max(rows) for name, rows in found.items() if name.endswith("deaf_ms")}
    return {
        "first_click_to_ladder_painted_ms": row(first, GOAL_PAINTED_MS, "ladder, words, list"),
        "first_click_to_charts_painted_ms": row(whole, GOAL_PAINTED_MS, "with the charts' library loaded"),
        "click_to_painted_ms": row(statistics.median(found["again_ms"]), GOAL_PAINTED_MS, "every later time"),
        "drill_to_painted_ms": row(
            max(found["drill_ms"]), GOAL_PAINTED_MS, f"slowest of {len(found['drill_ms'])}: {', '.join(DRILLS)}"
        ),
        "deaf_at_most_ms": row(
            max(deaf.values()),
            GOAL_DEAF_MS,
            ", ".join(f"{k.removesuffix('_deaf_ms')} {v:.0f}" for k, v in deaf.items()),
        ),
    }
