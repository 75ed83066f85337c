"""The logbook screen with ten years of practice: from the click to the painted page, and how long the window is deaf.

A real window (offscreen) on a logbook of 219 000 trials on disk. "Deaf" is the longest time in which the event loop
did not come round, that is, in which a key or the mouse would have waited; a timer looks every ``BEAT_MS``, which is
added. Between events the loop sleeps, as in the program: one that span would take half of Python's time from the
thread that reads. The first opening, in a process of its own in which nothing of the logbook is loaded, is made
``FIRSTS`` times.
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
FIRSTS = 3
BEAT_MS = 2
GOAL_PAINTED_MS = 300.0
GOAL_DEAF_MS = 50.0
DRILLS = ("beat", "stopped-beat", "one")


def opened(path: Path, rounds: int) -> dict[str, list[float]]:
    """Milliseconds to the painted page, and the longest deafness: at the first opening, ``rounds`` times later, and
    then for each drill.
    """
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtCore import QEventLoop, QLoggingCategory, Qt, QTimer
    from PySide6.QtWidgets import QApplication

    from app.inputs.equipment import Equipment
    from app.practice.plan.making_plan import make_plan
    from app.practice.practice import Practice
    from app.practice.trial.next_trial import Ahead
    from app.session import Session
    from app.ui.base import theme
    from app.ui.dress import dress
    from app.ui.window import Window
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
        window = Window(Session(Practice(Equipment(SilentPlayer()), logbook, Ahead(lambda: 1))))
        window.resize(1280, 800)
        window.show()
        application.processEvents()
        beats: list[float] = []
        beat = QTimer()
        beat.setTimerType(Qt.TimerType.PreciseTimer)
        beat.timeout.connect(lambda: beats.append(time.perf_counter()))
        beat.start(BEAT_MS)

        def measure(name: str, click, done) -> None:  # type: ignore[no-untyped-def]
            beats.clear()
            begun_s = time.perf_counter()
            beats.append(begun_s)
            click()
            while not done():
                application.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
            # What was put there last is painted before the loop comes round twice.
            application.processEvents()
            application.processEvents()
            ended_s = time.perf_counter()
            beats.append(ended_s)
            found.setdefault(f"{name}_ms", []).append((ended_s - begun_s) * 1000)
            gaps = [after - before for before, after in pairwise(beats)]
            found.setdefault(f"{name}_deaf_ms", []).append(max(gaps) * 1000)

        def there() -> bool:
            return bool(window.contents.open_logbook().settled)

        measure("first", lambda: window.contents.show_tab(2), there)
        for _ in range(rounds):
            window.contents.show_tab(0)
            application.processEvents()
            measure("again", lambda: window.contents.show_tab(2), there)
        for drill in DRILLS if rounds else ():
            for _ in range(3):
                measure("drill", lambda drill=drill: window.contents.open_logbook().open_drill(drill), there)
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
    runs = [_run(path, ROUNDS if number == 0 else 0) for number in range(FIRSTS)]
    found = runs[0]
    firsts = [run["first_ms"][0] for run in runs]
    deaf_first = [run["first_deaf_ms"][0] for run in runs]
    deaf_later = {name: max(found[f"{name}_deaf_ms"]) for name in ("again", "drill")}

    def row(value: float, goal: float | None, note: str) -> dict:
        met = None if goal is None else value <= goal
        return {
            "value": value,
            "unit": "ms",
            "goal": "" if goal is None else f"at most {goal:g}",
            "met": met,
            "note": note,
        }

    return {
        "first_click_to_painted_ms": row(
            statistics.median(firsts), GOAL_PAINTED_MS, f"ladder, words, chart, list; median of {_each(firsts)}"
        ),
        "first_click_deaf_at_most_ms": row(
            statistics.median(deaf_first), GOAL_DEAF_MS, f"the longest of each; median of {_each(deaf_first)}"
        ),
        "click_to_painted_ms": row(statistics.median(found["again_ms"]), GOAL_PAINTED_MS, "every later time"),
        "drill_to_painted_ms": row(
            max(found["drill_ms"]), GOAL_PAINTED_MS, f"slowest of {len(found['drill_ms'])}: {', '.join(DRILLS)}"
        ),
        "later_deaf_at_most_ms": row(
            max(deaf_later.values()), GOAL_DEAF_MS, ", ".join(f"{k} {v:.0f}" for k, v in deaf_later.items())
        ),
    }


def _each(values: list[float]) -> str:
    return ", ".join(f"{value:.0f}" for value in values)


def _run(path: Path, rounds: int) -> dict[str, list[float]]:
    """Open the logbook in a process of its own."""
    code = f"import json, sys; from tests.benchmarks.logbook_screen import opened; from pathlib import Path; \
print(json.dumps(opened(Path({str(path)!r}), {rounds})))"
    checkout = Path(__file__).parent.parent.parent
    env = dict(os.environ)
    env.pop("PYTHONDONTWRITEBYTECODE", None)  # a user's second start finds the program compiled
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=checkout, env=env, capture_output=True, text=True, check=True
    )
    return json.loads(ran.stdout.splitlines()[-1])
