"""What becomes of keys, clicks and touches while a trial sounds, and just after its end."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from app.practice.plan.planned import Planned
from app.practice.trial.attempt import Phase
from app.ui.window import Window
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(3)

SCREEN: list[QPointingDevice] = []


def touch(widget: QWidget, fingers: int = 1) -> None:
    """Fingers that come down one after the other, and go up together."""
    if not SCREEN:
        SCREEN.append(QTest.createTouchDevice())
    at = [widget.rect().center() + QPoint(30 * finger, 0) for finger in range(fingers)]
    for down in range(fingers):
        sequence = QTest.touchEvent(widget, SCREEN[0])
        for finger in range(down):
            sequence.stationary(finger)
        sequence.press(down, at[down], widget)
        sequence.commit()
    sequence = QTest.touchEvent(widget, SCREEN[0])
    for finger in range(fingers):
        sequence.release(finger, at[finger], widget)
    sequence.commit()


@pytest.fixture
def window(qtbot, practice, player, logbook) -> Window:
    """A trial of the plan sounds that is answered by taps."""
    practice.follow_day(Planned(logbook.path))
    practice.now = lambda: player.now_s
    made = open_window(qtbot, practice, (1280, 800))
    made.contents.practise.tick()
    while practice.next_wish.drill != "beat":
        made.contents.practise.skip()
    qtbot.keyClick(made, Qt.Key.Key_Return)
    assert practice.attempt.by_taps
    return made


def to_the_end(window, player) -> None:
    player.now_s = player.start_s + window.session.practice.attempt.trial_end_s() + 0.001
    window.contents.practise.tick()
    assert window.session.practice.phase is Phase.MARKED


def test_a_touch_of_the_sheet_is_one_tap_and_no_click(window, practice):
    touch(window.contents.practise.sheet)
    assert [tap.source for tap in practice.attempt.taps] == ["touch"]


def test_two_fingers_in_turn_are_two_taps_though_the_first_still_rests(window, practice):
    touch(window.contents.practise.sheet, fingers=2)
    assert [tap.source for tap in practice.attempt.taps] == ["touch", "touch"]


def test_the_letter_that_was_tapped_with_skips_nothing_until_it_has_rested(window, qtbot, practice, player):
    """S is the key of "Skip the rest of it", which comes with the result."""
    at = practice.today.at
    qtbot.keyClick(window, Qt.Key.Key_S)
    to_the_end(window, player)
    assert window.contents.practise.steps.skip.isVisible()
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert practice.today.at == at
    rest = window.contents.practise.filter._rest
    rest.start(0)  # the learner's rest is over
    qtbot.waitUntil(lambda: not rest.isActive())
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert practice.today.at == at + 1


def test_another_letter_than_the_one_tapped_with_means_what_it_says(window, qtbot, practice, player):
    at = practice.today.at
    qtbot.keyClick(window, Qt.Key.Key_J)
    to_the_end(window, player)
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert practice.today.at == at + 1
