"""A logbook that cannot be written for a while: it is said as long as it holds, and no answer is lost."""

import sqlite3

import pytest
from PySide6.QtCore import Qt

from app.inputs.equipment import Equipment
from app.practice.learner.present_learner import PresentLearner
from app.practice.learner.saving import AGAIN_S
from app.practice.plan.planned import Planned
from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Ahead
from app.ui.window import Window
from exercises.logbook.store import BUSY_S, Logbook
from synth.base.words import say
from tests.app.practice.test_practice import STALLED, broken, tap_at, to_the_end
from tests.app.silent import said
from tests.app.windows import open_window

pytestmark = pytest.mark.usefixtures("unheard")

SAYS = "another program holds the logbook"


@pytest.fixture
def hurried(player, tmp_path):
    """A practice that waits for nobody who holds the logbook."""
    with Logbook.open(tmp_path / "logbook.sqlite3", busy_s=0.0) as book:
        seeds = iter(range(1, 1000))
        yield Practice(Equipment(player), PresentLearner(book), Ahead(lambda: next(seeds)))


@pytest.fixture
def other(hurried):
    """Another program, which begins to write and holds the logbook until it has done so."""
    held = sqlite3.connect(hurried.learner.logbook.path, isolation_level=None)
    held.execute("BEGIN IMMEDIATE")
    yield held
    held.close()


def answer(practice, player) -> None:
    practice.start()
    tap_at(practice, player, practice.trial.targets_s)
    to_the_end(practice, player)
    assert practice.phase is Phase.MARKED


def test_what_could_not_be_written_is_written_with_the_next(hurried, player, other):
    answer(hurried, player)
    broken(hurried, player, 3.0, STALLED)
    assert hurried.learner.logbook.trials(10) == []
    other.execute("COMMIT")
    player.faults = ()
    answer(hurried, player)
    kept = hurried.learner.logbook.trials(10)
    assert sorted(each.seed for each in kept) == [1, 2, 3]
    assert [each.void for each in sorted(kept, key=lambda each: each.seed)] == [None, "stall 468", None]
    assert said(hurried) == ""


def test_it_is_said_until_all_is_saved(hurried, player, other):
    answer(hurried, player)
    assert SAYS in said(hurried)
    assert "saving is tried again after the next trial" in said(hurried)
    hurried.start()
    assert SAYS in said(hurried)
    other.execute("COMMIT")
    to_the_end(hurried, player)
    assert SAYS not in said(hurried)


def test_the_window_waits_but_once_for_who_holds_the_logbook(hurried, player, other):
    """SQLite's own word for how long it waits, in ms (its documentation, PRAGMA busy_timeout)."""

    def waits_ms() -> int:
        return hurried.learner.logbook.rows("PRAGMA busy_timeout")[0][0]

    answer(hurried, player)
    assert waits_ms() == 1000 * AGAIN_S
    other.execute("COMMIT")
    answer(hurried, player)
    assert waits_ms() == 1000 * BUSY_S


def test_the_rung_follows_the_answers_meanwhile_and_afterwards(hurried, player, other):
    for _ in range(12):
        answer(hurried, player)
    assert hurried.rung > 1
    other.execute("COMMIT")
    answer(hurried, player)
    assert len(hurried.learner.logbook.trials(100)) == 13
    again = Practice(Equipment(player), PresentLearner(hurried.learner.logbook), Ahead(lambda: 1))
    assert again.rung == hurried.rung


def test_a_slip_of_the_program_s_own_doubles_nothing(hurried, player, monkeypatch):
    """A tick that failed comes again: it must not add its trial to what waits each time."""
    hurried.start()
    with monkeypatch.context() as patch:
        patch.setattr(Logbook, "add_all", lambda *_: 1 / 0)
        for _ in range(3):
            with pytest.raises(ZeroDivisionError):
                to_the_end(hurried, player)
    to_the_end(hurried, player)
    assert len(hurried.learner.logbook.trials(10)) == 1


@pytest.fixture
def window(qtbot, hurried) -> Window:
    return open_window(qtbot, hurried)


def test_it_stands_on_the_screen_while_the_next_trial_sounds(window, qtbot, hurried, player, other):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    player.now_s = player.start_s + hurried.attempt.trial_end_s() + 0.001
    window.contents.practise.tick()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert hurried.phase is Phase.SOUNDING
    assert SAYS in window.contents.practise.notice.text()


def test_closing_writes_what_waits(window, hurried, player, other):
    path = hurried.learner.logbook.path
    answer(hurried, player)
    other.execute("COMMIT")
    window.close()
    assert not window.isVisible()
    with Logbook.open(path) as book:
        assert len(book.trials(10)) == 1


def test_closing_with_something_unsaved_is_asked_for_twice(window, hurried, player, other):
    answer(hurried, player)
    window.contents.show_tab(1)
    window.close()
    assert window.isVisible()
    assert window.contents.practise.isVisible()
    assert "Not everything is saved yet." in window.contents.practise.notice.text()
    assert SAYS in window.contents.practise.notice.text()
    window.close()
    assert not window.isVisible()


def test_a_line_that_comes_after_the_end_is_no_slip(window, hurried):
    """The day's copy may fail while the window closes; a slip would be told in its turn, and so on for ever."""
    hurried.follow_day(Planned(hurried.learner.logbook.path))
    window.close()
    window.told.emit(say("A line."))
    assert "A line." in said(hurried)
