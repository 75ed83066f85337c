"""What the practise screen shows and says to a screen reader while a drill is on a record: nothing of drums."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

import app.inputs.tap_filter
import app.inputs.taps
from app.practice.records.own_records import ANY, OwnRecords
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.ui.base.language import speak
from exercises.drills import drills
from exercises.trial.trial import Kind
from synth.catalogue.recording import State
from synth.device.stamps import StampClock
from tests.app.practice.records.test_own_records import Shelf, recording
from tests.app.practice.records.test_words_on_records import DRUMS
from tests.app.ui.base.test_language_of_the_window import _texts
from tests.app.ui.practise.test_every_drill import play
from tests.app.windows import open_window
from tests.exercises.test_recorded import ON_RECORDS

pytestmark = [pytest.mark.usefixtures("unheard"), pytest.mark.proof]


@pytest.fixture
def shelf(tmp_path):
    return Shelf(*(recording(tmp_path, digit, tempo_bpm=119.0 + digit, state=State.CONFIRMED) for digit in (1, 2, 3)))


@pytest.fixture(params=["en", "es"])
def window(request, qtbot, qapp, practice, player, shelf, monkeypatch):
    for reads in (app.inputs.taps, app.inputs.tap_filter):
        monkeypatch.setattr(reads, "now_s", lambda: player.now_s)
    monkeypatch.setattr(StampClock, "to_clock", lambda self, stamp_ms, now_s: (now_s, "handler"))
    practice.records = OwnRecords(lambda: shelf)
    assert practice.records.catalogue is shelf
    speak(qapp, request.param)
    opened = open_window(qtbot, practice, (1180, 760))
    yield opened
    speak(qapp, "en")
    opened.session.shelf.close()


def shown(screen: QWidget) -> set[str]:
    """Every text of the widgets that are in sight."""
    return {text for text, part in _texts(screen).items() if part.isVisible()}


def test_nothing_in_sight_speaks_of_drums(window, qtbot, practice, player):
    """Before a trial of any drill, while it sounds, with its question, and with its result, right or wrong."""
    screen, found = window.contents.practise, {}
    for one in ON_RECORDS:
        for rung, who in ((1, "perfect"), (len(one.rungs), "random")):
            screen.stop()
            screen.choose(Wish(one.id, rung, record=ANY))
            said = [screen._words.lead(), screen._words.soft()]
            if one.kind is Kind.NONE:  # nothing is asked or marked
                qtbot.keyClick(window, Qt.Key.Key_Return)
                assert practice.phase is Phase.SOUNDING
            else:
                play(window, qtbot, player, who)
                assert practice.phase is Phase.MARKED
            assert (practice.trial.drill, practice.trial.recorded is not None) == (one.id, True)
            texts = {*said, *shown(screen)}
            assert len(texts) > 5
            found |= {text: (one.id, rung) for text in texts if DRUMS.search(text)}
    assert found == {}


def test_what_is_known_of_own_sound_alone_still_is_said_of_it(window, practice):
    """The check above finds words: on the program's own drums there are some."""
    practice.choose(Wish("one", 4))
    assert DRUMS.search(window.contents.practise._words.soft())
    assert drills()["one"].records
