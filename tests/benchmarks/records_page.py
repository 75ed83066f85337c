"""The page Records with 3 000 records: from the click to the painted page, and how long the window is deaf.

A real window (offscreen) on a catalogue on disk, in a process of its own in which nothing of it is loaded; the
records are invented. "Deaf" is the longest time in which the event loop did not come round, by a timer of
``BEAT_MS``, which is added; "busy" is the same in CPU time of the window's thread, which no other program lengthens.
"""

import statistics
import tempfile
import time
from importlib import import_module
from pathlib import Path

from tests.app.apart import apart

HERE = "tests.benchmarks.records_page"
MANY, ROUNDS, FIRSTS, BEAT_MS = 3000, 5, 3, 2
GOAL_PAINTED_MS, GOAL_DEAF_MS, GOAL_BUSY_MS = 100.0, 50.0, 35.0


def fill(folder: Path) -> None:
    """A catalogue of invented records, with the index that its second start has."""
    from dataclasses import replace

    from synth.catalogue.catalogue import Catalogue
    from tests.synth.catalogue.made import GRID, recording

    catalogue = Catalogue(folder)
    for number in range(MANY):
        grid = replace(GRID, tempo_bpm=80 + number % 90 + number % 7 / 10, sure=number % 4 > 0)
        made = recording(number, grid=grid, title=f"Invented {number * 7919 % MANY}", artist=f"Band {number % 300}")
        catalogue.keep(made.confirmed("learner") if number % 3 == 0 else made, bytes(4000), bytes(2400))
    Catalogue(folder)


def opened(read: bool) -> dict[str, list[float]]:
    """Milliseconds to the painted page, and the longest deafness, of each click and key.

    ``read``: the first comes when the program has read the catalogue and made the page ahead, as it does behind its
    first trial; else before that, when only modules are there and the page itself reads it.
    """
    from PySide6.QtCore import QCoreApplication, QEventLoop

    from app.inputs.equipment import Equipment
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.practice import Practice
    from app.practice.records.own_records import OwnRecords
    from app.practice.records.shelf import By
    from app.practice.trial.next_trial import Ahead
    from app.session import SHELF, _read_records
    from app.ui.heading import PRACTISE, RECORDS
    from tests.app.heartbeat import painted
    from tests.app.silent import SilentPlayer
    from tests.app.windows import shown_window

    found: dict[str, list[float]] = {}
    practice = Practice(Equipment(SilentPlayer()), PresentLearner(None), Ahead(lambda: 1))
    practice.records = OwnRecords()

    def measure(name: str, click, done=lambda: True) -> None:  # type: ignore[no-untyped-def]
        QCoreApplication.processEvents()
        for what, value in zip(("ms", "deaf_ms", "busy_ms"), painted(click, done, BEAT_MS), strict=True):
            found.setdefault(f"{name}_{what}", []).append(value)

    with shown_window(practice) as window:
        import_module(SHELF)
        measure("ahead", window.contents.records.prepare)
        if read:
            _read_records(practice.records)
            measure("ahead", window.contents.records.prepare)
        measure(
            "first",
            lambda: window.contents.show_tab(RECORDS),
            lambda: window.contents.records.list.table.records.rowCount(),
        )
        screen = window.contents.records.open_list()
        end_s = time.perf_counter() + 1.0
        while time.perf_counter() < end_s:  # which files are there is looked up by a thread
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 10)
        for _ in range(ROUNDS):
            window.contents.show_tab(PRACTISE)
            measure("again", lambda: window.contents.show_tab(RECORDS))
            measure("search", lambda: screen.search.setText("band 29"))
            measure("search", lambda: screen.search.setText(""))
            measure("order", lambda: screen._order(By.TEMPO))
            measure("order", lambda: screen._order(By.STATE))
            measure("order", lambda: screen._order(By.TITLE))
        assert screen.table.records.rowCount() == MANY
    window.session.shelf.close()
    return found


def figures() -> dict[str, dict]:
    """The figures of the page, in processes of their own."""
    with tempfile.TemporaryDirectory() as folder:
        fill(Path(folder))
        runs = [apart(HERE, "opened", True, TALLYBAR_HOME=folder) for _ in range(FIRSTS)]
        unread = [apart(HERE, "opened", False, TALLYBAR_HOME=folder) for _ in range(FIRSTS)]
    firsts = [run["first_ms"][0] for run in runs]
    later = runs[0]

    def row(value: float, goal: float, note: str) -> dict:
        return {"value": value, "unit": "ms", "goal": f"at most {goal:g}", "met": value <= goal, "note": note}

    deaf, busy = (
        {name: max(later[f"{name}_{how}_ms"]) for name in ("again", "search", "order")} for how in ("deaf", "busy")
    )
    return {
        "first_click_to_painted_ms": row(
            statistics.median(firsts),
            GOAL_PAINTED_MS,
            f"{MANY} records; median of {', '.join(f'{one:.0f}' for one in firsts)}",
        ),
        "unread_to_painted_ms": {
            "value": statistics.median(run["first_ms"][0] for run in unread),
            "unit": "ms",
            "note": "where the catalogue was not read before, behind the first trial: a thread reads its index",
        },
        "first_deaf_ms": row(
            max(run["first_deaf_ms"][0] for run in (*runs, *unread)), GOAL_DEAF_MS, "read before or not, the longest"
        ),
        "first_busy_ms": row(
            max(run["first_busy_ms"][0] for run in (*runs, *unread)), GOAL_BUSY_MS, "the same in CPU time"
        ),
        "ahead_busy_ms": row(
            max(max(run["ahead_busy_ms"]) for run in runs),
            GOAL_BUSY_MS,
            "to make the page ahead, while nothing sounds",
        ),
        "click_to_painted_ms": row(statistics.median(later["again_ms"]), GOAL_PAINTED_MS, "every later time"),
        "search_to_painted_ms": row(statistics.median(later["search_ms"]), GOAL_PAINTED_MS, "a word of a search"),
        "order_to_painted_ms": row(statistics.median(later["order_ms"]), GOAL_PAINTED_MS, "by tempo, count, title"),
        "deaf_at_most_ms": row(max(deaf.values()), GOAL_DEAF_MS, _each(deaf)),
        "busy_at_most_ms": row(max(busy.values()), GOAL_BUSY_MS, _each(busy)),
    }


def _each(values: dict[str, float]) -> str:
    return ", ".join(f"{name} {value:.0f}" for name, value in values.items())
