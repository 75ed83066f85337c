"""How long a person waits: from the start of the process to the painted window and to the contents that take keys.

And what ``./run`` adds to it.
"""

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


def _waits_s(env: dict[str, str], words: tuple[str, ...], command: list[str]) -> list[float]:
    """One start: when the program printed each of these words; it ends by itself."""
    begun_s = time.perf_counter()
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as program:
        told, waits_s = [], []
        for _ in words:
            told.append(program.stdout.readline().strip())
            waits_s.append(time.perf_counter() - begun_s)
        complaints = program.communicate(timeout=20)[1]
    if told != [*words] or program.returncode:
        raise RuntimeError(f"the window was not painted: {told}, status {program.returncode}: {complaints.strip()}")
    return waits_s


def _program_s(env: dict[str, str]) -> list[float]:
    """When the first picture is painted, and when the contents are (asked for by TALLYBAR_PAINTED)."""
    return _waits_s(env, ("painted", "ready"), PROGRAM)


def _bare_s(env: dict[str, str]) -> float:
    return _waits_s(env, ("painted",), [sys.executable, "-c", BARE])[0]


def _window() -> dict[str, dict]:
    """The usual start, and the very first one, which shows the welcome."""
    goals = {"window": GOAL_PAINTED_S, "welcome": GOAL_FIRST_S}
    if lacking := desk.missing():
        return {
            f"{name}_painted_s": {
                "value": None,
                "unit": "s",
                "goal": f"at most {goal}",
                "met": None,
                "note": lacking,
            }
            for name, goal in goals.items()
        }
    found = {}
    with tempfile.TemporaryDirectory() as folder, desk.Desk(Path(folder)) as place:
        env = place.env | {"PYTHONPATH": str(HOUSE), "TALLYBAR_PAINTED": "1"}
        env.pop("PYTHONDONTWRITEBYTECODE", None)  # a user's second start finds the program compiled
        for name, goal in goals.items():
            home = Path(folder) / name
            home.mkdir()
            if name == "window":
                (home / FILE_NAME).write_text("first_run_done = true\n")
            env["TALLYBAR_HOME"] = str(home)
            _program_s(env)  # the first start reads from the disk and compiles
            starts = [(*_program_s(env), _bare_s(env)) for _ in range(STARTS)]
            painted_s = statistics.median(each[0] for each in starts)
            ready_s = statistics.median(each[1] for each in starts)
            over_bare = statistics.median(each[0] / each[2] for each in starts)
            found[f"{name}_painted_over_bare"] = {"value": over_bare, "unit": "x", "goal": "-", "met": None}
            found[f"{name}_painted_s"] = {
                "value": painted_s,
                "unit": "s",
                "goal": f"at most {goal}",
                "met": painted_s <= goal,
            }
            found[f"{name}_ready_s"] = {"value": ready_s, "unit": "s", "goal": "-", "met": None}
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
    """Seconds to the painted window and to its contents, warm; milliseconds that a second ``./run`` looks around."""
    return _window() | {"second_run_adds_ms": _run_adds()}
