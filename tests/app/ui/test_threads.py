"""Qt's classes are made in the application's thread alone.

To import a part of Qt, or a module that derives classes from Qt's, changes tables of the bindings which the window's
thread reads meanwhile; with a screen reader asking, the program ended in signal 11.
"""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


@pytest.mark.proof
def test_no_thread_but_the_first_imports_qt(tmp_path, invented_weeks):
    """The logbook's reader, the report's thread and the session's worker do their work in a new process."""
    from app.demo.invented import PEOPLE  # not above: the process below is to import it in no thread

    invented_weeks(1, 1, datetime(2026, 3, 1, tzinfo=UTC)).rename(tmp_path / "logbook.sqlite3")
    told = subprocess.run(
        [sys.executable, "-c", "from tests.app.ui.test_threads import work; work()", str(tmp_path), PEOPLE[0].name],
        cwd=ROOT,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen", "TALLYBAR_HOME": str(tmp_path), "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert told.returncode == 0, told.stderr
    found = json.loads(told.stdout.splitlines()[-1])
    assert {"logbook reader", "trial_0"} <= set(found["threads"])
    assert found["qt"] == []


def work() -> None:
    """Have every thread do its work; print the threads that imported anything, and each import of Qt in them, by
    whatever module it was made and through however many others.
    """
    import builtins
    import threading
    from concurrent.futures import ThreadPoolExecutor

    from PySide6.QtWidgets import QApplication

    from app.inputs.equipment import Equipment
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.plan.planned import Planned
    from app.practice.practice import Practice
    from app.practice.trial.next_trial import Ahead
    from app.session import Session
    from app.settings import Keeper, Settings
    from app.ui.window import Window
    from exercises.logbook.store import Logbook
    from tests.app.silent import SilentPlayer

    folder = Path(sys.argv[1])
    path = folder / "logbook.sqlite3"
    application = QApplication(["tallybar"])

    threads, qt = set(), []
    importing = builtins.__import__

    def watching(name, globals=None, locals=None, fromlist=(), level=0):  # type: ignore[no-untyped-def]
        thread = threading.current_thread()
        if thread is not threading.main_thread():
            threads.add(thread.name)
            if name.startswith(("PySide6", "shiboken6")):
                qt.append(f"{(globals or {}).get('__name__')}: {name}, in {thread.name}")
        return importing(name, globals, locals, fromlist, level)

    builtins.__import__ = watching
    workers = ThreadPoolExecutor(1, "trial")

    def settle() -> None:
        for _ in range(3):
            workers.submit(lambda: None).result()
            application.processEvents()

    with Logbook.open(path) as logbook:
        practice = Practice(Equipment(SilentPlayer()), PresentLearner(logbook), Ahead(lambda: 1, workers))
        practice.day = Planned(path, workers, 10)
        session = Session(practice, Keeper(Settings(learner=sys.argv[2])))
        window = Window(session)
        window.show()
        session.warm_up(print)
        assert practice.ahead.rendering is not None
        settle()
        window.contents.show_tab(2)
        screen = window.contents.logbook.open_screen()
        screen.wait()
        for place in screen.page.places[:3]:
            screen.open_drill(place.drill)
            screen.wait()
        screen.write_report(folder / "report.pdf").join()
        assert (folder / "report.pdf").exists()
        for tab in (1, 3, 4):
            window.contents.show_tab(tab)
            settle()
        session.board.prepare()
        window.contents.open_help().hear()
        window.contents.show_welcome()
        settle()
        window.close()
        session.close()
    builtins.__import__ = importing
    print(json.dumps({"threads": sorted(threads), "qt": sorted(set(qt))}))
