"""Another language, chosen while the window is open, holds at once and leaves nothing of the old one behind."""

from dataclasses import replace
from datetime import date

import pytest
import shiboken6
from PySide6.QtCore import QAbstractAnimation, QCoreApplication, QEvent, QLocale, QObject, Qt, QTranslator
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QWidget

import assets
from app.inputs.taps import Tap
from app.practice.plan.placing import Placing
from app.practice.trial.attempt import Phase
from app.session import Session
from app.settings import Keeper, Settings
from app.ui.base import theme
from app.ui.base.language import speak
from app.ui.base.numbers_and_dates import day_words
from app.ui.dress import dress
from app.ui.heading import BOARD, HELP, LOGBOOK, PRACTISE, SETTINGS, SOUND
from app.ui.window import Window
from synth.base.words import say
from synth.device.faults import Fault, FaultKind

pytestmark = pytest.mark.sampled(4)

# What a window may have to tell at its start.
UNSAVED = Fault(FaultKind.UNDERFLOW).says


@pytest.fixture
def window(qtbot, practice, qapp, monkeypatch):
    """The window in English, as set, on a computer without sound devices; all is English again afterwards."""
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", tuple)
    monkeypatch.setattr("app.ui.screens.sound_card.microphones", tuple)
    before = QLocale()
    speak(qapp, "en", QLocale("C"))
    theme.set_text_scale(1.0)
    dress(theme.LIGHT)
    made = Window(Session(practice, Keeper(Settings(language="en", first_run_done=True))))
    qtbot.addWidget(made)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    yield made
    speak(qapp, "en", QLocale("C"))
    QLocale.setDefault(before)


def choose(window: Window, name: str) -> None:
    """Pick a language in the settings as a learner does, and let Qt delete what is old."""
    window.contents.show_tab(SETTINGS)
    next(b for b in window.contents.settings.findChildren(QAbstractButton) if b.text() == name).click()
    settle()


def settle() -> None:
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QCoreApplication.processEvents()


def things(window: Window) -> int:
    """How many objects a window has, without those by which Qt moves its contents to their place for a moment."""
    return sum(not isinstance(each, QAbstractAnimation) for each in window.findChildren(QObject))


def visible_texts(window: Window) -> set[str]:
    """All that can be read or is read aloud just now."""
    found: set[str] = set()
    for part in window.findChildren(QWidget):
        if part.isVisible():
            found |= {part.accessibleName(), part.accessibleDescription(), part.toolTip()}
            if isinstance(part, QLabel | QAbstractButton):
                found.add(part.text())
            if isinstance(part, QComboBox):
                found |= {part.itemText(at) for at in range(part.count())}
    return found - {""}


@pytest.mark.proof
def test_every_screen_speaks_the_language_that_was_chosen(window, qtbot):
    """All were open before. Each English text that the table, read by Qt itself, translates must have gone."""
    places = (BOARD, LOGBOOK, SOUND, HELP, PRACTISE)
    english = set()
    for place in places:
        window.contents.show_tab(place)
        english |= visible_texts(window)
    choose(window, "Español")
    assert window.contents.stack.currentWidget() is window.contents.settings
    assert QLocale().decimalPoint() == ","
    assert all(part.locale().decimalPoint() == "," for part in window.findChildren(QWidget))
    assert day_words(date(2030, 5, 1)) == "1 may 2030"
    spanish = set()
    for place in places:
        window.contents.show_tab(place)
        spanish |= visible_texts(window)
    table = QTranslator()
    assert table.load("tallybar_es", str(assets.path("languages")))
    screens = ("Heading", "PractiseScreen", "BoardScreen", "LogbookScreen", "SoundScreen", "HelpScreen", "help")
    contexts = (*screens, "BoardLine", "BoardChoices", "CalibrationCard", "SoundCard", "ChoosePage", "DrillsModel")
    known = {text: {table.translate(about, text) for about in contexts} - {"", text, None} for text in english}
    translated = {text for text, found in known.items() if found}
    assert len(translated) > 60
    assert translated & spanish == set()


def test_the_keyboard_stays_where_the_choice_was_made(window, qtbot):
    choose(window, "Español")
    focus = window.focusWidget()
    assert isinstance(focus, QAbstractButton)
    assert focus.text() == "Español"
    qtbot.keyClick(window, Qt.Key.Key_6, Qt.KeyboardModifier.ControlModifier)
    assert window.contents.stack.currentWidget() is window.contents.help


@pytest.mark.proof
def test_nothing_of_the_old_language_is_left(window):
    """What was shown is deleted, and going there and back leaves as many things as there were."""
    for place in (BOARD, LOGBOOK, SOUND, HELP, SETTINGS):
        window.contents.show_tab(place)
    window.contents.logbook.open_screen().wait()
    old = [
        window.centralWidget(),
        window.contents.practise,
        window.contents.board,
        window.contents.sound,
        window.contents.help,
        window.contents.settings,
    ]
    choose(window, "Español")
    assert [part for part in old if shiboken6.isValid(part)] == []
    choose(window, "English")
    many = things(window)
    for name in ("Español", "English", "Español", "English"):
        choose(window, name)
    assert things(window) == many


def test_a_trial_that_sounds_is_broken_off_first(window, qtbot, practice, player, logbook):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    window.change({"language": "es"})
    settle()
    assert (practice.phase, player.playing, logbook.count()) == (Phase.READY, False, 0)
    assert window.contents.stack.currentWidget() is window.contents.practise
    qtbot.keyClick(window, Qt.Key.Key_Space)  # no tap: nobody listens for them any more
    assert practice.attempt is None
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING


def test_a_result_stays_and_is_told_anew(window, qtbot, practice, player):
    qtbot.keyClick(window, Qt.Key.Key_Return)
    for target in practice.trial.targets_s:
        practice.attempt.tap(Tap(player.start_s + float(target), "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    window.contents.practise.tick()
    result, said = practice.result, window.contents.practise.heading.text()
    window.change({"language": "es"})
    assert practice.result is result
    assert window.contents.practise.heading.text() not in ("", said)


def test_the_board_the_volume_and_the_help_stay_as_they_were(window, player):
    window.contents.show_tab(BOARD)
    window.contents.board.pace(2.0)
    lesson = window.contents.board.board.phrase
    window.contents.volume.setValue(52)
    window.contents.show_help("spread")
    gain = player.gain
    window.change({"language": "es"})
    settle()
    assert window.contents.help.page.id == "spread"
    window.contents.show_tab(BOARD)
    assert window.contents.board.board.phrase == replace(lesson, language="es")
    assert (window.contents.volume.value(), player.gain) == (52, gain)


def test_the_welcome_speaks_the_language_chosen_on_its_first_page(window, qtbot):
    """Somebody who reads no English need not find the settings first."""
    window.contents.show_welcome()
    settle()
    welcome = window.contents.first_run.welcome
    spanish = next(b for b in welcome.findChildren(QAbstractButton) if b.text() == "Español")
    qtbot.mouseClick(spanish, Qt.MouseButton.LeftButton)
    settle()
    assert not shiboken6.isValid(welcome)
    welcome = window.contents.first_run.welcome
    assert window.contents.stack.currentWidget() is welcome
    assert welcome.next.text() == "Seguir"
    assert not window.contents.tabs.button(PRACTISE).isVisible()
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert welcome.page == 1


def test_a_placement_run_goes_on(window, practice):
    window.contents.show_welcome()
    window.contents.first_run.welcomed(True)
    run = window.contents.first_run.bar.run
    assert isinstance(run, Placing)
    window.change({"language": "es"})
    settle()
    assert window.contents.first_run.bar.run is run
    assert window.contents.first_run.bar.isVisible()
    assert practice.course is run


def test_what_was_told_at_the_start_still_holds(qtbot, practice, window):
    """In the other language; a line about a trial that is over does not."""
    window.session.opening = (UNSAVED,)
    practice.notices = [UNSAVED, say("And this.")]
    window.change({"language": "es"})
    assert practice.notices == [UNSAVED]
    assert window.contents.practise.notice.text() == "el sonido se quedó sin datos"
    window.session.opening = ()
    practice.notices = [say("This trial does not count.")]
    window.change({"language": "en"})
    assert practice.notices == []


def test_the_voice_follows_the_window_or_the_choice(window):
    """For trials made ahead, the board and the help; a choice of its own stays through a change of the window's."""
    session = window.session
    assert (session.language, session.board.phrase.language) == ("en", "en")
    for choice, spoken in (
        ({"language": "es"}, "es"),
        ({"voice": "en"}, "en"),
        ({"language": "en"}, "en"),
        ({"voice": "es"}, "es"),
        ({"voice": "window"}, "en"),
    ):
        window.change(choice)
        assert (session.language, session.practice.ahead.language, session.board.phrase.language) == (spoken,) * 3
