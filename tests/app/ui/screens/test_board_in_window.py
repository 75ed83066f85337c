"""The tutor's board in the window, driven by keys and by mouse on a silent player, and its sheet."""

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QShortcut
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox

from app.practice.board.board_phrase import Hear
from app.ui.base import theme
from app.ui.heading import BOARD
from app.ui.widgets.sheet.count_sheet import CountSheet
from app.ui.widgets.sheet.sheet_places import place_blocks
from app.ui.window import Window
from synth.score.metre import steady_count
from tests.app.flashes import frame, most_flashes
from tests.app.later import Later
from tests.app.practice.board.test_board import at
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def window(qtbot, practice) -> Window:
    return open_window(qtbot, practice, tab=BOARD)


@pytest.fixture
def screen(window):
    return window.contents.board


def press(qtbot, *keys) -> None:
    """Press keys where the keyboard is."""
    for key in keys:
        qtbot.keyClick(QApplication.focusWidget(), key)


@pytest.mark.usefixtures("unheard")
class TestScreen:
    def test_all_by_keys(self, qtbot, window, screen, player):
        """Space, arrows, Home, minus and plus, G P H V, F11 and Escape."""
        board = screen.board
        press(qtbot, Qt.Key.Key_Right, Qt.Key.Key_Right)
        assert board.beat == 1
        press(qtbot, Qt.Key.Key_Left, Qt.Key.Key_Left)
        assert board.beat == 15
        assert screen._sheet.sounding == 15
        press(qtbot, Qt.Key.Key_Home)
        assert board.beat == screen._sheet.sounding == 0
        assert (player.playing, player.loop_frames) == (True, 0)  # the one alone is heard
        press(qtbot, Qt.Key.Key_Right)
        assert board.beat == 1
        press(qtbot, Qt.Key.Key_Plus, Qt.Key.Key_Plus, Qt.Key.Key_Minus)
        assert board.phrase.tempo_bpm == 97
        assert screen.line.field.text() == "97 BPM"
        press(qtbot, Qt.Key.Key_P, Qt.Key.Key_H, Qt.Key.Key_V)
        assert (board.phrase.bars, board.phrase.hear, board.phrase.way) == (8, Hear.SONG, "letters")
        assert screen._sheet.way == "letters"
        press(qtbot, Qt.Key.Key_V)
        assert not board.phrase.aloud
        before = board.phrase.groove
        press(qtbot, Qt.Key.Key_G)
        assert screen.choices.groove.currentData() == board.phrase.groove != before
        qtbot.keyClick(screen, Qt.Key.Key_G, Qt.KeyboardModifier.ShiftModifier)
        assert board.phrase.groove == before
        press(qtbot, Qt.Key.Key_Space)
        assert board.playing
        assert player.loop_frames == board._loop.round_frames
        press(qtbot, Qt.Key.Key_Space)
        assert not board.playing
        press(qtbot, Qt.Key.Key_Space, Qt.Key.Key_Escape)
        assert not board.playing

    def test_all_by_mouse(self, qtbot, screen):
        board = screen.board
        named = {part.accessibleName(): part for part in screen.findChildren(QAbstractButton) if part.isVisible()}

        def click(name):
            qtbot.mouseClick(named[name], Qt.MouseButton.LeftButton)

        click("Step on")
        click("Step on")
        click("Step back")
        assert board.beat == 0
        click("Faster")
        click("Slower")
        click("Slower")
        assert board.phrase.tempo_bpm == 95
        for name in ("16", "Snare or clap", "1 A B C, 2 A B C"):
            click(name)
        assert (board.phrase.bars, board.phrase.hear, board.phrase.way) == (16, Hear.SNARE, "letters")
        click("Play")
        assert board.playing
        click("First one")
        assert board.playing
        click("Play")
        assert not board.playing

    def test_only_what_goes_step_by_step_goes_on_while_its_key_is_held(self, screen):
        """Play and stop, or the full window, would come and go."""
        held = {each.key().toString() for each in screen.findChildren(QShortcut) if each.autoRepeat()}
        assert held == {"Left", "Right", "-", "+", "="}

    def test_return_presses_the_button_with_the_keyboard(self, qtbot, screen):
        """Tab goes to every control in turn; Space is taken by play and stop."""
        press(qtbot, Qt.Key.Key_Tab, Qt.Key.Key_Tab, Qt.Key.Key_Return)
        assert QApplication.focusWidget().accessibleName() == "Step on"
        assert screen.board.beat == 0

    def test_space_on_a_tab_opens_its_screen(self, qtbot, window, screen):
        """Keys of this screen leave the controls outside it alone."""
        window.contents.tabs.button(0).setFocus()
        press(qtbot, Qt.Key.Key_Space)
        assert window.contents.practise.isVisible()
        assert not screen.board.playing

    def test_the_full_window_keeps_sheet_groove_and_sound(self, qtbot, window, screen):
        press(qtbot, Qt.Key.Key_F11)
        assert window.isFullScreen()
        assert screen._title.text() == "Backbeat"
        assert not window.contents.tabs.button(0).isVisible()
        shown = {part.accessibleName() for part in window.findChildren(QAbstractButton) if part.isVisible()}
        assert shown == {"Play", "Step back", "Step on", "First one", "Slower", "Faster", "Tap", "Leave"}
        assert screen._sheet.isVisible()
        press(qtbot, Qt.Key.Key_Space, Qt.Key.Key_P)
        assert screen.board.playing
        assert screen.board.phrase.bars == 8
        press(qtbot, Qt.Key.Key_Escape)
        assert not window.isFullScreen()
        assert window.contents.tabs.button(0).isVisible()
        assert screen.board.playing

    def test_leaving_the_screen_ends_sound_and_full_window(self, qtbot, window, screen, player):
        press(qtbot, Qt.Key.Key_Space, Qt.Key.Key_F11)
        qtbot.keyClick(window, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
        assert not player.playing
        assert not window.isFullScreen()
        qtbot.keyClick(window, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
        press(qtbot, Qt.Key.Key_Space)
        assert screen.board.playing
        window.close()
        assert not player.playing

    def test_what_is_left_before_it_was_rendered_does_not_play_by_itself(self, qtbot, window, screen, player):
        screen.board.workers = later = Later()
        press(qtbot, Qt.Key.Key_P, Qt.Key.Key_Space)
        window.contents.show_tab(0)
        later.run()
        window.contents.show_tab(1)
        screen._tick()
        assert not screen.board.playing
        assert not player.playing

    def test_nothing_goes_into_the_logbook(self, qtbot, screen, player, logbook):
        press(qtbot, Qt.Key.Key_Space)
        at(screen.board, player, 40)
        press(qtbot, Qt.Key.Key_Space, Qt.Key.Key_Right)
        assert logbook.trials(10) == []

    def test_every_control_is_named_and_described(self, window, screen):
        """As Qt's accessibility tells it to a screen reader; targets at least 24 px (WCAG 2.2, 2.5.8)."""
        for kind in (QAbstractButton, QComboBox):
            for control in screen.findChildren(kind):
                told = QAccessible.queryAccessibleInterface(control)
                assert told.text(QAccessible.Text.Name), control
                assert told.text(QAccessible.Text.Description), told.text(QAccessible.Text.Name)
                assert min(control.width(), control.height()) >= 24


class TestSheet:
    def test_a_phrase_alone_is_broken_where_that_makes_it_larger(self):
        """On a full screen of 1920 x 1080 no figure is smaller than 58 px, at four, eight and sixteen bars."""
        for bars in (4, 8, 16):
            place = place_blocks(1776, 820, 1, bars, tallest_px=260, slimmest=4.8)
            assert place.line_px * 0.64 >= 58
            assert place.lines * place.columns >= bars or place.lines * place.columns * 2 == bars

    def test_every_bar_keeps_its_line(self, qtbot):
        """Sixteen bars: the mark of each beat stands in a place of its own, in reading order within its column."""
        sheet = shown_sheet(qtbot, 16)
        places = []
        for beat in range(0, 64, 4):
            sheet.show_sounding(beat)
            rows, columns = np.nonzero(np.abs(frame(sheet) - frame_without(sheet)).max(axis=2) > 5)
            places.append((columns.min() > 480, rows.min()))
        assert places == sorted(places)
        assert len(set(places)) == 16

    @pytest.mark.proof
    @pytest.mark.parametrize("bars", [4, 8, 16])
    @pytest.mark.parametrize("sheet_theme", [theme.LIGHT, theme.DARK], ids=lambda each: each.name)
    def test_nothing_flashes_more_than_three_times_a_second(self, qtbot, monkeypatch, bars, sheet_theme):
        """WCAG 2.2, 2.3.1, at the fastest tempo, 240 BPM: the sheet moves on beats alone, four times a second.

        Counted for every pixel over each second of 6 s. Four changes a second are the most that beats can make, two
        flashes; here not even those: a mark comes and goes at its own place.
        """
        monkeypatch.setattr(theme, "worn", lambda: sheet_theme)
        sheet = shown_sheet(qtbot, bars)
        sheet.resize(640, 360)
        frames = []
        for beat in range(24):  # 6 s
            sheet.show_sounding(beat % (4 * bars))
            frames.append(frame(sheet))
        assert most_flashes(frames, 4) < 2


def shown_sheet(qtbot, bars) -> CountSheet:
    """A sheet of the board's kind with one phrase on it."""
    sheet = CountSheet(on_board=True)
    qtbot.addWidget(sheet)
    sheet.resize(960, 540)
    sheet.show_count(steady_count(240, [bars]))
    return sheet


def frame_without(sheet) -> np.ndarray:
    """The same without a mark."""
    beat = sheet.sounding
    sheet.show_sounding(None)
    plain = frame(sheet).astype(int)
    sheet.show_sounding(beat)
    return plain
