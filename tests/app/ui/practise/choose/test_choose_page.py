"""Choosing freely: the drills along the ladder, one key to move and one to start, the rest folded below."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.demo.pictures import SEED
from app.practice.choosing import OnLadder, ladder_of
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.ui.base import theme
from app.ui.practise.choose.drill_list import DrillList, DrillsModel
from exercises.drills import drills
from exercises.forms.drill import INTRODUCTION
from exercises.logbook.history import practised
from exercises.logbook.store import Logbook
from synth.device.clock import utc_now
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)

TODAY = date(2026, 11, 29)


@pytest.fixture
def window(qtbot, practice):
    return open_window(qtbot, practice, (900, 600))


def test_the_ladder_has_every_drill_with_its_rung_and_its_last_day(practice):
    rows = ladder_of(practice.learner)
    assert [row.drill for row in rows] == list(drills())
    assert {row.last for row in rows} == {None}
    assert all(row.rung in (INTRODUCTION, 1) for row in rows)


def test_two_learners_of_one_logbook_have_days_of_their_own(practice, invented_weeks):
    """Days and rungs are those of the one who practises."""
    found = {}
    with Logbook.open(invented_weeks(2, SEED, utc_now())) as logbook:
        practice.learner.logbook = logbook
        for who in logbook.known()[:2]:
            practice.learner.name, practice.learner.id = who.name, who.id
            practice.learner.relearn()
            done = practised(logbook, who.id)
            found[who.id] = ladder_of(practice.learner)
            assert {row.drill: row.last for row in found[who.id] if row.last} == {
                drill: each.last for drill, each in done.items()
            }
            assert done
        practice.learner.logbook = None
    first, second = found.values()
    assert first != second


@pytest.mark.parametrize(
    ("days", "says"),
    [(None, "not yet"), (0, "today"), (1, "yesterday"), (2, "2 days ago"), (30, "30 days ago"), (31, "29 Oct 2026")],
)
def test_when_a_drill_was_last_practised(qapp, days, says):
    rows = DrillsModel()
    rows.show_ladder([OnLadder("beat", 3, None if days is None else TODAY - timedelta(days))], TODAY)
    at = rows.index(0)
    assert rows.rows[0][1] == (
        "The beat",
        "Tap along with every beat, as you would nod your head.",
        f"Rung 3 of {len(drills()['beat'].rungs)}",
        says,
    )
    assert rows.data(at, Qt.ItemDataRole.AccessibleTextRole) == (
        f"The beat. Tap along with every beat, as you would nod your head. Rung 3 of 9. Practised: {says}."
    )


def test_the_rows_follow_the_ladder_and_the_day(qapp):
    rows = DrillsModel()
    last = TODAY - timedelta(1)
    found = []
    for rung, today in ((3, TODAY), (4, TODAY), (4, TODAY + timedelta(1)), (4, TODAY + timedelta(1))):
        rows.show_ladder([OnLadder("beat", rung, last)], today)
        found.append(rows.rows[0][1][2:])
    assert found == [
        ("Rung 3 of 9", "yesterday"),
        ("Rung 4 of 9", "yesterday"),
        ("Rung 4 of 9", "2 days ago"),
        ("Rung 4 of 9", "2 days ago"),
    ]


def test_of_a_drill_that_is_not_marked_no_day_is_told(qapp):
    """The logbook has no trials of it, so that "not yet" would be said of what was done."""
    rows = DrillsModel()
    rows.show_ladder([OnLadder("count-along", 3, None)], TODAY)
    assert rows.rows[0][1][3] == "not marked"


def test_arrows_choose_and_return_starts(window, practice, qtbot):
    """The keyboard is in the list; another drill begins on the rung that fits, what else was chosen stays."""
    practice.choose(Wish("one", 4, tempo_bpm=120.0))
    window.contents.practise.redraw()
    shown = QApplication.focusWidget()
    assert shown is window.contents.practise.choosing.list
    qtbot.keyClick(shown, Qt.Key.Key_Up)
    assert practice.wish == Wish("beat", None, tempo_bpm=120.0)
    qtbot.keyClick(shown, Qt.Key.Key_Down)
    assert practice.wish == Wish("one", None, tempo_bpm=120.0)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    assert practice.trial.drill == "one"
    assert not window.contents.practise.choosing.isVisible()


def test_a_click_chooses_and_a_double_click_starts(window, practice, qtbot):
    shown = window.contents.practise.choosing.list
    place = shown.visualRect(shown.drills.index(2)).center()
    qtbot.mouseClick(shown.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert practice.wish.drill == "beat"
    qtbot.mouseDClick(shown.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert practice.phase is Phase.SOUNDING


def test_the_fold_is_closed_at_first_and_remembers(window, practice, qtbot):
    """Closed, it says what was chosen."""
    choosing = window.contents.practise.choosing
    assert not choosing.wishes.isVisible()
    assert choosing.summary.text() == "Rung, groove, tempo and drums as they come."
    qtbot.keyClick(window, Qt.Key.Key_C)
    assert choosing.wishes.isVisible()
    assert window.session.keeper.now.choices_unfolded
    practice.choose(replace(practice.wish, rung=2, groove="backbeat", tempo_bpm=121.0, kit_family="dry"))
    window.contents.practise.redraw()
    qtbot.keyClick(window, Qt.Key.Key_C)
    assert not choosing.wishes.isVisible()
    assert choosing.summary.text().startswith("Chosen: rung 2, Backbeat")
    assert "121 BPM" in choosing.summary.text()
    assert not window.session.keeper.now.choices_unfolded


@pytest.mark.parametrize("percent", [100, 200])
def test_every_row_has_the_height_of_its_words(qtbot, percent, monkeypatch):
    """At any width: rows of less room are higher, and the chosen one stays in sight."""
    monkeypatch.setattr(theme, "_text_scale", percent / 100)
    shown = DrillList()
    qtbot.addWidget(shown)
    shown.show()
    ladder = [OnLadder(id, 1, None) for id in drills()]
    shown.show_ladder(ladder, "beat", TODAY)
    heights = []
    for width, height in ((1280, 400), (700, 400), (400, 400), (400, 300)):
        shown.resize(width, height)
        rows = [shown.sizeHintForIndex(shown.drills.index(row)).height() for row in range(len(ladder))]
        tops = [shown.visualRect(shown.drills.index(row)).top() for row in range(len(ladder))]
        assert np.diff(tops).tolist() == rows[:-1]
        assert shown.viewport().rect().contains(shown.visualRect(shown.currentIndex()))
        assert min(rows) >= theme.TARGET_PX
        heights.append(sum(rows))
    assert heights == sorted(heights)
    assert heights[0] < heights[2] == heights[3]
    assert shown.drills.rows[shown.currentIndex().row()][0] == "beat"


def test_the_list_takes_the_keyboard_where_nothing_has_it(window):
    """As in a window that is active before it has its contents."""
    choosing = window.contents.practise.choosing
    if (focused := QApplication.focusWidget()) is not None:
        focused.clearFocus()
    assert QApplication.focusWidget() is None
    choosing.take_focus()
    assert choosing.list.hasFocus()
