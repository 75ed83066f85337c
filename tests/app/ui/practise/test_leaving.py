"""Leaving a trial: nothing is asked, what was not kept is told, and a question waits while its help is read."""

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QApplication

from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.practice.trial.void_messages import CLOSED
from app.session import open_session
from app.settings import Keeper, Settings, settings_path
from app.ui.base.language import speak
from app.ui.heading import BOARD, HELP, LOGBOOK, PRACTISE, SETTINGS, SOUND
from app.ui.window import Window
from synth.device.faults import Fault, FaultKind
from tests.app.ui.practise.test_every_drill import answer_by_keys, tick
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)

NOT_KEPT = "You left the trial, so it was not kept."


@pytest.fixture
def window(qtbot, practice, monkeypatch) -> Window:
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", tuple)
    monkeypatch.setattr("app.ui.screens.sound_card.microphones", tuple)
    return open_window(qtbot, practice, (1180, 760))


def sound(window, qtbot, drill="drum", rung=1) -> None:
    window.contents.practise.choose(Wish(drill, rung))
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert window.session.practice.phase is Phase.SOUNDING


def ask(window, qtbot, player, drill="drum", rung=1) -> None:
    sound(window, qtbot, drill, rung)
    tick(window, player, window.session.practice.attempt.trial_end_s() + 0.001)
    assert window.session.practice.phase is Phase.ASKING


def notice(window) -> str:
    shown = window.contents.practise.notice
    return "" if shown.isHidden() else shown.text()


def test_a_trial_that_sounds_is_left_without_a_question_and_told(window, qtbot, practice, player, logbook):
    for place in (BOARD, LOGBOOK, SOUND, HELP, SETTINGS):
        sound(window, qtbot)
        window.contents.show_tab(place)
        assert (place, practice.phase, player.playing) == (place, Phase.READY, False)
        assert QApplication.activeModalWidget() is None
        if window.contents.logbook.screen is not None:
            window.contents.logbook.screen.wait()
        window.contents.show_tab(PRACTISE)
        assert notice(window) == NOT_KEPT
        assert logbook.trials(5) == []
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert notice(window) == ""
        qtbot.keyClick(window, Qt.Key.Key_Escape)


def test_a_question_waits_while_its_help_is_read(window, qtbot, practice, player, logbook):
    """By F1 or by a tab; what was typed stands, and the answer is marked as if nothing had been."""
    for known, place in enumerate((HELP, LOGBOOK, SETTINGS), start=1):
        ask(window, qtbot, player, "stopped-bar")
        attempt, panel = practice.attempt, window.contents.practise.panel
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_2)
        if place == HELP:
            qtbot.keyClick(window, Qt.Key.Key_F1)
            assert window.contents.stack.currentWidget() is window.contents.help
        else:
            window.contents.show_tab(place)
        if window.contents.logbook.screen is not None:
            window.contents.logbook.screen.wait()
        window.contents.practise.tick()
        window.contents.show_tab(PRACTISE)
        assert practice.attempt is attempt
        assert practice.phase is Phase.ASKING
        assert notice(window) == ""
        assert [field.text() for field in panel.body.fields] == ["2", ""]
        assert panel.isAncestorOf(QApplication.focusWidget())
        panel.body.fields[0].setFocus()
        answer_by_keys(window, qtbot, practice, practice.trial.expected)
        assert practice.result.right
        assert len(logbook.trials(5)) == known


def test_a_question_does_not_wait_where_something_else_sounds_or_is_measured(window, qtbot, practice, player):
    for place in (BOARD, SOUND):
        ask(window, qtbot, player)
        window.contents.show_tab(place)
        assert practice.phase is Phase.READY
        window.contents.show_tab(PRACTISE)
        assert notice(window) == NOT_KEPT


@pytest.fixture
def _english_after(qapp):
    yield
    speak(qapp, "en", QLocale("C"))


@pytest.mark.usefixtures("_english_after")
def test_a_question_outlasts_another_language(window, qtbot, practice, player):
    ask(window, qtbot, player)
    window.contents.show_tab(SETTINGS)
    window.change({"language": "es"})
    window.contents.show_tab(PRACTISE)
    QApplication.processEvents()
    assert practice.phase is Phase.ASKING
    assert window.contents.practise.panel.isVisible()


def test_what_is_only_heard_once_more_is_left_in_silence(window, qtbot, practice, player):
    ask(window, qtbot, player)
    answer_by_keys(window, qtbot, practice, practice.trial.expected)
    qtbot.keyClick(window, Qt.Key.Key_H)
    window.contents.show_tab(HELP)
    assert not practice.again
    window.contents.show_tab(PRACTISE)
    assert (practice.phase, notice(window)) == (Phase.MARKED, "")


@pytest.mark.parametrize("asked", [False, True])
def test_a_trial_lost_by_closing_is_told_at_the_next_start_and_once(window, qtbot, player, asked):
    window.session.keeper = Keeper(Settings(first_run_done=True), settings_path())
    (ask if asked else lambda *_: sound(window, qtbot))(window, qtbot, player)
    window.close()
    assert not window.isVisible()
    told = []
    for _ in range(2):
        session = open_session({})
        told.append(CLOSED() in session.opening)
        session.close()
    assert told == [True, False]


def test_a_window_closed_between_trials_tells_nothing(window):
    window.session.keeper = Keeper(Settings(first_run_done=True), settings_path())
    window.close()
    assert not window.session.keeper.now.trial_left


def test_a_sound_that_began_again_says_so_until_nothing_plays(window, qtbot, practice, player):
    sound(window, qtbot, "count-along")
    player.faults = (Fault(FaultKind.SILENCE),)
    tick(window, player, 3.0)
    assert practice.phase is Phase.SOUNDING
    assert notice(window) == "The sound broke off for a moment and began again."
    tick(window, player, practice.attempt.trial_end_s() + 0.001)
    assert (practice.phase, notice(window)) == (Phase.READY, "")
    sound(window, qtbot, "count-along")
    player.faults = (Fault(FaultKind.UNDERFLOW),)
    tick(window, player, 3.0)
    assert notice(window) == "The sound stumbled for a moment; it goes on."
    player.faults = ()
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert notice(window) == ""


@pytest.mark.parametrize("by_key", [True, False])
def test_the_help_leads_back_to_a_question_and_to_a_result(window, qtbot, practice, player, by_key):
    """Escape ends a sound first; where no trial waits there is no way back."""
    window.contents.show_help("beat")
    assert window.contents.help.back.isHidden()
    window.contents.show_tab(PRACTISE)
    ask(window, qtbot, player)
    for words in ("Back to the question", "Back to the result"):
        window.contents.show_help("beat")
        screen = window.contents.help
        assert (screen.back.isVisible(), screen.back.accessibleName()) == (True, words)
        screen.hear()
        screen.tick()
        assert screen.playing
        qtbot.keyClick(window, Qt.Key.Key_Escape)
        assert (screen.playing, screen.isVisible()) == (False, True)
        if by_key:
            qtbot.keyClick(window, Qt.Key.Key_Escape)
        else:
            qtbot.mouseClick(screen.back, Qt.MouseButton.LeftButton)
        assert window.contents.practise.isVisible()
        if practice.phase is Phase.ASKING:
            practice.answer_with(str(practice.trial.expected))
            window.contents.practise.redraw()
    assert practice.phase is Phase.MARKED
