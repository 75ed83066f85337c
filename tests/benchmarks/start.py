"""How long a person waits: from the start of the process to the painted window, and what ``./run`` adds to it."""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from app.settings import FILE_NAME
from tests.end_to_end import desk

HOUSE = Path(__file__).parent.parent.parent
PROGRAM = [sys.executable, "-P", "-m", "app"]
# The least that any program of this kind takes: Qt with a label in a window of the same size.
BARE = """
from PySide6.QtWidgets import QApplication, QLabel
class Bare(QLabel):
    def paintEvent(self, event):
        super().paintEvent(event)
        print("painted", flush=True)
        application.quit()
application = QApplication([])
window = Bare("bare")
window.resize(1280, 800)
window.show()
application.exec()
"""
STARTS = 9
GOAL_PAINTED_S = 0.6
GOAL_FIRST_S = 0.8
GOAL_RUN_ADDS_MS = 30.0


def _painted_s(env: dict[str, str], command: list[str] = PROGRAM) -> float:
    """One start: the program prints `painted` at its first paint (asked to by TALLYBAR_PAINTED) and ends."""
    begun_s = time.perf_counter()
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as program:
        first = program.stdout.readline()
        painted_s = time.perf_counter() - begun_s
        complaints = program.communicate(timeout=20)[1]
    if first.strip() != "painted" or program.returncode:
        raise RuntimeError(
            f"the window was not painted: {first!r}, status {program.returncode}: {complaints.strip()}"
        )
    return painted_s


def _window() -> dict[str, dict]:
    """The usual start, and the very first one, which shows the welcome."""
    goals = {"window_painted_s": GOAL_PAINTED_S, "welcome_painted_s": GOAL_FIRST_S}
    if lacking := desk.missing():
        return {
            name: {"value": None, "unit": "s", "goal": f"at most {goal}", "met": None, "note": lacking}
            for name, goal in goals.items()
        }
    found = {}
    with tempfile.TemporaryDirectory() as folder, desk.Desk(Path(folder)) as place:
        env = place.env | {"PYTHONPATH": str(HOUSE), "TALLYBAR_PAINTED": "1"}
        env.pop("PYTHONDONTWRITEBYTECODE", None)  # a user's second start finds the program compiled
        for name, goal in goals.items():
            home = Path(folder) / name
            home.mkdir()
            if name == "window_painted_s":
                (home / FILE_NAME).write_text("first_run_done = true\n")
            env["TALLYBAR_HOME"] = str(home)
            _painted_s(env)  # the first start reads from the disk and compiles
            pairs = [(_painted_s(env), _painted_s(env, [sys.executable, "-c", BARE])) for _ in range(STARTS)]
            value = statistics.median(painted_s for painted_s, _ in pairs)
            over_bare = statistics.median(painted_s / bare_s for painted_s, bare_s in pairs)
            found[name.replace("_s", "_over_bare")] = {"value": over_bare, "unit": "x", "goal": "-", "met": None}
            found[name] = {"value": value, "unit": "s", "goal": f"at most {goal}", "met": value <= goal}
    return found


def _asked_ms(command: list[str], env: dict[str, str]) -> float:
    begun_s = time.perf_counter()
    subprocess.run([*command, "--version"], env=env, check=True, stdout=subprocess.DEVNULL)
    return (time.perf_counter() - begun_s) * 1000


def _run_adds() -> dict:
    env = os.environ | {"PYTHONPATH": str(HOUSE)}
    pairs = [(_asked_ms([str(HOUSE / "run")], env), _asked_ms(PROGRAM, env)) for _ in range(2 * STARTS)][1:]
    value = statistics.median(through_run - plain for through_run, plain in pairs)
    goal = f"at most {GOAL_RUN_ADDS_MS:g}"
    return {"value": value, "unit": "ms", "goal": goal, "met": value <= GOAL_RUN_ADDS_MS}


def figures() -> dict[str, dict]:
    """Seconds to the painted window, warm; milliseconds that a second ``./run`` spends on looking at its set-up."""
    return _window() | {"second_run_adds_ms": _run_adds()}
