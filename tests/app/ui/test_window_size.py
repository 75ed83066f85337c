"""The window's size, and what the tutor's board keeps: both outlast larger text and another language."""

import pytest
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication

from app.session import Session
from app.settings import Keeper, Settings
from app.ui.base.language import speak
from app.ui.dress import apply
from app.ui.window import Window


@pytest.fixture
def window(qtbot, practice, qapp):
    apply(Settings())
    made = Window(Session(practice, Keeper(Settings(first_run_done=True))))
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    yield made
    made.close()
    apply(Settings())
    speak(qapp, "system")


def settle(window, qtbot) -> None:
    """Let what the change put off happen."""
    QApplication.processEvents()
    qtbot.waitUntil(lambda: not window.settling.isActive())
    QApplication.processEvents()


def test_it_opens_as_large_as_the_settings_have_it_at_first(window):
    assert window.sizeHint() == QSize(Settings().window_width_px, Settings().window_height_px) == QSize(1280, 800)


@pytest.mark.proof
@pytest.mark.parametrize("size", [QSize(1280, 800), QSize(700, 520)])
def test_larger_text_and_longer_words_give_the_room_back(window, qtbot, size):
    """Whatever they need meanwhile, the chosen size comes back with the settings of before."""
    window.resize(size.expandedTo(window.minimumSizeHint()))
    settle(window, qtbot)
    chosen = window.size()
    for change, back in (({"text_percent": 200}, {"text_percent": 100}), ({"language": "es"}, {"language": "en"})):
        window.change(change)
        settle(window, qtbot)
        window.resize(window.size().expandedTo(window.minimumSizeHint()))  # as a layout does on the desktop
        settle(window, qtbot)
        window.change(back)
        settle(window, qtbot)
        assert window.size() == chosen


def test_a_size_chosen_in_large_text_stays(window, qtbot):
    window.change({"text_percent": 150})
    settle(window, qtbot)
    wanted = window.size() + QSize(90, 40)
    window.resize(wanted)
    settle(window, qtbot)
    window.change({"text_percent": 100})
    settle(window, qtbot)
    assert window.size() == wanted


@pytest.mark.proof
def test_the_board_keeps_its_voice_through_settings(window, qtbot):
    """Letters by key V, then another text size and another language, and back to the board."""
    window.contents.show_tab(1)
    voice = window.contents.board._voice
    voice["letters"].click()
    for change in ({"text_percent": 150}, {"language": "es"}, {"language": "en"}, {"text_percent": 100}):
        window.contents.show_tab(99)
        window.change(change)
        window.contents.show_tab(1)
        assert window.contents.board.board.lesson.way == "letters"
        assert window.contents.board._voice["letters"].isChecked()
        assert window.contents.board._sheet.way == "letters"


def test_another_way_in_the_settings_is_the_boards_too(window):
    window.contents.show_tab(1)
    window.change({"way": "letters"})
    assert window.contents.board.board.lesson.way == "letters"
    window.change({"way": "bars"})
    assert window.contents.board.board.lesson.way == "bars"


def test_another_way_reaches_the_board_after_another_language(window):
    """The board's screen is made anew when it is opened again; what is on the board outlasts it."""
    window.contents.show_tab(1)
    window.contents.show_tab(99)
    window.change({"language": "es"})
    window.change({"way": "letters"})
    window.contents.show_tab(1)
    assert window.contents.board.board.lesson.way == "letters"
    assert window.contents.board._sheet.way == "letters"
