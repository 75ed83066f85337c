"""The window's size, and what the tutor's board keeps: both outlast larger text and another language."""

import pytest
from PySide6.QtCore import QMargins, QRect, QSize
from PySide6.QtWidgets import QApplication

from app.session import Session
from app.settings import Keeper, Settings
from app.ui.base.language import speak
from app.ui.window import USUAL_FRAME, Window, inside, moved_into

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def window(qtbot, practice, qapp):
    made = Window(Session(practice, Keeper(Settings(first_run_done=True))))
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    yield made
    made.close()
    speak(qapp, "system")


def settle(window, qtbot) -> None:
    """Let what the change put off happen."""
    QApplication.processEvents()
    qtbot.waitUntil(lambda: not window.settling.isActive())
    QApplication.processEvents()


def test_it_opens_as_large_as_the_settings_have_it_at_first(window):
    assert window.sizeHint() == QSize(Settings().window_width_px, Settings().window_height_px) == QSize(1280, 800)


def test_with_its_frame_it_fits_the_screen(window):
    """In a screen of the usual size the title bar would push the foot out of it."""
    screen = QSize(1280, 800)
    for frame in (USUAL_FRAME, QMargins(0, 28, 0, 0), QMargins()):
        size = inside(QSize(1280, 800), screen, frame)
        assert (size.width(), size.height()) == (
            1280 - frame.left() - frame.right(),
            800 - frame.top() - frame.bottom(),
        )
        assert inside(QSize(900, 600), screen, frame) == QSize(900, 600)
    assert moved_into(QRect(30, 50, 1280, 800), QRect(0, 0, 1280, 800)) == QRect(0, 0, 1280, 800)
    assert moved_into(QRect(30, 50, 600, 400), QRect(0, 0, 1280, 800)) == QRect(30, 50, 600, 400)
    assert moved_into(QRect(-30, -20, 1400, 900), QRect(0, 24, 1280, 776)).topLeft() == QRect(0, 24, 1, 1).topLeft()


def test_the_frame_is_taken_off_when_it_is_known_and_the_wish_is_kept(window):
    room, least = window.screen().availableSize(), window.minimumSizeHint()
    window.open_as_left(window.session.keeper.now)
    assert window.size() == inside(QSize(1280, 800), room, USUAL_FRAME).expandedTo(least)
    window._fit_frame()
    frame = window.windowHandle().frameMargins()
    assert window.size() == inside(QSize(1280, 800), room, frame).expandedTo(least)
    window.close()
    now = window.session.keeper.now
    assert (now.window_width_px, now.window_height_px) == (1280, 800)


def test_a_size_that_was_dragged_meanwhile_stays(window):
    window.open_as_left(window.session.keeper.now)
    dragged = window.size() + QSize(10, -20)
    window.resize(dragged)
    window._fit_frame()
    assert window.size() == dragged


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
    voice = window.contents.board.choices.voice
    voice["letters"].click()
    for change in ({"text_percent": 150}, {"language": "es"}, {"language": "en"}, {"text_percent": 100}):
        window.contents.show_tab(99)
        window.change(change)
        window.contents.show_tab(1)
        assert window.contents.board.board.phrase.way == "letters"
        assert window.contents.board.choices.voice["letters"].isChecked()
        assert window.contents.board._sheet.way == "letters"


def test_another_way_in_the_settings_is_the_boards_too(window):
    window.contents.show_tab(1)
    window.change({"way": "letters"})
    assert window.contents.board.board.phrase.way == "letters"
    window.change({"way": "bars"})
    assert window.contents.board.board.phrase.way == "bars"


def test_another_way_reaches_the_board_after_another_language(window):
    """The board's screen is made anew when it is opened again; what is on the board outlasts it."""
    window.contents.show_tab(1)
    window.contents.show_tab(99)
    window.change({"language": "es"})
    window.change({"way": "letters"})
    window.contents.show_tab(1)
    assert window.contents.board.board.phrase.way == "letters"
    assert window.contents.board._sheet.way == "letters"
