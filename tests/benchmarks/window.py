"""What the learner waits for inside the window: the sound after "start", the result after the trial's end.

Real window (offscreen), real trial, real marking and a logbook on disk; the player is the tests' silent one, whose
clock the benchmark moves.
"""

import os
import statistics
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

from exercises.forms.drill import SAME_KITS_TO
from tests.app.silent import SilentPlayer

ROUNDS = 9
GOAL_SCHEDULED_MS = 60.0
GOAL_SHOWN_MS = 50.0
GOAL_STILL_MS = 50.0
GOAL_FRAME_MS = 8.0
FRAMES = 60
BARS = 32
# The first of the rungs on which each trial draws a kit of its own is the third; this one has bass and chords.
RUNG = 8


def figures() -> dict[str, dict]:
    """Milliseconds from "start" to the sound handed over, and from the last window's end to the result painted."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QLoggingCategory
    from PySide6.QtWidgets import QApplication

    from app.ui.base import theme
    from app.ui.dress import dress
    from app.ui.practise.screen import SOUNDING_TICK_MS

    QLoggingCategory.setFilterRules("default.warning=false")
    application = QApplication.instance() or QApplication(["tallybar"])
    theme.load_fonts()
    dress(theme.LIGHT)
    application.processEvents()
    warm_ms, _ = waits_ms(SAME_KITS_TO)
    drawn_ms, shown_ms = waits_ms(RUNG)
    warm, drawn = statistics.median(warm_ms[1:]), statistics.median(drawn_ms[1:])
    # The timer that looks at the clock adds its own period at most.
    shown = statistics.median(shown_ms[1:]) + SOUNDING_TICK_MS
    return (
        still_figure()
        | board_figure()
        | sheet_figure()
        | {
            "start_to_sound_scheduled_ms": {
                "value": warm,
                "unit": "ms",
                "goal": f"at most {GOAL_SCHEDULED_MS:g}",
                "met": warm <= GOAL_SCHEDULED_MS,
                "note": f"{BARS} bars, kit warm, nothing made ahead; the first of all took {warm_ms[0]:.0f} ms",
            },
            "start_to_sound_of_a_new_kit_ms": {
                "value": drawn,
                "unit": "ms",
                "note": "a kit of its own for each trial; in life a process makes it while the last one sounds",
            },
            "end_to_result_painted_ms": {
                "value": shown,
                "unit": "ms",
                "goal": f"at most {GOAL_SHOWN_MS:g}",
                "met": shown <= GOAL_SHOWN_MS,
                "note": f"timer period of {SOUNDING_TICK_MS} ms, saving to disk and painting included",
            },
        }
    )


def waits_ms(rung: int) -> tuple[list[float], list[float]]:
    """Of trials of ``BARS`` bars on a rung: from "start" to the sound handed over, from the end to the result."""
    from PySide6.QtWidgets import QApplication

    from app.inputs.equipment import Equipment
    from app.inputs.taps import Tap
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.practice import Practice
    from app.practice.trial.attempt import Phase
    from app.practice.trial.next_trial import Ahead, Wish
    from app.session import Session
    from app.ui.window import Window
    from exercises.drills import drill
    from exercises.logbook.store import Logbook

    one = drill("one")
    one.rungs = tuple(replace(rung, ones=BARS - rung.listen_bars) for rung in one.rungs)
    scheduled_ms, shown_ms = [], []
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(folder) / "logbook.sqlite3") as logbook:
        player = SilentPlayer()
        seeds = iter(range(1, 1000))
        practice = Practice(
            Equipment(player), PresentLearner(logbook), Ahead(lambda: next(seeds)), wish=Wish("one", rung, 128.0)
        )
        window = Window(Session(practice))
        window.resize(1280, 800)
        window.show()
        QApplication.processEvents()
        for _ in range(ROUNDS + 1):
            begun_s = time.perf_counter()
            window.contents.practise.go_on()
            scheduled_ms.append((time.perf_counter() - begun_s) * 1000)
            QApplication.processEvents()
            for target_s in practice.trial.targets_s:
                practice.attempt.tap(Tap(player.start_s + float(target_s), "key", True))
            player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
            begun_s = time.perf_counter()
            window.contents.practise.tick()
            window.repaint()
            QApplication.processEvents()
            shown_ms.append((time.perf_counter() - begun_s) * 1000)
            if practice.phase is not Phase.MARKED:
                raise RuntimeError("the trial was not marked")
            if len(practice.trial.count.ones_s) != BARS:
                raise RuntimeError(f"the trial has other than {BARS} bars")
        window.close()
    return scheduled_ms, shown_ms


def until(holds: Callable[[], bool]) -> None:
    """Let the event loop run until something holds."""
    from PySide6.QtCore import QDeadlineTimer, QEventLoop
    from PySide6.QtWidgets import QApplication

    deadline = QDeadlineTimer(20_000)
    while not holds():
        if deadline.hasExpired():
            raise RuntimeError("the window did not come to its next step")
        QApplication.instance().processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)


def still_figure() -> dict[str, dict]:
    """The longest wait of the event loop while a plan is made, its trial rendered, started, saved and shown."""
    from PySide6.QtCore import QDeadlineTimer

    from app.inputs.equipment import Equipment
    from app.inputs.taps import Tap
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.plan.planned import Planned
    from app.practice.practice import Practice
    from app.practice.trial.attempt import Phase
    from app.practice.trial.next_trial import Ahead
    from app.session import Session
    from app.ui.window import Window
    from exercises.logbook.store import Logbook
    from tests.app.heartbeat import heartbeat

    worst_ms = []
    with (
        tempfile.TemporaryDirectory() as folder,
        Logbook.open(Path(folder) / "logbook.sqlite3") as logbook,
        ThreadPoolExecutor(1) as workers,
    ):
        player, seeds = SilentPlayer(), iter(range(1, 1000))
        practice = Practice(Equipment(player), PresentLearner(logbook), Ahead(lambda: next(seeds), workers))
        practice.follow_day(Planned(None, workers))
        window = Window(Session(practice))
        window.resize(1280, 800)
        window.show()
        for _ in range(ROUNDS + 1):
            with heartbeat() as gaps_s:
                for place in (logbook.path, None):  # the second is a first day's: its fourth item asks for taps
                    practice.day.path = place
                    practice.plan_day()
                    until(lambda: practice.next_known)
                for _ in range(2):  # the lesson, the warm-up
                    practice.day.skip()
                window.contents.practise.skip()
                window.contents.practise.go_on()
                until(lambda: practice.phase is Phase.SOUNDING)
                for target_s in practice.trial.targets_s:
                    practice.attempt.tap(Tap(player.start_s + float(target_s), "key", True))
                player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
                until(lambda: practice.phase is Phase.MARKED)
                painted = QDeadlineTimer(50)
                until(painted.hasExpired)
            worst_ms.append(1000 * max(gaps_s))
            window.contents.practise.follow_plan()
        window.close()
    still = statistics.median(worst_ms[1:])
    return {
        "event_loop_longest_wait_ms": {
            "value": still,
            "unit": "ms",
            "goal": f"at most {GOAL_STILL_MS:g}",
            "met": still <= GOAL_STILL_MS,
            "note": "plan made, trial rendered beside it, started, saved and shown; median of "
            f"{ROUNDS} rounds, the worst {max(worst_ms[1:]):.0f} ms, the first of all {worst_ms[0]:.0f} ms",
        }
    }


def board_figure() -> dict[str, dict]:
    """The longest wait of the event loop while the tutor's board has 16 slow bars made beside it and started."""
    from app.inputs.equipment import Equipment
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.practice import Practice
    from app.practice.trial.next_trial import Ahead
    from app.session import Session
    from app.ui.heading import BOARD
    from app.ui.window import Window
    from tests.app.heartbeat import heartbeat

    worst_ms = []
    with ThreadPoolExecutor(1) as workers:
        window = Window(Session(Practice(Equipment(SilentPlayer()), PresentLearner(None), Ahead(lambda: 1, workers))))
        window.show()
        window.contents.show_screen(BOARD)
        screen = window.contents.board
        until(lambda: screen.board._coming is None)
        for tempo_bpm in range(60, 60 + ROUNDS):
            screen.board.stop()
            with heartbeat() as gaps_s:
                screen.choose(replace(screen.board.phrase, bars=16, tempo_bpm=float(tempo_bpm)))
                screen.toggle()
                until(lambda: screen.board.playing)
            worst_ms.append(1000 * max(gaps_s))
        window.close()
    still = statistics.median(worst_ms)
    return {
        "board_longest_wait_ms": {
            "value": still,
            "unit": "ms",
            "goal": f"at most {GOAL_STILL_MS:g}",
            "met": still <= GOAL_STILL_MS,
            "note": f"16 bars at 60 BPM and more, made and started; median of {ROUNDS} rounds, the worst "
            f"{max(worst_ms):.0f} ms",
        }
    }


def sheet_figure() -> dict[str, dict]:
    """Painting the count sheet at 1920 x 1080: the practise sheet with 32 bars and a mark on every one."""
    from PySide6.QtGui import QImage

    from app.ui.widgets.sheet.count_sheet import CountSheet, Mark
    from synth.score.metre import steady_count

    sheet = CountSheet()
    sheet.resize(1920, 1080)
    count = steady_count(128.0, [8] * (BARS // 8))
    sheet.show_count(count)
    sheet.show_marks(tuple(Mark(float(at_s) + 0.01, 10.0) for at_s in count.ones_s), count.ones_s[:2])
    image = QImage(sheet.size(), QImage.Format.Format_ARGB32_Premultiplied)
    frames_ms = []
    for beat in range(FRAMES + 5):
        sheet.show_sounding(beat % len(count))
        begun_s = time.perf_counter()
        sheet.render(image)
        frames_ms.append((time.perf_counter() - begun_s) * 1000)
    frame_ms = statistics.median(frames_ms[5:])
    return {
        "count_sheet_frame_ms": {
            "value": frame_ms,
            "unit": "ms",
            "goal": f"at most {GOAL_FRAME_MS:g}",
            "met": frame_ms <= GOAL_FRAME_MS,
            "note": f"1920 x 1080, {BARS} bars with {len(count.ones_s)} taps, drawn without a graphics card; median "
            f"of {FRAMES} frames, the worst {max(frames_ms[5:]):.1f} ms",
        }
    }
