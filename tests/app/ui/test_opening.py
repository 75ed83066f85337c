"""The first picture of the window, before anything behind it is imported."""

import os
import subprocess
import sys
from dataclasses import replace
from functools import reduce
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QRect, QThread
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLabel

from app.inputs.equipment import Equipment
from app.practice.plan.planned import Planned
from app.practice.practice import Practice
from app.practice.trial.next_trial import Ahead
from app.session import Session
from app.settings import Keeper, Settings
from app.ui.base import theme
from app.ui.behind import Behind
from app.ui.dress import dress
from app.ui.opening import Opening
from app.ui.window import Window
from tests.app.later import Later

ROOT = Path(__file__).parents[3]
# What the page shows of texts at its top.
KINDS = ("title", "verdict", "lead")

PAINTED = """
import sys
import app.ui.start
class Start(app.ui.start.Start):
    def painted(self):
        print(*sorted({"numpy", "sqlite3", "sounddevice", "app.session", "app.practice.practice"} & set(sys.modules)))
        self._application.quit()
app.ui.start.Start = Start
from app.cli.commands import main
main([])
"""
BROKEN = """
import app.session
def open_session(named, loaded):
    raise RuntimeError("the cellar is flooded")
app.session.open_session = open_session
from app.cli.commands import main
main([])
"""


def started(program: str, home: Path) -> subprocess.CompletedProcess[str]:
    surroundings = os.environ | {"TALLYBAR_HOME": str(home), "QT_QPA_PLATFORM": "offscreen"}
    return subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, env=surroundings, capture_output=True, text=True, timeout=60
    )


def test_it_is_painted_before_what_takes_long_is_imported(tmp_path):
    done = started(PAINTED, tmp_path)
    assert (done.returncode, done.stdout) == (0, "\n"), done.stderr


def test_what_keeps_the_session_from_opening_ends_the_program_with_its_trace(tmp_path):
    done = started(BROKEN, tmp_path)
    assert done.returncode == 1
    assert "the cellar is flooded" in done.stderr


@pytest.fixture
def session(player):
    """A session that follows a plan which is still being made."""
    practice = Practice(Equipment(player), None, Ahead(lambda: 1))
    practice.follow_day(Planned(None, Later()))
    return Session(practice, Keeper(Settings(first_run_done=True)))


def opened(qtbot, settings: Settings, *, welcome: bool = False) -> Window:
    theme.set_text_scale(settings.text_percent / 100)
    dress(theme.LIGHT)
    window = Window(Opening(settings, welcome=welcome, planned=True))
    qtbot.addWidget(window)
    window.resize(settings.window_width_px, settings.window_height_px)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window


def inked(window: Window) -> np.ndarray:
    """The pixels of a window that are much darker than its paper: (height, width) of bool."""
    image = window.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : image.width()] < 128


def below_heading(window: Window) -> tuple[slice, slice]:
    """The rows and columns of the title and lead."""
    texts = [each for each in window.centralWidget().findChildren(QLabel) if each.property("kind") in KINDS]
    places = [QRect(each.mapTo(window, each.rect().topLeft()), each.size()) for each in texts if each.isVisible()]
    whole = reduce(QRect.united, places)
    return slice(whole.top(), whole.bottom() + 1), slice(whole.left(), whole.right() + 1)


@pytest.mark.parametrize("percent", [100, 200])
@pytest.mark.parametrize("size", [(1280, 800), (1000, 700)])
def test_its_words_stay_where_they_are_when_the_plan_s_page_comes(qtbot, session, size, percent):
    settings = Settings(window_width_px=size[0], window_height_px=size[1], text_percent=percent)
    session.keeper.now = replace(settings, first_run_done=True)
    window = opened(qtbot, settings)
    place, first = below_heading(window), inked(window)
    window.take(session)
    qtbot.waitUntil(window.contents.isVisible)
    assert first[place].sum() > 1000
    assert (first[place] & ~inked(window)[place]).sum() == 0


def test_the_welcome_s_words_stay_where_they_are(qtbot, session):
    settings = Settings(window_width_px=1280, window_height_px=800)
    session.keeper.now = settings
    window = opened(qtbot, settings, welcome=True)
    place, first = below_heading(window), inked(window)
    window.take(session)
    window.contents.show_welcome()
    qtbot.waitUntil(window.contents.isVisible)
    assert first[place].sum() > 1000
    assert (first[place] & ~inked(window)[place]).sum() == 0


def test_it_can_be_closed(qtbot):
    window = opened(qtbot, Settings())
    assert window.close()


def test_work_behind_ends_with_its_slip_in_the_thread_of_the_window(qtbot):
    def work() -> None:
        raise ValueError("slip")

    came = []
    behind = Behind(work, lambda: came.append(QThread.currentThread() is QCoreApplication.instance().thread()))
    behind.begin()
    qtbot.waitUntil(lambda: bool(came))
    behind.end()
    assert came == [True]
    assert str(behind.slip) == "slip"


def test_work_that_was_never_begun_can_be_ended(qtbot):
    behind = Behind(lambda: None, lambda: None)
    behind.end()
    assert behind.slip is None
