"""The window, driven by keys and mouse, on a silent player."""

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QSlider, QSpinBox, QTableView

from app.inputs.equipment import Equipment
from app.inputs.taps import Tap
from app.practice.trial.attempt import Phase
from app.session import Session
from app.ui.base.words import unbroken
from app.ui.window import Window
from app.volume import gain_of
from synth.base.errors import Trouble
from synth.base.words import say
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def window(qtbot, practice, qapp) -> Window:
    return open_window(qtbot, practice)


def play_through(window, player, shift_s: float = 0.0) -> None:
    """Tap every one of the sounding trial and let it end."""
    practice = window.session.practice
    for target in practice.trial.targets_s:
        practice.attempt.tap(Tap(player.start_s + float(target) + shift_s, "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    window.contents.practise.tick()


def test_return_starts_space_taps_escape_stops(window, qtbot, practice):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    for key in (Qt.Key.Key_Space, Qt.Key.Key_J):
        qtbot.keyClick(window, key)
    assert len(practice.attempt.taps) == 2
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert practice.phase is Phase.READY
    qtbot.keyClick(window, Qt.Key.Key_Space)
    assert practice.phase is Phase.READY


def test_the_mouse_taps_on_the_sheet_only(window, qtbot, practice):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    qtbot.mouseClick(window.contents.practise.sheet, Qt.MouseButton.LeftButton)
    assert [tap.source for tap in practice.attempt.taps] == ["mouse"]
    qtbot.mouseClick(window.contents.practise.steps.stop, Qt.MouseButton.LeftButton)
    assert practice.phase is Phase.READY


def test_the_result_is_said_in_words_and_figures(window, qtbot, practice, player, monkeypatch):
    """On a calibrated computer, bias and all."""
    monkeypatch.setattr(Equipment, "calibrated", lambda self, taps: True)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    play_through(window, player, 0.010)
    screen = window.contents.practise
    assert practice.phase is Phase.MARKED
    assert screen.heading.text() == unbroken(f"Right. {practice.result.verdict[0]}")
    targets = len(practice.trial.targets_s)
    assert screen.figures.named["met"].value.text() == f"{targets} of {targets}"
    assert screen.figures.named["bias"].value.text().startswith("+10 ")
    np.testing.assert_allclose(screen.strip.errors_ms, 10.0, atol=1e-6)
    assert len(screen.sheet.marks) == targets


def test_the_next_trial_is_under_the_return_key(window, qtbot, practice, player):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    first = practice.trial.seed
    play_through(window, player)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    assert practice.trial.seed != first


def test_the_logbook_shows_the_trial(window, qtbot, player):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    play_through(window, player)
    qtbot.keyClick(window, Qt.Key.Key_3, Qt.KeyboardModifier.ControlModifier)
    window.contents.logbook.open_screen().wait()
    table = window.findChild(QTableView)
    assert table.isVisible()
    assert table.model().rowCount() == 1
    assert "The one" in table.model().index(0, 1).data()


def test_leaving_the_screen_or_closing_leaves_no_half_trial(window, qtbot, practice, logbook):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    window.contents.tabs.button(1).click()
    assert practice.phase is Phase.READY
    window.contents.tabs.button(0).click()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    path = logbook.path
    window.close()
    from exercises.logbook.store import Logbook

    with Logbook.open(path) as again:
        assert again.trials(10) == []


def test_without_a_sound_output_the_screen_says_so(window, qtbot, player, practice):
    player.trouble = Trouble("No sound output was found: connect one.")
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert window.contents.practise.notice.text() == "No sound output was found: connect one."
    player.trouble = None
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING


def test_the_volume_starts_low_and_silence_is_silence(window, player):
    assert player.gain == gain_of(40) < 0.1
    assert gain_of(0) == 0.0
    assert gain_of(100) == 1.0


def test_every_control_has_a_name_for_a_screen_reader(window):
    for kind in (QAbstractButton, QComboBox, QSpinBox, QSlider):
        for control in window.findChildren(kind):
            if control.isVisible():
                assert control.accessibleName(), control


def test_a_later_line_leaves_standing_that_nothing_will_be_saved(window, practice):
    unsaved, trouble = say("You can practise; nothing will be saved."), say("The folder cannot be made.")
    practice.notices = [unsaved]
    window.told.emit(trouble)
    window.told.emit(say("The folder cannot be made."))
    assert practice.notices == [unsaved, trouble]


def test_a_window_goes_and_the_session_stays(qtbot, practice, player):
    """The next window on it has the same practice, board and volume; nothing was given back in between."""
    session = Session(practice)
    first = Window(session)
    qtbot.addWidget(first)
    first.show()
    first.contents.show_tab(1)
    first.contents.board.pace(2.0)
    lesson = session.board.phrase
    first.close()
    assert player.closes == 0
    second = Window(session)
    qtbot.addWidget(second)
    second.show()
    second.activateWindow()
    qtbot.waitUntil(second.isActiveWindow)
    second.contents.show_tab(1)
    assert second.contents.board.board.phrase == lesson
    second.contents.show_tab(0)
    qtbot.keyClick(second, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    second.close()
    session.close()
    assert player.closes == 1
    assert practice.learner.logbook is None
