"""What must be known from the start is told in the first window that opens, as the program is started."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]

# The program with a window that prints what it tells, and ends: at once, since a plan is still being made.
SHOWN = """
import os
import app.ui.window
class Window(app.ui.window.Window):
    def listen(self):
        welcome, seen = self.contents.first_run.welcome, self.contents.stack.currentWidget()
        print(seen is welcome, not welcome.told.isHidden(), welcome.told.text(), flush=True)
        os._exit(0)
app.ui.window.Window = Window
from app.cli.commands import main
main([])
"""
TOLD = """
import app.ui.window
class Window(app.ui.window.Window):
    def tell(self, line):
        super().tell(line)
        print(*self.session.practice.notices, flush=True)
        self.close()
app.ui.window.Window = Window
from app.cli.commands import main
main([])
"""


def started(program: str, home: Path) -> str:
    run = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env=os.environ | {"TALLYBAR_HOME": str(home), "QT_QPA_PLATFORM": "offscreen", "LC_ALL": "C.UTF-8"},
        capture_output=True,
        timeout=60,
        check=True,
    )
    return run.stdout.decode("utf-8").strip()


@pytest.mark.proof
def test_the_welcome_tells_that_nothing_will_be_saved(tmp_path):
    """The data folder would lie below a file, where no system lets a folder be made."""
    (tmp_path / "file").write_text("", encoding="utf-8")
    said = started(SHOWN, tmp_path / "file" / "data")
    assert said.startswith("True True ")
    assert "You can practise; nothing will be saved." in said


@pytest.mark.proof
def test_with_a_good_folder_the_welcome_has_nothing_to_tell(tmp_path):
    assert started(SHOWN, tmp_path) == "True False"


@pytest.mark.proof
def test_a_daily_copy_that_cannot_be_made_is_told(tmp_path):
    """A file stands where the folder of the copies would be."""
    (tmp_path / "settings.toml").write_text("first_run_done = true\n", encoding="utf-8")
    (tmp_path / "logbook-copies").write_text("", encoding="utf-8")
    assert "Today's copy of the logbook could not be made: " in started(TOLD, tmp_path)


def test_the_window_does_without_the_rooms_of_pages_that_are_not_shown():
    """They are imported on first use, or by a thread behind the first trial."""
    rooms = (
        "app.practice.records.shelf",
        "app.ui.records.screen",
        "app.ui.logbook.screen",
        "exercises.logbook.old_trials.remark",
    )
    program = f"import sys, app.ui.window; print([each for each in {rooms} if each in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout == "[]\n"
