"""The lesson in the window: from the plan and from the help, by keys alone; nothing is marked or kept."""

from unittest.mock import Mock

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

import app.inputs.taps
from app.practice.lesson import PARTS
from app.practice.plan.planned import Planned
from app.practice.plan.today import State
from app.practice.trial.attempt import Phase
from app.ui.base.words import spoken
from app.ui.heading import HELP
from app.ui.help.chapters import PAGES
from app.ui.help.sounds import example
from exercises.drills import drill
from synth.device.stamps import StampClock
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(3)


@pytest.fixture
def window(qtbot, practice, player, logbook, monkeypatch, unheard):
    """A window on the plan of a first day."""
    monkeypatch.setattr(app.inputs.taps, "now_s", lambda: player.now_s)
    monkeypatch.setattr(StampClock, "to_clock", lambda self, stamp_ms, now_s: (now_s, "handler"))
    practice.follow_day(Planned(logbook.path))
    practice.now = lambda: player.now_s
    made = open_window(qtbot, practice, (1280, 800))
    made.contents.practise.tick()
    return made


def heard(window, player) -> None:
    """The part that sounds, to its end."""
    player.playing = False
    window.contents.lesson.tick()


def test_the_first_day_begins_with_it_by_keys_alone(window, qtbot, practice, player, logbook):
    """Return starts the sound at once, the space bar taps, Return leads through the parts and on with the plan."""
    assert window.contents.practise.steps.next.text() == "Start: First words"
    qtbot.keyClick(window, Qt.Key.Key_Return)
    lesson = window.contents.lesson
    for at, part in enumerate(PARTS):
        assert lesson.isVisible()
        assert player.playing
        assert (lesson.title.text(), lesson.lead.text(), lesson.body.text()) == (
            PAGES[part].title,
            PAGES[part].lead,
            PAGES[part].body,
        )
        at_s = float(example(part).counts[0].beats_s[2]) + 0.01
        player.now_s = player.start_s + at_s
        qtbot.keyClick(window, Qt.Key.Key_Space)
        lesson.tick()
        assert lesson.lesson.taps_s == pytest.approx([at_s])
        assert lesson.sheet.sounding == 2
        qtbot.keyClick(window, Qt.Key.Key_Return)  # it is heard first
        assert lesson.lesson.at == at
        heard(window, player)
        assert lesson.next.hasFocus()
        qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.today.lesson is State.DONE
    assert practice.phase is Phase.SOUNDING
    assert practice.trial.drill == practice.today.plan.items[0].drill
    assert window.contents.practise.isVisible()
    assert window.contents.practise.place.text().startswith("2 of 5: Count along")
    assert logbook.count() == 0


def test_strokes_say_neither_right_nor_wrong(window, qtbot, practice, player):
    """A soft tick goes with each, where it is wanted."""
    practice.equipment.ticker = Mock()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    player.now_s = player.start_s + 1.3
    qtbot.keyClick(window, Qt.Key.Key_Space)
    sheet = window.contents.lesson.sheet
    assert sheet.tapped == 1
    practice.equipment.ticker.tick.assert_called_once_with()
    assert (sheet.marks, sheet.missed) == ((), frozenset())


def test_escape_ends_the_sound_and_s_the_lesson(window, qtbot, practice, player):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    lesson = window.contents.lesson
    assert not player.playing
    assert lesson.isVisible()
    qtbot.keyClick(window, Qt.Key.Key_H)
    assert player.playing
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert practice.today.lesson is State.SKIPPED
    assert window.contents.practise.isVisible()
    assert window.contents.practise.steps.next.text() == "Start: Count along"


def test_one_key_skips_it_from_the_plan(window, qtbot, practice):
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert practice.today.lesson is State.SKIPPED
    assert practice.today.at == 0


def test_it_opens_again_from_the_help_and_leads_back_there(window, qtbot, practice, player):
    qtbot.keyClick(window, Qt.Key.Key_S)
    window.contents.show_tab(HELP)
    qtbot.keyClick(window, Qt.Key.Key_T)
    lesson = window.contents.lesson
    for _ in PARTS:
        assert lesson.isVisible()
        heard(window, player)
        qtbot.keyClick(window, Qt.Key.Key_Return)
    assert window.contents.help.isVisible()
    assert practice.today.lesson is State.SKIPPED
    assert practice.phase is Phase.READY


def test_its_sentences_are_those_of_the_help_and_of_the_drills(window, qtbot):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert window.contents.lesson.asks.text().startswith(spoken(drill("beat").asks()))


def test_a_part_asks_for_taps_only_while_it_sounds(window, qtbot, player):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    asks = window.contents.lesson.asks
    assert asks.text().startswith("Tap")
    heard(window, player)
    assert asks.text() == "Hear it again, or go on."
    qtbot.keyClick(window, Qt.Key.Key_H)
    assert asks.text().startswith("Tap")


def test_leaving_by_a_tab_ends_the_sound_and_the_plan_still_offers_it(window, qtbot, practice, player):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    window.contents.show_tab(HELP)
    QApplication.processEvents()
    assert not player.playing
    assert practice.today.lesson_due
