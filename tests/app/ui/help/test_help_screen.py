"""The help's screen: from page to page and heard, by keys alone."""

from concurrent.futures import Future

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QShortcut

from app.ui.help.chapters import PAGES
from app.ui.help.screen import HelpScreen
from app.ui.help.sounds import example
from app.ui.widgets.sheet.ruled import Ruled
from synth.base.errors import Trouble
from synth.device.faults import Fault, FaultKind
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(3)


def test_the_arrows_go_from_page_to_page_past_the_headings(screen, qtbot):
    seen = [screen.page.id]
    for _ in range(len(PAGES) - 1):
        qtbot.keyClick(screen.page_list, Qt.Key.Key_Down)
        seen.append(screen.page.id)
    assert seen == list(PAGES)
    qtbot.keyClick(screen.page_list, Qt.Key.Key_Up)
    assert screen.page.id == seen[-2]


@pytest.mark.parametrize("key", [Qt.Key.Key_H, Qt.Key.Key_Return])
def test_a_key_plays_the_sheet_follows_escape_stops(screen, qtbot, player, key):
    qtbot.keyClick(screen.page_list, key)
    assert player.playing
    assert screen.playing
    assert screen.hear_button.text() == "Stop"
    count = example(screen.page.id).counts[0]
    for beat in (0, 5):
        player.now_s = player.start_s + float(count.beats_s[beat]) + 0.01
        screen.tick()
        assert screen.body.sheets[0].sounding == beat
    qtbot.keyClick(screen.page_list, Qt.Key.Key_Escape)
    assert not player.playing
    assert screen.body.sheets[0].sounding is None
    assert screen.hear_button.text() == "Hear it"


def test_a_key_held_plays_once(screen):
    """Qt repeats a shortcut while its key is held, unless told not to."""
    keys = {each.key().toString(): each for each in screen.findChildren(QShortcut)}
    assert [name for name in ("H", "Return", "Enter") if keys[name].autoRepeat()] == []


def test_the_second_sheet_follows_when_the_first_is_done(screen, player):
    screen.open("aloud")
    screen.hear()
    second = example("aloud").counts[1]
    player.now_s = player.start_s + float(second.beats_s[2]) + 0.01
    screen.tick()
    assert [sheet.sounding for sheet in screen.body.sheets] == [None, 2]


def test_another_page_or_leaving_ends_the_sound(screen, qtbot, player):
    screen.hear()
    qtbot.keyClick(screen.page_list, Qt.Key.Key_Down)
    assert not player.playing
    screen.hear()
    screen.hide()
    assert not player.playing
    assert not screen.timer.isActive()


def test_the_end_of_the_sound_is_the_end_of_playing(screen, player):
    screen.hear()
    player.playing = False
    screen.tick()
    assert not screen.playing
    assert not screen.timer.isActive()


def test_trouble_with_the_sound_is_said(screen, player):
    player.trouble = Trouble("No sound output was found: connect one.")
    screen.hear()
    assert screen.notice.text() == "No sound output was found: connect one."
    player.trouble = None
    screen.hear()
    player.faults = (Fault(FaultKind.MOVED),)
    screen.tick()
    assert "the sound's timing shifted" in screen.notice.text()
    assert not player.playing


def test_a_page_without_sound_says_why_and_plays_nothing(screen, qtbot, player):
    screen.open("ears")
    qtbot.keyClick(screen.page_list, Qt.Key.Key_H)
    assert not player.playing
    assert not screen.hear_button.isVisible()
    assert screen.notice.text() == PAGES["ears"].note


def test_an_unknown_page_is_refused_with_a_near_name(screen):
    with pytest.raises(ValueError, match="spread"):
        screen.open("spraed")


class Waiting:
    """A worker that is never done."""

    def submit(self, call, *args) -> Future:
        self.future: Future = Future()
        return self.future


def test_while_the_worker_renders_the_window_goes_on_and_escape_takes_it_back(qtbot, player):
    workers = Waiting()
    screen = HelpScreen(player, workers)
    qtbot.addWidget(screen)
    screen.hear()
    assert screen.hear_button.text() == "Stop"
    assert not player.playing
    screen.stop()
    assert workers.future.cancelled()
    screen.hear()
    workers.future.set_result(np.zeros((480, 2), np.float32))
    screen.tick()
    assert player.playing


def test_f1_opens_help_and_a_figure_can_lead_there(qtbot, practice):
    window = open_window(qtbot, practice)
    qtbot.keyClick(window, Qt.Key.Key_F1)
    assert window.contents.help.isVisible()
    assert window.contents.tabs.checkedButton().text() == "Help"
    window.contents.show_help("bias")
    assert window.contents.help.page.id == "bias"


def test_a_picture_tells_a_screen_reader_what_it_shows(screen):
    screen.open("drums")
    picture = screen.findChild(Ruled)
    assert picture.accessibleName() == "Drums and cymbals"
    assert "Kick: 1, 3, 5, 7." in picture.accessibleDescription()
