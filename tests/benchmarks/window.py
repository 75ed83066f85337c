"""What the learner waits for inside the window: the sound after "start", the result after the trial's end.

Real window (offscreen), real trial, real marking and a logbook on disk; the player is the tests' silent one, whose
clock the benchmark moves.
"""

import os
import statistics
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from tests.app.silent import SilentPlayer

ROUNDS = 9
GOAL_SCHEDULED_MS = 60.0
GOAL_SHOWN_MS = 50.0
BARS = 32


def figures() -> dict[str, dict]:
    """Milliseconds from "start" to the sound handed over, and from the last window's end to the result painted."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QLoggingCategory
    from PySide6.QtWidgets import QApplication

    from app import theme
    from app.practice import Phase, Practice
    from app.ahead import Ahead, Wish
    from app.taps import Tap
    from app.window import Window, dress
    from exercises.drills import drill
    from exercises.logbook.store import Logbook

    QLoggingCategory.setFilterRules("default.warning=false")
    application = QApplication.instance() or QApplication(["tallybar"])
    theme.load_fonts()
    dress(theme.LIGHT)
    # The same rung, long enough for 32 bars.
    one = drill("one")
    one.rungs = tuple(replace(rung, ones=BARS - rung.listen_bars) for rung in one.rungs)
    scheduled_ms, shown_ms = [], []
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(folder) / "logbook.sqlite3") as logbook:
        player = SilentPlayer()
        seeds = iter(range(1, 1000))
        practice = Practice(player, logbook, Ahead(lambda: next(seeds)), wish=Wish("one", 8, 128.0))
        window = Window(practice)
        window.resize(1280, 800)
        window.show()
        application.processEvents()
        for _ in range(ROUNDS + 1):
            begun_s = time.perf_counter()
            window._practise.go_on()
            scheduled_ms.append((time.perf_counter() - begun_s) * 1000)
            bars = len(practice.trial.count.ones_s)
            application.processEvents()
            for target_s in practice.trial.targets_s:
                practice.tap(Tap(player.start_s + float(target_s), "key", True))
            player.now_s = player.start_s + practice.trial_end_s() + 0.001
            begun_s = time.perf_counter()
            window._practise._tick()
            window.repaint()
            application.processEvents()
            shown_ms.append((time.perf_counter() - begun_s) * 1000)
            if practice.phase is not Phase.MARKED:
                raise RuntimeError("the trial was not marked")
        window.close()
    # The timer that looks at the clock adds its own period at most.
    from app.screens.practise import SOUNDING_TICK_MS

    scheduled = statistics.median(scheduled_ms[1:])
    shown = statistics.median(shown_ms[1:]) + SOUNDING_TICK_MS
    return {
        "start_to_sound_scheduled_ms": {
            "value": scheduled,
            "unit": "ms",
            "goal": f"at most {GOAL_SCHEDULED_MS:g}",
            "met": scheduled <= GOAL_SCHEDULED_MS,
            "note": f"{bars} bars, kit warm, nothing made ahead; the first of all took {scheduled_ms[0]:.0f} ms",
        },
        "end_to_result_painted_ms": {
            "value": shown,
            "unit": "ms",
            "goal": f"at most {GOAL_SHOWN_MS:g}",
            "met": shown <= GOAL_SHOWN_MS,
            "note": f"timer period of {SOUNDING_TICK_MS} ms, saving to disk and painting included",
        },
    }
