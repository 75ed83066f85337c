"""Openings of an eight-week logbook while two screen readers listen: how many of them do not end well.

The real program on a desk with an accessibility bus of its own. In each opening one of them clicks the logbook's
tab as soon as it finds it, and reads the whole window while the page is made and for a while after; then the window
is closed by its close button. A hundred openings, or as many as TALLYBAR_OPENINGS says.
"""

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

OPENINGS = int(os.environ.get("TALLYBAR_OPENINGS", "100"))
WEEKS, LONGEST_S = 8, 60
LISTENER = Path(__file__).parents[1] / "end_to_end" / "listener.py"
# What a listener that broke told.
UNHEARD = '{"objects": 0, "readings": 0, "events": 0, "stood": false}'
# The accessibility library is a package of the system's Python.
SYSTEM = Path("/usr/bin/python3")
LAUNCHERS = [Path("/usr", each, "at-spi-bus-launcher") for each in ("libexec", "lib/at-spi2-core")]


def lacking() -> str:
    """What this computer lacks for a screen reader on a desk, as one line, or the empty string."""
    from tests.end_to_end.desk import missing

    if missing():
        return missing()
    asked = [SYSTEM, "-c", "import gi; gi.require_version('Atspi', '2.0'); from gi.repository import Atspi"]
    there = shutil.which("dbus-daemon") and SYSTEM.exists() and any(map(Path.exists, LAUNCHERS))
    if not there or subprocess.run(asked, capture_output=True).returncode:
        return "no screen reader: Debian's at-spi2-core, gir1.2-atspi-2.0, python3-gi and dbus-daemon are needed"
    return ""


@contextmanager
def bus(env: dict[str, str]) -> Iterator[None]:
    """A message bus for the desk; the accessibility bus is started through it when somebody asks."""
    from tests.end_to_end.desk import end

    words = ["dbus-daemon", "--session", "--nofork", "--print-address=1"]
    with subprocess.Popen(words, env=env, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as daemon:
        try:
            env["DBUS_SESSION_BUS_ADDRESS"] = daemon.stdout.readline().strip()
            env["QT_LINUX_ACCESSIBILITY_ALWAYS_ON"] = "1"
            # Nothing is compiled yet in any opening: the imports of the page take longest then.
            env |= {"PYTHONPYCACHEPREFIX": env["HOME"], "PYTHONDONTWRITEBYTECODE": "1"}
            yield
        finally:
            end(daemon)


def opening(desk: Any, home: Path) -> dict[str, Any]:
    """One opening: what the listener told, and the ``status`` of the program (None: it had to be killed)."""
    from tests.end_to_end.desk import Hand
    from tests.end_to_end.program import Program

    words = [SYSTEM, str(LISTENER), str(LONGEST_S)]
    quiet = {"env": desk.env, "stderr": subprocess.DEVNULL}
    # Two at once, which ask more of the window while the page is made.
    other = subprocess.Popen(words, stdout=subprocess.DEVNULL, **quiet)
    listener = subprocess.Popen([*words, "click"], stdout=subprocess.PIPE, **quiet)
    hand = Hand(desk)
    try:
        with Program(desk, home) as program:
            heard = listener.communicate()[0]
            if program.process.poll() is None:
                hand.close_window("Tallybar")
            try:
                status = program.process.wait(LONGEST_S)
            except subprocess.TimeoutExpired:
                status = None
            return json.loads(heard or UNHEARD) | {"status": status, "said": program.said}
    finally:
        hand.close()
        for each in (listener, other):
            each.kill()
            each.wait()


def figures() -> dict[str, dict[str, Any]]:
    """How many openings ended by a signal, by a status that is not zero, or not at all; and how many were read."""
    if why := lacking():
        return {"openings_ended_badly": {"value": None, "unit": "", "met": None, "note": why}}
    from app.demo.invented import PEOPLE
    from app.settings import FILE_NAME
    from tests.end_to_end.desk import Desk
    from tests.end_to_end.program import command

    found: list[dict[str, Any]] = []
    with tempfile.TemporaryDirectory() as folder, Desk(Path(folder)) as desk:
        home = Path(folder) / "learner"
        command(desk, "demo", "--weeks", str(WEEKS), "--out", str(home))
        (home / FILE_NAME).write_text(f'first_run_done = true\nlearner = "{PEOPLE[0].name}"\n')
        with bus(desk.env):
            for _ in range(OPENINGS):
                found.append(opening(desk, home))
                print(f"  {found[-1]}"[:200], file=sys.stderr, flush=True)
    bad = [each for each in found if each["status"] != 0]
    statuses = Counter("killed" if each["status"] is None else str(each["status"]) for each in bad)
    stood = [each for each in found if each["stood"]]

    def median(name: str) -> float:
        return statistics.median(each[name] for each in stood) if stood else 0

    return {
        "openings_ended_badly": {
            "value": len(bad),
            "unit": "",
            "goal": "0",
            "met": not bad,
            "note": f"of {len(found)}; "
            + (", ".join(f"status {name}: {count}" for name, count in statuses.items()) or "all ended with status 0"),
        },
        "openings_read": {
            "value": len(stood),
            "unit": "",
            "goal": str(len(found)),
            "met": len(stood) == len(found),
            "note": f"the logbook stood there; medians: {median('objects'):.0f} objects, {median('readings'):.0f}"
            f" readings of the window, {median('events'):.0f} events",
        },
        "openings_with_traces": {
            "value": sum("Traceback" in each["said"] for each in found),
            "unit": "",
            "goal": "0",
            "met": not any("Traceback" in each["said"] for each in found),
        },
    }
