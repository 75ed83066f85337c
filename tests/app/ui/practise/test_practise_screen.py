"""The practise screen: what stops when it is left, what it says while something goes on, what its keys do."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent, QShortcut
from PySide6.QtWidgets import QApplication, QPushButton

from app.inputs.taps import Tap
from app.practice.pause import Sitting
from app.practice.plan.planned import Planned
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.ui.foot import Foot
from app.ui.practise.screen import PractiseScreen
from app.ui.window import Window
from exercises.logbook.store import Logbook
from synth.base.errors import Trouble
from synth.base.words import say
from synth.device.faults import Fault, FaultKind
from tests.app.later import Later
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def window(qtbot, practice, player) -> Window:
    practice.now = lambda: player.now_s
    return open_window(qtbot, practice, (1280, 800))


@pytest.fixture
def screen(window) -> PractiseScreen:
    return window.contents.practise


def tick(screen, player, at_s: float) -> None:
    player.now_s = player.start_s + at_s
    screen.tick()


def pressed(screen, qtbot, practice, player) -> None:
    """A second record brought in."""
    practice.choose(Wish("bring-in", 1))
    qtbot.keyClick(screen, Qt.Key.Key_Return)
    player.now_s = player.start_s + float(practice.trial.targets_s[0])
    practice.attempt.tap(Tap(player.now_s, "key", True))
    screen.tick()
    assert practice.phase is Phase.MARKED


# -- what is left ---------------------------------------------------------------------------------------------------


def test_leaving_the_screen_ends_what_is_heard_once_more(window, screen, qtbot, practice, player):
    practice.choose(Wish("beat", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    qtbot.keyClick(window, Qt.Key.Key_Space)
    tick(screen, player, practice.attempt.trial_end_s() + 0.001)
    qtbot.keyClick(window, Qt.Key.Key_H)
    assert (practice.again, player.playing) == (True, True)
    window.contents.show_tab(1)
    assert (practice.again, player.playing) == (False, False)
    assert practice.phase is Phase.MARKED


def test_what_a_press_brings_about_never_begins_on_another_screen(window, screen, qtbot, practice, player):
    later, marked = Later(), practice.ahead.replaying
    practice.ahead.replaying = lambda *how: replace(marked(*how), workers=later)
    pressed(screen, qtbot, practice, player)
    assert practice.goes_on
    window.contents.show_tab(2)
    window.contents.logbook.open_screen().wait()
    later.run()
    plays = player.plays
    screen.tick()
    assert (practice.again, player.plays) == (False, plays)


def test_the_keyboard_stays_with_the_screen_that_is_shown(window, screen):
    window.contents.show_tab(99)
    QApplication.focusWidget().clearFocus()
    name = window.contents.settings._learner
    name.setFocus()
    assert name.hasFocus()
    for happens in (
        screen.redraw,
        lambda: window.change({"theme": "dark"}),
        lambda: window.told.emit(say("A line.")),
    ):
        happens()
        assert name.hasFocus()


def test_showing_the_figures_leads_the_keyboard_to_the_next_step(window, screen, qtbot, practice, player):
    """Its button goes away: Qt would lead to the next one, where the space bar takes the trial out of the count."""
    practice.choose(Wish("beat", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    for at_s in practice.trial.targets_s:
        practice.attempt.tap(Tap(player.start_s + float(at_s), "key", True))
    tick(screen, player, practice.attempt.trial_end_s() + 0.001)
    shows = next(each for each in screen.figures.findChildren(QPushButton) if each.text() == "Show it in figures")
    qtbot.mouseClick(shows, Qt.MouseButton.LeftButton)
    assert shows.isHidden()
    assert screen.steps.next.hasFocus()


# -- what it says ---------------------------------------------------------------------------------------------------


def test_a_dropout_while_listening_is_told_while_it_goes_on(window, screen, qtbot, practice, player):
    practice.choose(Wish("count-along", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    player.faults = (Fault(FaultKind.UNDERFLOW),)
    tick(screen, player, 3.0)
    assert practice.phase is Phase.SOUNDING
    assert screen.notice.isVisible()
    assert screen.notice.text() == "The sound stumbled for a moment; it goes on."


def test_a_blend_without_an_output_is_told(screen, qtbot, practice, player):
    pressed(screen, qtbot, practice, player)
    player.play = lambda *_, **__: (_ for _ in ()).throw(Trouble("No sound output was found."))
    screen.tick()
    assert screen.notice.text() == "No sound output was found."


def test_a_week_that_cannot_be_read_is_left_out(qtbot, practice, monkeypatch):
    monkeypatch.setattr(Logbook, "rows", lambda *_: (_ for _ in ()).throw(Trouble("The logbook is damaged.")))
    foot = Foot(practice, Sitting())
    qtbot.addWidget(foot)
    assert foot.week.text() == ""


def test_the_next_step_says_what_it_does(qtbot, window, screen, practice, player, logbook, no_lesson):
    """By its description, for a screen reader, and under the mouse."""

    def said() -> str:
        step = screen.steps.next
        assert step.toolTip() == step.accessibleDescription()
        return step.toolTip().removesuffix(" The Return key does the same.")

    assert said() == "Starts the sound."
    practice.choose(Wish("drum", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert said() == "Ends the sound and asks."
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    practice.follow_day(Planned(logbook.path))
    practice.plan_day()
    screen.tick()
    assert said() == "Starts the sound."
    screen.skip()
    for _ in range(practice.today.item.trials):
        qtbot.keyClick(window, Qt.Key.Key_Return)
        tick(screen, player, practice.attempt.trial_end_s() + 0.001)
        if practice.phase is Phase.ASKING:
            screen.answer(str(practice.trial.expected))
        assert practice.phase is Phase.MARKED
    assert said() == "Starts the sound."  # of the next item
    practice.today.at = len(practice.today.plan.items)
    screen.redraw()
    assert said() == "Goes back to today's plan."
    while practice.phase is not Phase.READY:
        screen.go_on()
    assert said() == "Opens the logbook."


# -- what its keys do -----------------------------------------------------------------------------------------------


def test_return_while_listening_leaves_it_sounding(window, screen, qtbot, practice, player):
    """Nothing is asked, so there is nothing to come to; Escape breaks it off."""
    practice.choose(Wish("count-along", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    tick(screen, player, 3.0)
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    assert player.playing


def test_no_step_is_taken_again_while_its_key_is_held(screen):
    """S held a little long would skip the whole plan."""
    steps = screen.steps.findChildren(QShortcut)
    assert {each.key().toString() for each in steps} >= {"S", "M", "Return", "Esc"}
    assert [each.key().toString() for each in steps if each.autoRepeat()] == []


# -- taps are acknowledged ------------------------------------------------------------------------------------------


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("drill", "strokes"), [("beat", 3), ("count-along", 3), ("drum", 3)])
def test_every_tap_has_its_stroke_whatever_the_trial_asks(window, screen, qtbot, practice, player, drill, strokes):
    """With the space bar, on a sheet that is shown or blank; where none is asked for, none is kept."""
    practice.choose(Wish(drill, 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    for at_s in (1.0, 1.5, 2.0):
        tick(screen, player, at_s)
        press = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier, " ")
        press.setTimestamp(round(at_s * 1000))
        QApplication.sendEvent(window.windowHandle(), press)
    assert screen.sheet.tapped == strokes
    assert len(practice.attempt.taps) == (strokes if drill == "beat" else 0)
    screen.stop()


def test_a_tap_from_another_input_has_its_stroke_too(window, screen, qtbot, practice, player):
    practice.choose(Wish("beat", 1))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    practice.attempt.tap(Tap(player.start_s + 1.0, "midi", True))
    tick(screen, player, 1.01)
    assert screen.sheet.tapped == 1
    screen.stop()


class Ticks:
    """Counts ticks."""

    on, count = True, 0

    def begin(self) -> None: ...
    def close(self) -> None: ...
    def tick(self) -> None:
        self.count += 1


@pytest.mark.parametrize(("source", "ticks"), [("midi", 1), ("mic", 0)])
def test_a_tap_ticks_by_choice_and_not_while_claps_are_listened_for(window, screen, practice, player, source, ticks):
    ticker = practice.equipment.ticker = Ticks()
    practice.choose(Wish("beat", 1))
    screen.go_on()
    practice.equipment.inputs.append(StillInput(source))
    practice.attempt.tap(Tap(player.start_s + 1.0, "midi", True))
    tick(screen, player, 1.01)
    assert ticker.count == ticks
    screen.stop()


def test_the_tick_is_chosen_under_sound_and_taps(window, monkeypatch):
    monkeypatch.setattr("synth.device.ticker.open_device", None)
    session = window.session
    session.ticker.begin = lambda: None
    card = window.contents.open_sound().sound
    assert not card.tick.isChecked()
    card.tick.setChecked(True)
    assert session.keeper.now.tap_tick
    assert session.ticker.on


class StillInput:
    """An input from which nothing comes."""

    name, trouble, fault = "", None, None

    def __init__(self, source: str) -> None:
        self.source = source

    def begin(self, *_) -> None: ...
    def take(self) -> list:
        return []

    def rest(self) -> None: ...
    def check(self) -> None:
        return None


# -- right and wrong, heard again -----------------------------------------------------------------------------------


def answered(screen, practice, player, right: bool) -> None:
    practice.start()
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    screen.tick()
    keys = [choice.key for choice in practice.trial.choices]
    practice.answer_with(next(key for key in keys if (key == practice.trial.expected) is right))
    screen.redraw()


def test_right_and_wrong_differ_in_word_shape_and_weight(window, screen, practice, player):
    """In the picture of the sign and of the heading, not in their colours: both are ink."""
    practice.choose(Wish("faster", 2))
    seen = {}
    for right in (True, False):
        answered(screen, practice, player, right)
        sign = screen.sign.grab().toImage()
        dark = sum(sign.pixelColor(x, y).lightness() < 90 for x in range(sign.width()) for y in range(sign.height()))
        seen[right] = screen.heading.text().split(".")[0], dark, screen.heading.font().weight()
    assert (seen[True][0], seen[False][0]) == ("Right", "Not yet")
    assert seen[True][1] > 2 * seen[False][1]
    assert seen[True][2] > seen[False][2]


def test_both_versions_are_named_as_they_sound(window, screen, qtbot, practice, player):
    practice.choose(Wish("in-line", 1))
    answered(screen, practice, player, False)
    expected, given = (str(each.say) for each in practice.attempt.replaying.versions)
    boxes = [box for box in screen.versions.boxes if not box.isHidden()]
    assert [box.name.text() for box in boxes] == [expected, given]
    qtbot.keyClick(window, Qt.Key.Key_H)
    assert player.playing
    for at, (start_s, end_s) in enumerate(practice.attempt.replaying._made.spans_s):
        tick(screen, player, (start_s + end_s) / 2)
        assert [box.property("state") == "now" for box in boxes] == [at == 0, at == 1]
    answered(screen, practice, player, True)
    assert screen.versions.isHidden()


def test_the_count_is_followed_while_the_taps_are_heard_again(window, screen, qtbot, practice, player):
    practice.choose(Wish("one", 3))
    practice.start()
    for at_s in practice.trial.targets_s:
        practice.attempt.tap(Tap(player.start_s + float(at_s), "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    screen.tick()
    heard = player.samples
    qtbot.keyClick(window, Qt.Key.Key_H)
    assert player.samples is not heard
    assert len(player.samples) == len(heard)
    assert screen.legend.text().startswith("High wood block: met its target.")
    tick(screen, player, float(practice.trial.count.beats_s[6]) + 0.01)
    assert screen.sheet.sounding == 6
    player.playing = False
    screen.tick()
    assert screen.legend.text().startswith("Stroke: ")
