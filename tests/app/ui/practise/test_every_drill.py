"""Every drill played through the window, by keys alone and by the mouse alone, well and badly.

The events are real Qt events; only the clock and the loudspeaker are the test's.
"""

from itertools import product

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

import app.inputs.tap_filter
import app.inputs.taps
from app.demo.simulated import simulate
from app.inputs.taps import Tap
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.ui.base.words import spoken, unbroken
from app.ui.window import Window
from exercises.drills import drills
from exercises.forms.drill import INTRODUCTION
from exercises.progress.gains import NEW_RUNG
from exercises.trial.modes import Mode
from exercises.trial.result import RIGHT, WRONG
from exercises.trial.sheet_marks import Shape
from exercises.trial.trial import Kind
from synth.device.stamps import StampClock
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)

MARKED = [id for id, drill in drills().items() if drill.kind is not Kind.NONE]
# One of each way of answering, for ``./run test quick``, and the others.
SOME = ["drum", "one", "bring-in", "intro", "stopped-bar"]
OTHERS = pytest.param([id for id in MARKED if id not in SOME], marks=pytest.mark.proof, id="others")
BADLY = "random"


@pytest.fixture
def window(qtbot, practice, player, monkeypatch, qapp) -> Window:
    for reads in (app.inputs.taps, app.inputs.tap_filter):
        monkeypatch.setattr(reads, "now_s", lambda: player.now_s)
    # Qt's test events carry stamps of a clock that never ran.
    monkeypatch.setattr(StampClock, "to_clock", lambda self, stamp_ms, now_s: (now_s, "handler"))
    return open_window(qtbot, practice, (1180, 760))


def tick(window, player, at_s: float) -> None:
    player.now_s = player.start_s + at_s
    window.contents.practise.tick()


def later(window, seconds: float = 0.5) -> None:
    """Let time go by at an open question: Return is heard again, and a choice stands."""
    window.session.practice.player.now_s += seconds
    window.contents.practise.tick()


def answer_by_keys(window, qtbot, practice, value) -> None:
    """Give an answer as someone without a mouse does."""
    later(window)
    if practice.attempt.asks is Kind.CHOICE:
        qtbot.keyClick(window, Qt.Key.Key_1 + [choice.key for choice in practice.trial.choices].index(value))
        later(window)
        return
    for part in str(value).split(".") if practice.attempt.asks is Kind.POSITION else [f"{float(value):.0f}"]:
        qtbot.keyClicks(QApplication.focusWidget(), part)
    qtbot.keyClick(window, Qt.Key.Key_Return)


def answer_by_mouse(window, qtbot, practice, value) -> None:
    """Give an answer as someone without a keyboard does."""
    panel, left = window.contents.practise.panel, Qt.MouseButton.LeftButton
    if practice.attempt.asks is Kind.CHOICE:
        qtbot.mouseClick(panel.body.offers[value], left)
        later(window)
        return
    keys = {key.text(): key for key in panel.findChildren(QPushButton) if key.isVisible()}
    for digit in str(value) if practice.attempt.asks is Kind.POSITION else f"{float(value):.0f}":
        if digit != ".":
            qtbot.mouseClick(keys[digit], left)
    qtbot.mouseClick(panel.body.answer, left)


def play(window, qtbot, player, who: str, by_mouse: bool = False) -> None:
    """One whole trial, from the start to its result."""
    practice = window.session.practice
    screen = window.contents.practise
    if by_mouse:
        qtbot.mouseClick(screen.steps.next, Qt.MouseButton.LeftButton)
    else:
        qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    answer = simulate(who, practice.trial, 3)
    for tap_s in answer.taps_s if practice.attempt.by_taps else ():
        tick(window, player, float(tap_s))
        if practice.phase is not Phase.SOUNDING:
            break
        if by_mouse:
            qtbot.mouseClick(screen.sheet, Qt.MouseButton.LeftButton)
        else:
            qtbot.keyClick(window, Qt.Key.Key_Space)
    if practice.phase is Phase.SOUNDING:
        tick(window, player, practice.attempt.trial_end_s() + 0.001)
    if practice.phase is Phase.ASKING:
        (answer_by_mouse if by_mouse else answer_by_keys)(window, qtbot, practice, answer.value)


@pytest.mark.proof
@pytest.mark.parametrize("chosen", [pytest.param(SOME, id="some"), OTHERS])
def test_by_keys_alone_and_by_mouse_alone(window, qtbot, practice, player, logbook, chosen):
    """Someone who answers rightly by keys is told so, and the trial is in the logbook.

    Then, in the same window: whatever a guesser does ends in words on the screen; and a trial without a keyboard.
    """
    for before, drill in enumerate(chosen):
        practice.choose(Wish(drill, 3))
        play(window, qtbot, player, "perfect")
        assert (practice.phase, practice.trial.drill) == (Phase.MARKED, drill)
        assert practice.result.right, (drill, practice.result.text)
        assert window.contents.practise.heading.text()
        assert logbook.trials(1)[0].drill == drill
        assert len(logbook.trials(1000)) == 3 * before + 1
        practice.choose(Wish(drill, 2))
        play(window, qtbot, player, BADLY)
        assert practice.phase is Phase.MARKED
        assert window.contents.practise.heading.text() == unbroken(
            f"{RIGHT() if practice.result.right else WRONG()} {practice.result.verdict[0]}"
        )
        practice.choose(Wish(drill, 1))
        play(window, qtbot, player, "perfect", by_mouse=True)
        assert practice.phase is Phase.MARKED
        assert practice.result.right, (drill, practice.result.text)


def test_return_takes_the_choice_that_has_the_keyboard(window, qtbot, practice, player):
    """The arrow keys go from one choice to the next, the ring shows where they are, Return answers.

    At first no choice has the keyboard: Return answers nothing that was not chosen.
    """
    practice.choose(Wish("drum", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    later(window)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    later(window)
    assert practice.phase is Phase.ASKING
    for _ in range(2):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Right)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    later(window)
    assert practice.phase is Phase.MARKED
    assert practice.attempt.answer.value == practice.trial.choices[1].key


def test_the_keyboard_stays_on_the_sheet_while_taps_are_asked_for(window, qtbot, practice, player):
    """No button looks as if the space bar would press it."""
    practice.choose(Wish("one", 3))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    assert QApplication.focusWidget() is window.contents.practise.sheet


def test_a_key_that_is_held_answers_nothing(window, qtbot, practice, player):
    """Return cuts the sound short; held a little longer, it is not the answer as well."""
    practice.choose(Wish("drum", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    tick(window, player, 1.0)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.ASKING
    for kind in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress):
        held = QKeyEvent(kind, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier, "", True)
        QApplication.sendEvent(QApplication.focusWidget(), held)
    assert practice.phase is Phase.ASKING


@pytest.mark.parametrize("by_mouse", [False, True])
def test_a_lost_count_is_one_key_or_one_click(window, qtbot, practice, player, by_mouse):
    """While it sounds, and at a question, whatever has the keyboard."""
    steps = window.contents.practise.steps
    for drill, asked in product(["one", "land", "drum", "intro", "feel", "stopped-bar"], (False, True)):
        practice.choose(Wish(drill, 2))
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert (practice.trial.drill, steps.lost.isVisible(), steps.lost.hint.text()) == (drill, True, "F2")
        assert steps.lost.accessibleName() == ("I can't tell" if drill == "drum" else "I lost the count")
        tick(window, player, 1.0)
        if asked and practice.attempt.asks is not Kind.NONE:
            if practice.attempt.by_taps:
                qtbot.keyClick(window, Qt.Key.Key_Space)
            tick(window, player, practice.attempt.trial_end_s() + 0.001)
            assert (practice.phase, steps.lost.isVisible()) == (Phase.ASKING, True)
        if by_mouse:
            qtbot.mouseClick(steps.lost, Qt.MouseButton.LeftButton)
        else:
            qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F2)
        assert (practice.phase, practice.result.given) == (Phase.MARKED, "lost")
        assert not steps.lost.isVisible()
        others = [box for box in window.contents.practise.versions.boxes[1:] if not box.isHidden()]
        assert len(others) == (drill == "drum")


def test_a_result_is_taken_out_of_the_count_by_one_key_or_one_click(window, qtbot, practice, player, logbook):
    steps = window.contents.practise.steps
    practice.choose(Wish("drum", 1))
    assert not steps.withdraw.isVisible()
    play(window, qtbot, player, "perfect")
    assert (steps.withdraw.isVisible(), steps.withdraw.words.text()) == (True, "That doesn't count")
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_X)
    assert logbook.trials(1)[0].void == "withdrawn"
    assert steps.withdraw.words.text() == "It counts after all"
    assert "does not count" in window.contents.practise.notice.text()
    qtbot.mouseClick(steps.withdraw, Qt.MouseButton.LeftButton)
    assert logbook.trials(1)[0].void is None
    assert window.contents.practise.notice.isHidden()


def test_a_lag_of_the_equipment_offers_to_measure_it(window, qtbot, practice, player):
    steps = window.contents.practise.steps
    for tempo_bpm in (90, 110):
        practice.choose(Wish("beat", 3, tempo_bpm=float(tempo_bpm)))
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert not steps.measure.isVisible()
        for target_s in practice.trial.targets_s:
            tick(window, player, float(target_s) + 0.2)
            qtbot.keyClick(window, Qt.Key.Key_Space)
        tick(window, player, practice.attempt.trial_end_s() + 0.001)
    assert steps.measure.isVisible()
    qtbot.mouseClick(steps.measure, Qt.MouseButton.LeftButton)
    assert not window.contents.practise.isVisible()


def test_count_along_gives_no_mark(window, qtbot, practice, player, logbook):
    """Listening is listening."""
    practice.choose(Wish("count-along", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    assert practice.phase is Phase.READY
    assert logbook.trials(5) == []


def test_an_answer_known_early_need_not_wait(window, qtbot, practice, player):
    """Return cuts the listening short where no taps are asked for."""
    practice.choose(Wish("intro", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    tick(window, player, 3.0)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.ASKING
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert practice.phase is Phase.READY


def test_a_press_is_heard_in_the_blend(window, qtbot, practice, player):
    """After the mark the second record is heard where the press put it; H plays it again."""
    practice.choose(Wish("bring-in", 1))
    play(window, qtbot, player, "perfect")
    trial_sound = len(player.samples)
    tick(window, player, 0.0)
    assert practice.again
    assert len(player.samples) != trial_sound
    player.playing = False
    tick(window, player, 1.0)
    assert not practice.again
    qtbot.keyClick(window, Qt.Key.Key_H)
    assert practice.again


def test_busy_marks_the_side_task_beside_the_count(window, qtbot, practice, player):
    """Arrow keys answer the side task and are no taps; its figures stand in the result."""
    practice.choose(Wish("one", 1, mode=Mode.BUSY))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    things = practice.attempt.side.things
    arrow = {"left": Qt.Key.Key_Left, "right": Qt.Key.Key_Right}
    for thing in things:
        tick(window, player, thing.at_s + 0.5)
        assert window.contents.practise.side.thing == thing
        qtbot.keyClick(window, arrow[thing.key])
    assert practice.attempt.taps == []
    qtbot.keyClick(window, Qt.Key.Key_Space)
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    assert practice.result.figures["side_right"] == len(things)


def test_bare_takes_the_help_away(window, qtbot, practice):
    """Bare means nothing on the sheet, whatever the rung would show."""
    practice.choose(Wish("one", 1, mode=Mode.BARE))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert not practice.trial.help.sheet
    assert window.contents.practise.sheet.blank


def test_tapping_on_past_the_end_presses_nothing(window, qtbot, practice, player):
    """Someone who taps on sees the result stand; the space bar never starts the next trial, Return does."""
    practice.choose(Wish("beat", 1))
    play(window, qtbot, player, "perfect")
    assert practice.phase is Phase.MARKED
    for _ in range(3):
        qtbot.keyClick(window, Qt.Key.Key_Space)
    rest = window.contents.practise.filter._rest
    assert rest.isActive()
    rest.start(0)  # the learner's rest is over
    qtbot.waitUntil(lambda: not rest.isActive())
    qtbot.keyClick(window.contents.practise.steps.next, Qt.Key.Key_Space)
    assert practice.phase is Phase.MARKED
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING


def test_a_space_bar_pressed_along_with_the_drums_answers_no_question(window, qtbot, practice, player):
    """Where nothing is to be tapped, the beat of whoever does must not choose the first answer."""
    practice.choose(Wish("drum", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    qtbot.keyClick(window, Qt.Key.Key_Space)
    player.now_s += practice.attempt.trial_end_s() + 1
    window.contents.practise.tick()
    assert practice.phase is Phase.ASKING
    for _ in range(3):
        qtbot.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Space)
    assert practice.phase is Phase.ASKING
    rest = window.contents.practise.filter._rest
    rest.start(0)  # a moment without a key
    qtbot.waitUntil(lambda: not rest.isActive())
    qtbot.keyClick(window, Qt.Key.Key_1)
    later(window)
    assert practice.phase is Phase.MARKED


def test_taps_on_the_way_in_are_no_crosses(window, qtbot, practice, player):
    """What does not count is drawn, and not blamed: crosses and the figure of extra taps agree."""
    practice.choose(Wish("one", 3))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    count, targets = practice.trial.count, practice.trial.targets_s
    early = [float(one) for one in count.ones_s if one < targets[0] - practice.trial.period_s]
    for tap_s in [*early, *targets.tolist()]:
        tick(window, player, tap_s)
        qtbot.keyClick(window, Qt.Key.Key_Space)
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    marks = window.contents.practise.sheet.marks
    assert practice.result.taps.extra == 0
    assert early
    assert [mark.counts for mark in marks] == [False] * len(early) + [True] * len(targets)


def test_without_a_calibration_no_bias_is_told(window, qtbot, practice, player):
    """Figures and strip are told from the learner's own mean, and the page says so."""
    practice.choose(Wish("beat", 1))
    play(window, qtbot, player, "early")
    screen = window.contents.practise
    assert not practice.attempt.calibrated
    assert screen.figures.named["bias"].isHidden()
    assert abs(screen.strip.errors_ms.mean()) < 1e-9
    assert "Not calibrated" in screen.legend.text()


def tap_some(window, qtbot, player, number: int) -> None:
    """The first so many targets of the trial that is started here, each 40 ms late."""
    qtbot.keyClick(window, Qt.Key.Key_Return)
    for target_s in window.session.practice.trial.targets_s[:number]:
        tick(window, player, float(target_s) + 0.04)
        qtbot.keyClick(window, Qt.Key.Key_Space)
    tick(window, player, window.session.practice.attempt.trial_end_s() + 0.001)


def test_without_a_calibration_two_taps_tell_no_shift(window, qtbot, practice, player):
    """From their own mean one tap is always 0 ms off and two are always as early as late: that tells nothing."""
    practice.choose(Wish("one", 3))
    screen = window.contents.practise
    for taps, told in ((1, False), (2, False), (3, True)):
        tap_some(window, qtbot, player, taps)
        assert practice.result.taps.hits == taps
        assert [mark.told for mark in screen.sheet.marks] == [told] * taps
        assert screen.strip.isVisible() is told
        assert ("Early is" in screen.legend.text()) is told


def test_a_press_without_a_calibration_carries_no_ms(window, qtbot, practice, player):
    """One press has no mean of its own to be told from."""
    practice.choose(Wish("bring-in", 1))
    tap_some(window, qtbot, player, 1)
    assert practice.phase is Phase.MARKED
    assert [mark.told for mark in window.contents.practise.sheet.marks] == [False]
    assert window.contents.practise.legend.text().startswith("Stroke: your press.")


def test_a_press_beside_its_target_is_a_cross_and_one_ring_and_both_are_named(window, qtbot, practice, player):
    """Of several phrases that turn, only the one that the press was measured against is ringed."""
    practice.choose(Wish("bring-in", 1))
    practice.start()
    trial, screen = practice.trial, window.contents.practise
    assert len(trial.targets_s) > 1
    practice.attempt.tap(Tap(player.start_s + float(trial.targets_s[1]) + trial.period_s, "key", True))
    practice.tick()
    screen.redraw()
    assert [mark.error_ms for mark in screen.sheet.marks] == [None]
    (ring,) = (mark for mark in screen.sheet.truth.marks if mark.shape is Shape.RING)
    assert ring.at_s == pytest.approx(trial.targets_s[1], abs=1e-5)
    assert any(mark.shape is Shape.ONE for mark in screen.sheet.truth.marks)
    assert screen.legend.text() == ("Stroke: your press. Cross: met no target. Diamond: a one of the other record.")


@pytest.mark.parametrize("who", ["perfect", "random"])
def test_an_introduction_says_why_there_is_neither_right_nor_wrong(window, qtbot, practice, player, who):
    practice.choose(Wish("stopped-beat"))
    play(window, qtbot, player, who)
    result = practice.result
    assert (practice.trial.rung, result.right) == (INTRODUCTION, None)
    told = "It was the introduction, which is not marked."
    if result.given == result.expected:
        told = f"That is what you said. {told}"
    news = NEW_RUNG(rung=3, rungs=9, what="invented")
    practice.attempt.news = news
    window.contents.practise.redraw()
    shown = [each.text() for each in window.contents.practise.findChildren(QLabel) if each.isVisible()]
    assert any(unbroken(told) in text for text in shown)
    assert any(f"{unbroken(told)} {spoken(news)}" in text for text in shown)  # numbers stay with their words
    assert "\N{NO-BREAK SPACE}" in spoken(news)


def test_a_right_answer_is_told_once(window, qtbot, practice, player):
    practice.choose(Wish("in-line", 1))
    screen = window.contents.practise
    for right in (True, False):
        practice.start()
        practice.ask_now()
        keys = [choice.key for choice in practice.trial.choices]
        practice.answer_with(next(key for key in keys if (key == practice.trial.expected) is right))
        screen.redraw()
        assert screen.versions.isHidden() is right
        assert screen.figures.isHidden()


def test_the_legend_names_the_marks_that_stand_on_the_sheet(window, qtbot, practice, player):
    practice.choose(Wish("one", 3))
    screen = window.contents.practise
    tap_some(window, qtbot, player, 0)
    assert (practice.phase, screen.legend.text()) == (Phase.VOID, "")
    tap_some(window, qtbot, player, 0)
    assert screen.legend.text() == "Ring: a target missed."
    tap_some(window, qtbot, player, len(practice.trial.targets_s) - 1)
    assert "Ring: a target missed." in screen.legend.text()
    assert "Cross" not in screen.legend.text()
    assert "Grey" not in screen.legend.text()


def test_the_choices_have_their_names_and_the_mode_its_sentence(window, practice, qtbot):
    """What is chosen freely is named above each control; the sentence below changes with the mode."""
    qtbot.keyClick(window, Qt.Key.Key_C)
    row = window.contents.practise.choosing.wishes
    names = [each.text() for each in row.findChildren(QLabel) if each.isVisible()]
    assert {"Rung", "Groove", "Tempo", "Mode"} <= set(names)
    for mode, word in ((Mode.PLAIN, "Plain:"), (Mode.BUSY, "With a side task:"), (Mode.BARE, "Bare:")):
        row.mode.setCurrentIndex(row.mode.findData(mode))
        assert practice.wish.mode is mode
        assert row.mode_words.text().startswith(word)


@pytest.mark.parametrize("rung", [1, 6])
def test_a_right_drum_has_all_drums_to_hear_and_to_see(window, qtbot, practice, player, rung):
    """Each by its name, in the bar on the sheet and one after the other by H."""
    practice.choose(Wish("drum", rung))
    play(window, qtbot, player, "perfect")
    screen, names = window.contents.practise, [spoken(choice.say) for choice in practice.trial.choices]
    shown = [box.name.text() for box in screen.versions.boxes if not box.isHidden()]
    assert sorted(shown) == sorted(names)
    assert shown[0] == names[[choice.key for choice in practice.trial.choices].index(practice.trial.expected)]
    assert screen.sheet.isVisible()
    assert [spoken(mark.say) for mark in screen.sheet.truth.marks if mark.say is not None] == names
    assert screen.legend.text() == "Diamond: a stroke in the bar that you heard."
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_H)
    assert player.playing
    for at, (start_s, end_s) in enumerate(practice.attempt.replaying._made.spans_s):
        player.now_s = player.start_s + (start_s + end_s) / 2
        screen.tick()
        assert [box.property("state") for box in screen.versions.boxes].index("now") == at
