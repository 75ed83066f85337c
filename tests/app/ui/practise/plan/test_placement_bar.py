"""The line over a placement run: which trial it speaks of, and what it says at the end."""

import re

import pytest
from PySide6.QtCore import Qt

from app.demo.simulated import simulate
from app.inputs.taps import Tap
from app.practice.plan.planned import Planned
from app.practice.trial.attempt import Phase
from app.session import Session
from app.settings import Keeper, Settings
from app.ui.window import Window
from exercises.drills import drills

pytestmark = pytest.mark.sampled(3)


@pytest.fixture
def window(qtbot, practice, logbook, monkeypatch, player):
    monkeypatch.setattr("app.ui.practise.plan.placement_bar.now_s", lambda: player.now_s)
    practice.follow_day(Planned(logbook.path))
    practice.now = lambda: player.now_s
    made = Window(Session(practice, Keeper(Settings())))
    qtbot.addWidget(made)
    practice.plan_day()
    made.contents.show_welcome()
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    made.contents.first_run.welcome.finished.emit(True)
    yield made
    made.close()


@pytest.fixture
def bar(window):
    return window.contents.first_run.bar


def answer(window, bar, player, qtbot, who: str) -> None:
    """Start the next trial and answer it as a simulated learner would."""
    practice = window.session.practice
    qtbot.keyClick(window, Qt.Key.Key_Return)
    bar.tick()
    assert practice.phase is Phase.SOUNDING
    given = simulate(who, practice.trial, 5)
    for at_s in given.taps_s if practice.attempt.by_taps else ():
        practice.attempt.tap(Tap(player.start_s + float(at_s), "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    window.contents.practise.tick()
    if practice.phase is Phase.ASKING:
        window.contents.practise.answer(str(given.value))


def stop(bar, qtbot) -> None:
    qtbot.mouseClick(bar.stop, Qt.MouseButton.LeftButton)


def settled(window, qtbot):
    """The plan once it has been made anew."""
    qtbot.waitUntil(lambda: window.session.practice.day.today is not None and not window.session.practice.day.making)
    return window.session.practice.day.today


def test_a_result_is_told_by_its_own_trial_and_what_follows_as_next(window, bar, player, qtbot):
    assert bar.words.text().startswith("Looking where you begin. Trial 1: ")
    answer(window, bar, player, qtbot, "perfect")
    assert bar.words.text().startswith("Looking where you begin. That was trial 1. Next: ")
    qtbot.keyClick(window, Qt.Key.Key_Return)
    bar.tick()
    assert bar.words.text().startswith("Looking where you begin. Trial 2.")


def test_stopped_it_says_what_was_found_and_shows_the_plan_that_begins_there(window, bar, player, qtbot):
    for who in ("perfect", "perfect", "beginner", "perfect"):
        answer(window, bar, player, qtbot, who)
    stop(bar, qtbot)
    assert bar.isVisible()
    begins = bar.run.begins
    drill, text = drills()[begins.drill], bar.words.text().replace("\N{NO-BREAK SPACE}", " ")
    assert f"You begin with {drill.title()}, rung {begins.rung} of {len(drill.rungs)}." in text
    assert "first guess" in text
    today = settled(window, qtbot)
    assert today.plan.items[1].drill == begins.drill
    # The plan's page stands there, not the last result; its next step is on Return.
    assert window.session.practice.at_plan
    assert window.contents.practise.steps.next.text().startswith("Start: ")
    qtbot.keyClick(window, Qt.Key.Key_Return)
    bar.tick()
    assert window.session.practice.phase is Phase.SOUNDING
    assert not bar.isVisible()


def test_the_tally_is_that_of_the_answers(window, bar, player, qtbot):
    """As many as were right in the logbook, of the drill that is told or else of all."""
    for who in ("perfect", "beginner", "perfect"):
        answer(window, bar, player, qtbot, who)
    stop(bar, qtbot)
    rows = window.session.practice.learner.logbook.trials(100)
    own = [row for row in rows if row.drill == bar.run.begins.drill] or rows
    right = sum(bool(row.result["right"]) for row in own)
    found = re.search(r": (\d+)\W+of\W+(\d+)\.", bar.words.text())
    assert (int(found[1]), int(found[2])) == (right, len(own))


def test_stopped_before_any_answer_it_says_so(window, bar, player, qtbot):
    stop(bar, qtbot)
    assert "Nothing was answered" in bar.words.text()
    assert settled(window, qtbot).plan.items[1].drill == "drum"
    stop(bar, qtbot)
    assert not bar.isVisible()


def test_at_its_own_end_the_sentence_stands_over_the_last_result(window, bar, player, qtbot):
    for _ in range(30):
        if bar.run.over:
            break
        answer(window, bar, player, qtbot, "perfect")
    assert bar.run.over
    assert bar.isVisible()
    assert "You begin with " in bar.words.text()
    assert window.session.practice.phase is Phase.MARKED
    assert settled(window, qtbot).plan.items[1].drill == bar.run.begins.drill
