"""Answers never give themselves: what a key does at an open question, and when.

The events are real Qt events; the clock is the test's.
"""

from itertools import product

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.ui.practise.choose.offers import SEEN
from app.ui.practise.trial.answer_panel import CHANGE_S, DEAF_S
from app.ui.window import Window
from exercises.drills import drills
from exercises.trial.trial import Kind
from tests.app.ui.practise.test_every_drill import later, tick
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def window(qtbot, practice) -> Window:
    return open_window(qtbot, practice, (1180, 760))


def asked(window, qtbot, player, drill: str, rung: int):
    """The panel of a question that has just appeared."""
    practice = window.session.practice
    practice.choose(Wish(drill, rung))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    assert practice.phase is Phase.ASKING
    return window.contents.practise.panel


def press(qtbot, key) -> None:
    """A key where the keyboard is."""
    qtbot.keyClick(QApplication.focusWidget(), key)


def texts(panel) -> list[str]:
    return [field.text() for field in panel.body.fields]


def test_nothing_is_filled_in_and_return_alone_gives_nothing(window, qtbot, practice, player):
    for drill, rung, empty in (("stopped-bar", 1, ["", ""]), ("intro", 1, [""])):
        panel = asked(window, qtbot, player, drill, rung)
        assert texts(panel) == empty
        assert not panel.body.answer.isEnabled()
        later(window)
        press(qtbot, Qt.Key.Key_Return)
        assert practice.phase is Phase.ASKING
        press(qtbot, Qt.Key.Key_Escape)


def test_all_choices_are_in_sight_with_the_largest_text(window, practice, player, request):
    """1280 x 800 at 200 % in Spanish, whose words are longer: nothing to scroll to, no word cut."""
    request.addfinalizer(lambda: window.change({"text_percent": 100, "language": "en"}))
    window.change({"text_percent": 200, "language": "es"})
    window.resize(1280, 800)
    screen = window.contents.practise
    for drill, rung in (("in-line", 9), ("odd-phrase", 3), ("odd-phrase", 8)):
        practice.choose(Wish(drill, rung))
        screen.go_on()
        tick(window, player, practice.attempt.trial_end_s() + 0.001)
        assert (practice.phase, practice.trial.drill) == (Phase.ASKING, drill)
        assert len(practice.trial.choices) > SEEN
        QApplication.processEvents()
        assert screen.page_view.verticalScrollBar().maximum() == 0
        for offer in screen.panel.body.offers.values():
            assert offer.width() >= offer.sizeHint().width()
        screen.stop()


def test_two_digits_fill_bar_and_beat(window, qtbot, practice, player):
    panel = asked(window, qtbot, player, "stopped-bar", 1)
    press(qtbot, Qt.Key.Key_1)
    press(qtbot, Qt.Key.Key_4)
    assert texts(panel) == ["1", "4"]
    later(window)
    press(qtbot, Qt.Key.Key_Return)
    assert practice.attempt.answer.value == "1.4"


def test_from_ten_bars_on_a_key_leads_to_the_beat(window, qtbot, practice, player):
    """A comma is what the number pad has in Spanish."""
    for onward in (Qt.Key.Key_Tab, Qt.Key.Key_Period, Qt.Key.Key_Comma):
        panel = asked(window, qtbot, player, "stopped-bar", 8)
        for key in (Qt.Key.Key_1, Qt.Key.Key_2, onward, Qt.Key.Key_3):
            press(qtbot, key)
        assert texts(panel) == ["12", "3"]
        later(window)
        press(qtbot, Qt.Key.Key_Return)
        assert practice.phase is Phase.MARKED
        assert practice.attempt.answer.value == "12.3"


def test_a_point_after_one_digit_is_not_needed_and_does_no_harm(window, qtbot, player):
    panel = asked(window, qtbot, player, "stopped-bar", 1)
    for key in (Qt.Key.Key_2, Qt.Key.Key_Period, Qt.Key.Key_3):
        press(qtbot, key)
    assert texts(panel) == ["2", "3"]


def test_what_is_out_of_range_is_not_taken_and_backspace_leads_back(window, qtbot, player):
    panel = asked(window, qtbot, player, "stopped-bar", 1)
    for key in (Qt.Key.Key_9, Qt.Key.Key_0, Qt.Key.Key_A):
        press(qtbot, key)
    assert texts(panel) == ["", ""]
    assert not panel.body.answer.isEnabled()
    for key in (Qt.Key.Key_2, Qt.Key.Key_3, Qt.Key.Key_Backspace, Qt.Key.Key_Backspace, Qt.Key.Key_4):
        press(qtbot, key)
    assert texts(panel) == ["4", ""]


def test_return_is_not_heard_while_the_question_is_new(window, qtbot, practice, player):
    """It may have been meant for what sounded."""
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
        asked(window, qtbot, player, "stopped-bar", 1)
        press(qtbot, Qt.Key.Key_1)
        press(qtbot, Qt.Key.Key_4)
        later(window, DEAF_S - 0.01)
        press(qtbot, key)
        assert practice.phase is Phase.ASKING
        later(window, 0.02)
        press(qtbot, key)
        assert practice.phase is Phase.MARKED


def test_a_choice_can_be_changed_for_a_moment_and_then_stands(window, qtbot, practice, player):
    panel = asked(window, qtbot, player, "drum", 1)
    keys = [choice.key for choice in practice.trial.choices]
    press(qtbot, Qt.Key.Key_1)
    later(window, CHANGE_S - 0.01)
    assert [panel.body.offers[key].isChecked() for key in keys] == [True, False]
    press(qtbot, Qt.Key.Key_2)
    later(window, CHANGE_S - 0.01)
    assert practice.phase is Phase.ASKING
    assert [panel.body.offers[key].isChecked() for key in keys] == [False, True]
    press(qtbot, Qt.Key.Key_2)  # the same once more takes no longer
    later(window, 0.02)
    assert (practice.phase, practice.attempt.answer.value) == (Phase.MARKED, keys[1])


def test_escape_takes_back_a_choice_that_does_not_stand_yet(window, qtbot, practice, player, logbook):
    asked(window, qtbot, player, "drum", 1)
    press(qtbot, Qt.Key.Key_1)
    press(qtbot, Qt.Key.Key_Escape)
    later(window)
    assert practice.phase is Phase.READY
    assert logbook.trials(5) == []


def test_drawing_the_page_again_keeps_what_was_typed(window, qtbot, player):
    panel = asked(window, qtbot, player, "stopped-bar", 1)
    press(qtbot, Qt.Key.Key_3)
    window.change({"theme": "dark"})
    assert texts(panel) == ["3", ""]


def test_where_the_end_is_the_answer_nobody_is_asked_before(window, qtbot, practice, player):
    for drill, rung in product(("stopped-beat", "stopped-bar"), (1, 5)):
        practice.choose(Wish(drill, rung))
        qtbot.keyClick(window, Qt.Key.Key_Return)
        tick(window, player, 3.0)
        assert practice.trial.drill == drill
        assert not window.contents.practise.steps.next.isVisible()
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert practice.phase is Phase.SOUNDING
        qtbot.keyClick(window, Qt.Key.Key_Escape)


def test_to_answer_early_is_offered_quietly(window, qtbot, practice, player):
    """No accent, no keyboard: the space bar of who nods along presses nothing."""
    practice.choose(Wish("intro", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    step = window.contents.practise.steps.next
    assert (step.isVisible(), step.property("kind"), step.text()) == (True, "plain", "Answer now")
    assert not step.hasFocus()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert step.property("kind") == "next"


def test_the_answers_stand_where_the_sheet_was(window, qtbot, practice, player):
    screen, looked = window.contents.practise, set()
    for drill in drills():
        screen.stop()
        practice.choose(Wish(drill, 1))
        qtbot.keyClick(window, Qt.Key.Key_Return)
        if practice.attempt.asks is Kind.NONE:
            continue
        assert not screen.panel.isVisible()
        sheet = screen.sheet.geometry()
        if practice.attempt.by_taps:
            qtbot.keyClick(window, Qt.Key.Key_Space)
        tick(window, player, practice.attempt.trial_end_s() + 0.001)
        assert (practice.phase, practice.trial.drill) == (Phase.ASKING, drill)
        assert not screen.sheet.isVisible()
        QApplication.processEvents()
        assert abs(screen.panel.geometry().center().y() - sheet.center().y()) < 60, drill
        looked.add(practice.attempt.asks)
    assert looked == {Kind.CHOICE, Kind.NUMBER, Kind.POSITION}
