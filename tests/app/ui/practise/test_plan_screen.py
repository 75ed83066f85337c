"""Today's plan in the window: a whole day by keys alone, and its ways aside.

The events are real Qt events; only the clock and the loudspeaker are the test's.
"""

from concurrent.futures import ThreadPoolExecutor

import pytest
from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

import app.inputs.taps
from app.demo.simulated import simulate
from app.practice.plan.planned import Planned
from app.practice.plan.today import State, states
from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Ahead
from app.ui.base.words import unbroken
from app.ui.practise.plan.minutes import Minutes
from app.ui.window import Window
from exercises.drills import drill
from exercises.trial.result import RIGHT, WRONG
from exercises.trial.trial import Kind
from synth.device.faults import Fault, FaultKind
from synth.device.stamps import StampClock
from tests.app.ui.practise.test_every_drill import answer_by_keys, tick
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def planned(practice, player, logbook, monkeypatch, no_lesson) -> Practice:
    """A practice that follows the plan of a first day."""
    monkeypatch.setattr(app.inputs.taps, "now_s", lambda: player.now_s)
    monkeypatch.setattr(StampClock, "to_clock", lambda self, stamp_ms, now_s: (now_s, "handler"))
    practice.follow_day(Planned(logbook.path))
    practice.now = lambda: player.now_s
    return practice


@pytest.fixture
def window(qtbot, planned, qapp) -> Window:
    return opened(qtbot, planned)


def opened(qtbot, practice) -> Window:
    made = open_window(qtbot, practice, (1280, 800))
    made.contents.practise.tick()
    return made


def next_step(window) -> str:
    """The words of the one button that is the next step."""
    shown = [each for each in window.contents.practise.findChildren(QPushButton) if each.isVisible()]
    steps = [each for each in shown if each.property("kind") == "next"]
    assert len(steps) == 1, [each.text() for each in steps]
    assert steps[0].isEnabled()
    return steps[0].text()


def practise_by_keys(window, qtbot, player, who="perfect") -> None:
    """The trial that sounds, to its end, as its question asks."""
    practice = window.session.practice
    assert practice.phase is Phase.SOUNDING
    answer = (
        None
        if practice.attempt.asks is Kind.NONE and not practice.attempt.by_taps
        else simulate(who, practice.trial, 3)
    )
    for tap_s in answer.taps_s if answer and practice.attempt.by_taps else ():
        tick(window, player, float(tap_s))
        qtbot.keyClick(window, Qt.Key.Key_Space)
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    if practice.phase is Phase.ASKING:
        answer_by_keys(window, qtbot, practice, answer.value)


def cut_off(window) -> list[str]:
    """Words and controls of the screen that do not lie wholly within the window."""
    window.repaint()
    QApplication.processEvents()
    inside = QRect(QPoint(0, 0), window.size())
    found = []
    for each in window.contents.practise.findChildren(QWidget):
        if isinstance(each, QLabel | QPushButton) and each.isVisible():
            place = QRect(each.mapTo(window, QPoint(0, 0)), each.size())
            needs = each.heightForWidth(each.width()) if each.hasHeightForWidth() else each.sizeHint().height()
            narrow = not each.hasHeightForWidth() and each.width() < each.minimumSizeHint().width()
            if not inside.contains(place) or each.height() < needs - 1 or narrow:
                found.append(f"{each.text()!r} {place}")
    return found


def test_it_opens_with_the_plan_and_one_obvious_start(window, planned):
    screen = window.contents.practise
    assert screen.heading.text() == "Today's practice"
    assert next_step(window) == "Start: Count along"
    assert screen.steps.next.hasFocus()
    words = [each.text() for each in screen.plan.findChildren(QLabel)]
    for item in planned.today.plan.items:
        assert str(drill(item.drill).title()) in words
        assert str(item.why) in words
    assert words.count("now") == 1
    assert not screen.sheet.isVisible()


@pytest.mark.proof
def test_a_whole_day_by_keys_alone(window, qtbot, planned, player, logbook):
    """Return, the space bar and figures lead from the first page to the closing one; nothing is ever cut off.

    From the last result of an item one Return leads to the first sound of the next, whose question it tells.
    """
    screen, today = window.contents.practise, planned.today
    began_s, said = player.now_s, []
    for number, item in enumerate(today.plan.items):
        title = str(drill(item.drill).title())
        if number == 0 or planned.phase is not Phase.MARKED:
            assert planned.phase is Phase.READY
            assert next_step(window) == f"Start: {title}"
        for trial in range(1, item.trials + 1):
            qtbot.keyClick(window, Qt.Key.Key_Return)
            assert (planned.trial.drill, screen.place.text()) == (
                item.drill,
                f"{number + 1} of {len(today.plan.items)}: {title} (trial {trial} of {item.trials})",
            )
            assert cut_off(window) == []
            practise_by_keys(window, qtbot, player, "perfect" if trial % 2 else "random")
            assert cut_off(window) == []
            player.now_s += 5.0  # the result is read
            said.append(next_step(window))
            if planned.phase is Phase.MARKED:
                assert screen.heading.text() == unbroken(
                    f"{RIGHT() if planned.result.right else WRONG()} {planned.result.verdict[0]}"
                )
                if trial < item.trials:
                    assert said[-1] == f"Next: trial {trial + 1} of {item.trials} in {title}"
        if planned.phase is Phase.MARKED:
            last = number + 1 == len(today.plan.items)
            after = None if last else drill(today.plan.items[number + 1].drill)
            assert said[-1] == ("Finish for today" if after is None else f"Next: {after.title()}")
            assert after is None or unbroken(str(after.asks())) in screen._soft.text()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert screen.heading.text() == "That is enough for today."
    minutes = round(today.spent_s / 60)
    assert today.spent_s == pytest.approx(player.now_s - began_s - 5.0, abs=1.0)
    assert 5 <= minutes <= 15
    kept = logbook.trials(100)
    assert screen.lead.text() == (
        f"You practised for about {minutes} minutes: Count along, The drum, The beat, The one. "
        + unbroken(f"{sum(each.right for each in today.tallies)} of {len(kept)} right this time.")
    )
    assert cut_off(window) == []
    assert len(kept) == sum(item.trials for item in today.plan.items if drill(item.drill).kind is not Kind.NONE)
    assert next_step(window) == "Look at the logbook"
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert window.contents.stack.currentWidget() is window.contents.logbook.open_screen()
    window.contents.logbook.open_screen().wait()


def test_a_day_without_a_logbook(qtbot, planned, player):
    """Nothing is kept, and the plan is gone through all the same; the rung still follows the answers."""
    planned.learner.logbook = None
    planned.follow_day(Planned(None))
    window = opened(qtbot, planned)
    qtbot.keyClick(window, Qt.Key.Key_S)
    rungs = []
    for _ in range(2 * sum(item.trials for item in planned.today.plan.items)):
        if not planned.today.finished:
            qtbot.keyClick(window, Qt.Key.Key_Return)
        if planned.phase is Phase.SOUNDING:
            rungs.append(planned.trial.rung)
            practise_by_keys(window, qtbot, player)
    assert planned.today.finished
    assert max(rungs) > 1


def test_an_item_is_skipped_from_the_plan_and_from_a_result(window, qtbot, planned, player):
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert next_step(window) == "Start: The drum"
    qtbot.keyClick(window, Qt.Key.Key_Return)
    practise_by_keys(window, qtbot, player)
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert planned.phase is Phase.READY
    assert next_step(window) == "Start: The beat"
    assert [state for _, state in states(planned.today)][:3] == [State.SKIPPED, State.DONE, State.NOW]
    for _ in range(2):
        qtbot.mouseClick(window.contents.practise.steps.skip, Qt.MouseButton.LeftButton)
    assert window.contents.practise.heading.text() == "That is enough for today."


def test_a_day_skipped_altogether_is_no_reproach(window, qtbot, planned):
    for _ in planned.today.plan.items:
        qtbot.keyClick(window, Qt.Key.Key_S)
    assert window.contents.practise.heading.text() == "Nothing more for today."
    assert next_step(window) == "Look at the logbook"


def skip_all(window, qtbot) -> None:
    for _ in window.session.practice.today.plan.items:
        qtbot.keyClick(window, Qt.Key.Key_S)


def test_the_closing_page_closes_the_window_only_where_that_is_asked_for(window, qtbot):
    """Return once too often loses nothing; Q does what the button says."""
    skip_all(window, qtbot)
    for _ in range(3):
        qtbot.keyClick(window, Qt.Key.Key_Return)
    assert window.isVisible()
    window.contents.logbook.open_screen().wait()
    window.contents.show_tab(0)
    qtbot.keyClick(window, Qt.Key.Key_Q)
    assert not window.isVisible()


def test_another_plan_may_follow_the_first(window, qtbot, planned):
    first = planned.today
    skip_all(window, qtbot)
    qtbot.keyClick(window, Qt.Key.Key_M)
    assert planned.today is not first
    assert next_step(window) == "Start: Count along"
    assert window.contents.practise.minutes.isVisible()


def test_a_broken_trial_is_continued_from_the_plan(window, qtbot, planned, player):
    qtbot.keyClick(window, Qt.Key.Key_S)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    practise_by_keys(window, qtbot, player)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    trials = planned.today.plan.items[1].trials
    assert next_step(window) == f"Continue: The drum, trial 2 of {trials}"
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert planned.today.turn.trial == 2


def test_a_void_trial_is_asked_once_more(window, qtbot, planned, player):
    qtbot.keyClick(window, Qt.Key.Key_S)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    player.faults = (Fault(FaultKind.SILENCE),)
    tick(window, player, 1.0)
    assert planned.phase is Phase.VOID
    assert next_step(window) == "Once more: The drum"
    player.faults = ()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert planned.phase is Phase.SOUNDING
    assert planned.today.turn.trial == 1


def test_free_choice_is_one_key_away_and_the_plan_another(window, qtbot, planned, player):
    """What is practised freely is no part of the plan, and the arrow keys choose."""
    screen = window.contents.practise
    qtbot.keyClick(window, Qt.Key.Key_S)
    qtbot.keyClick(window, Qt.Key.Key_F)
    assert screen.choosing.isVisible()
    assert QApplication.focusWidget() is screen.choosing.list
    assert not screen.plan.isVisible()
    assert cut_off(window) == []
    before = planned.wish.drill
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Down)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Down)
    assert planned.wish.drill != before
    planned.choose(type(planned.wish)("one", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert planned.trial.drill == "one"
    practise_by_keys(window, qtbot, player)
    assert next_step(window) == "Next trial"
    assert cut_off(window) == []
    qtbot.keyClick(window, Qt.Key.Key_P)
    assert next_step(window) == "Start: The drum"
    assert planned.today.counts == [0, 0, 0, 0]


def test_minutes_by_keys_and_only_before_the_day_has_begun(window, qtbot, planned):
    """Five to thirty in fives, and what was chosen is kept in the settings."""
    screen, chosen = window.contents.practise, []
    screen.minutes_chosen.connect(chosen.append)
    for _ in range(6):
        qtbot.keyClick(window, Qt.Key.Key_Plus)
    assert chosen == [15, 20, 25, 30]
    assert planned.today.plan.minutes == 30
    for _ in range(7):
        qtbot.keyClick(window, Qt.Key.Key_Minus)
    assert planned.today.plan.minutes == 5
    assert window.session.keeper.now.minutes_a_day == 5
    qtbot.keyClick(window, Qt.Key.Key_S)
    assert not screen.minutes.isVisible()
    qtbot.keyClick(window, Qt.Key.Key_Plus)
    assert planned.today.plan.minutes == 5


def test_every_letter_is_a_tap_while_taps_are_asked_for(window, qtbot, planned):
    """H, P, S and F steer only where their button is seen."""
    for _ in range(2):
        qtbot.keyClick(window, Qt.Key.Key_S)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert planned.attempt.by_taps
    for key in (Qt.Key.Key_H, Qt.Key.Key_P, Qt.Key.Key_S, Qt.Key.Key_F, Qt.Key.Key_Plus):
        qtbot.keyClick(window, key)
    assert len(planned.attempt.taps) == 5
    assert planned.phase is Phase.SOUNDING


def test_a_long_plan_scrolls_and_the_next_step_stays_in_sight(window, qtbot, planned):
    window.resize(QSize(900, 600))
    QApplication.processEvents()
    step = window.contents.practise.steps.next
    assert window.rect().contains(QRect(step.mapTo(window, QPoint(0, 0)), step.size()))


def test_a_trial_that_is_not_ready_is_waited_for_and_may_be_given_up(qtbot, planned, player):
    """Escape while the drums are being made leads back to the plan."""
    from threading import Event

    hold = Event()
    with ThreadPoolExecutor(1) as workers:
        planned.ahead = Ahead(lambda: 1, workers)
        window = opened(qtbot, planned)
        workers.submit(hold.wait, 5.0)
        planned.ahead._of = planned.ahead._coming = None
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert planned.phase is Phase.MAKING
        assert window.contents.practise.steps.stop.isVisible()
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        assert planned.phase is Phase.READY
        qtbot.keyClick(window, Qt.Key.Key_Return)
        hold.set()
        qtbot.waitUntil(lambda: planned.phase is Phase.SOUNDING)
        window.close()


def test_what_is_chosen_freely_for_the_plan_is_kept_and_in_the_plan(window, qtbot, planned):
    """The plan of the day, not yet begun, is made again with it; the settings keep it."""
    screen = window.contents.practise
    screen.choose_freely()
    wishes = screen.choosing.wishes
    screen.choosing.list.chosen.emit("tempo")
    wishes.place.setCurrentIndex(wishes.place.findData("always"))
    assert window.session.keeper.now.in_every_plan == "tempo"
    screen.follow_plan()
    qtbot.waitUntil(lambda: "tempo" in [item.drill for item in planned.today.plan.items])


def test_a_plan_that_is_shorter_for_once_says_so(qapp):
    minutes = Minutes()
    minutes.show_minutes(10, 7)
    assert minutes.findChild(QLabel).text() == "7 minutes today"
    minutes.show_minutes(10, 10)
    assert minutes.findChild(QLabel).text() == "10 minutes"
