"""The logbook screen with ten years of practice: from the click to the painted page, and how long the window is deaf.

A real window (offscreen) on a logbook of 219 000 trials on disk. "Deaf" is the longest time in which the event loop
did not come round, that is, in which a key or the mouse would have waited; a timer looks every ``BEAT_MS``, which is
added. Between events the loop sleeps, as in the program: one that span would take half of Python's time from the
thread that reads. The first opening, in a process of its own in which nothing of the logbook is loaded, is made
``FIRSTS`` times.
"""

import statistics
import tempfile
from datetime import timedelta
from pathlib import Path

from tests.app.apart import apart
from tests.benchmarks.logbook import BEGIN, fill

HERE = "tests.benchmarks.logbook_screen"
DAYS = 3650
ROUNDS = 5
FIRSTS = 3
BEAT_MS = 2
GOAL_PAINTED_MS = 300.0
GOAL_DEAF_MS = 50.0
DRILLS = ("beat", "stopped-beat", "one")


def opened(path: str, rounds: int) -> dict[str, list[float]]:
    """Milliseconds to the painted page, and the longest deafness: at the first opening, ``rounds`` times later, and
    then for each drill.
    """
    from PySide6.QtCore import QCoreApplication

    from app.inputs.equipment import Equipment
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.plan.making_plan import make_plan
    from app.practice.practice import Practice
    from app.practice.trial.next_trial import Ahead
    from exercises.logbook.store import Logbook
    from tests.app.heartbeat import painted
    from tests.app.silent import SilentPlayer
    from tests.app.windows import shown_window

    found: dict[str, list[float]] = {}
    # The program plans the day as it starts.
    make_plan(Path(path), "me", BEGIN + timedelta(days=DAYS), 10)

    def measure(name: str, click, done) -> None:  # type: ignore[no-untyped-def]
        for what, value in zip(("ms", "deaf_ms", "busy_ms"), painted(click, done, BEAT_MS), strict=True):
            found.setdefault(f"{name}_{what}", []).append(value)

    with (
        Logbook.open(Path(path)) as logbook,
        shown_window(Practice(Equipment(SilentPlayer()), PresentLearner(logbook), Ahead(lambda: 1))) as window,
    ):

        def there() -> bool:
            return bool(window.contents.logbook.open_screen().settled)

        measure("first", lambda: window.contents.show_tab(2), there)
        for _ in range(rounds):
            window.contents.show_tab(0)
            QCoreApplication.processEvents()
            measure("again", lambda: window.contents.show_tab(2), there)
        for drill in DRILLS if rounds else ():
            for _ in range(3):
                measure("drill", lambda drill=drill: window.contents.logbook.open_screen().open_drill(drill), there)
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
    runs = [apart(HERE, "opened", str(path), ROUNDS if number == 0 else 0) for number in range(FIRSTS)]
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
