"""The first picture of the window, before anything behind it is imported."""

import os
import subprocess
import sys
from dataclasses import replace
from functools import reduce
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QLabel

from app.inputs.equipment import Equipment
from app.practice.learner.present_learner import PresentLearner
from app.practice.plan.planned import Planned
from app.practice.practice import Practice
from app.practice.trial.next_trial import Ahead
from app.session import Session
from app.settings import Keeper, Settings
from app.ui.base import theme
from app.ui.dress import dress
from app.ui.opening import Opening
from app.ui.painting import wait_for_paint
from app.ui.screens.learner_fields import NameField
from app.ui.window import Window
from tests.app.later import Later

ROOT = Path(__file__).parents[3]
# What the page shows of texts at its top.
KINDS = ("title", "verdict", "lead")

PAINTED = """
import sys
import app.ui.painting as painting
wait = painting.wait_for_paint
def wait_for_paint(widget):
    wait(widget)
    print(*sorted({"numpy", "sqlite3", "sounddevice", "app.session", "app.practice.practice"} & set(sys.modules)))
    raise SystemExit(0)
painting.wait_for_paint = wait_for_paint
from app.cli.commands import main
main([])
"""
BROKEN = """
import sys
import app.session
from synth.base.errors import Trouble
from synth.base.words import Template
def open_session(named, loaded):
    raise {slip}
app.session.open_session = open_session
from app.cli.commands import main
sys.exit(main([]))
"""


def started(program: str, home: Path) -> subprocess.CompletedProcess[str]:
    surroundings = os.environ | {"TALLYBAR_HOME": str(home), "QT_QPA_PLATFORM": "offscreen"}
    return subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, env=surroundings, capture_output=True, text=True, timeout=60
    )


def test_it_is_painted_before_what_takes_long_is_imported(tmp_path):
    done = started(PAINTED, tmp_path)
    assert (done.returncode, done.stdout) == (0, "\n"), done.stderr


@pytest.mark.proof
def test_what_keeps_the_session_from_opening_ends_the_program_with_its_trace(tmp_path):
    done = started(BROKEN.format(slip='RuntimeError("the cellar is flooded")'), tmp_path)
    assert done.returncode == 1
    assert "the cellar is flooded" in done.stderr


@pytest.mark.proof
def test_trouble_with_the_session_is_one_line(tmp_path):
    done = started(BROKEN.format(slip='Trouble("the cellar is flooded.")'), tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.splitlines()[-1].endswith("the cellar is flooded.")


@pytest.fixture
def session(player):
    """A session that follows a plan which is still being made."""
    practice = Practice(Equipment(player), PresentLearner(None), Ahead(lambda: 1))
    practice.follow_day(Planned(None, Later()))
    return Session(practice, Keeper(Settings(first_run_done=True)))


def opened(qtbot, settings: Settings, *, welcome: bool = False) -> Window:
    """A window with its first picture, before it has a session."""
    theme.set_text_scale(settings.text_percent / 100)
    dress(theme.LIGHT)
    window = Window()
    window.setCentralWidget(Opening(settings, welcome=welcome, planned=True))
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
    assert window.contents.isVisible()
    assert first[place].sum() > 1000
    assert (first[place] & ~inked(window)[place]).sum() == 0


def test_the_welcome_s_words_stay_where_they_are(qtbot, session):
    settings = Settings(window_width_px=1280, window_height_px=800)
    session.keeper.now = settings
    window = opened(qtbot, settings, welcome=True)
    place, first = below_heading(window), inked(window)
    window.take(session, welcome=True)
    wait_for_paint(window.contents)
    assert first[place].sum() > 1000
    assert (first[place] & ~inked(window)[place]).sum() == 0


def test_no_part_of_it_is_a_window_of_its_own_and_none_takes_keys(qtbot):
    """A widget that is shown before it has a parent would be on the screen by itself, and take the keyboard."""
    for welcome in (False, True):
        window = opened(qtbot, Settings(), welcome=welcome)
        assert [each for each in QApplication.topLevelWidgets() if each.isVisible()] == [window]
        assert window.focusWidget() is None
        window.hide()


def test_a_key_that_waited_finds_the_contents(qtbot, session):
    """Control and 2 opens the board, without a turn of the event loop in between."""
    window = opened(qtbot, Settings())
    window.take(session)
    qtbot.keyClick(window.windowHandle(), Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
    assert window.contents.stack.currentWidget() is window.contents.board is not None


def test_the_name_of_the_welcome_has_the_keyboard_at_once(qtbot, session):
    session.keeper.now = Settings()
    window = opened(qtbot, Settings(), welcome=True)
    window.take(session, welcome=True)
    assert isinstance(QApplication.focusWidget(), NameField)


def test_a_window_that_is_never_painted_is_not_waited_for(qtbot, monkeypatch):
    monkeypatch.setattr("app.ui.painting.LONGEST_MS", 1)
    opening = Opening(Settings(), welcome=False, planned=True)
    qtbot.addWidget(opening)
    wait_for_paint(opening)
