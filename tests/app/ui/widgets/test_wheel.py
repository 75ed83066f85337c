"""The mouse wheel scrolls the page; it changes a control only where the learner is in it."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSlider, QAbstractSpinBox, QApplication, QComboBox, QScrollBar, QWidget

import app
from app.ui.heading import PRACTISE, SETTINGS, SOUND
from app.ui.screens.sound_card import SoundCard
from app.ui.widgets.controls import Slider
from tests.app.windows import open_window

MAKES = re.compile(r"\bQ(ComboBox|SpinBox|DoubleSpinBox|Slider|Dial|DateEdit|TimeEdit|DateTimeEdit|FontComboBox)\(\S")
CHANGING = (QComboBox, QAbstractSpinBox, QAbstractSlider)


@pytest.fixture
def window(qtbot, practice, monkeypatch):
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", tuple)
    monkeypatch.setattr("app.ui.screens.sound_card.microphones", tuple)
    opened = open_window(qtbot, practice, (900, 600))
    yield opened
    opened.session.shelf.close()


def turn(control: QWidget) -> None:
    """Turn the wheel over a control, a notch down and one up."""
    middle = QPointF(control.rect().center())
    for way in (-1, 1):
        none, still = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
        phase = Qt.ScrollPhase.NoScrollPhase
        where, by = control.mapToGlobal(middle), QPoint(0, 120 * way)
        QApplication.sendEvent(control, QWheelEvent(middle, where, QPoint(), by, none, still, phase, False))


def value(control: QWidget) -> object:
    return control.currentIndex() if isinstance(control, QComboBox) else control.value()


def changing(window) -> Iterator[QWidget]:
    """Every control of every page that a wheel could change, also those that are made on first use."""
    window.contents.practise.choosing.show_fold(unfolded=True)
    for tab in window.contents.tabs.buttons():
        tab.click()
    if window.contents.logbook.screen is not None:
        window.contents.logbook.screen.wait()
    window.contents.show_welcome()
    who = window.contents.practise.who.box
    found = [each for kind in CHANGING for each in window.findChildren(kind)]
    assert who in found
    yield from (each for each in found if not isinstance(each, QScrollBar))


def test_no_control_of_any_page_changes_while_the_learner_is_elsewhere(window):
    found = list(changing(window))
    assert len(found) > 15
    for control in found:
        told, before = [], value(control)
        (control.currentIndexChanged if isinstance(control, QComboBox) else control.valueChanged).connect(told.append)
        assert not control.focusPolicy() & Qt.FocusPolicy.WheelFocus & ~Qt.FocusPolicy.StrongFocus, control
        assert not control.hasFocus()
        turn(control)
        assert (value(control), told) == (before, []), control.accessibleName()


def test_every_such_control_is_made_by_one_module():
    """So that the next one keeps the rule too; the controls there override the wheel of their base class."""
    room = Path(app.__file__).parent
    found = [path.name for path in room.rglob("*.py") if MAKES.search(path.read_text(encoding="utf-8"))]
    assert found == []


def test_the_page_scrolls_under_a_control_that_is_left_alone(window):
    """The event goes through the window here, which hands it on to the control's parents."""
    window.resize(900, 700)
    window.contents.show_tab(SOUND)
    QApplication.processEvents()
    rate = window.contents.sound.findChild(SoundCard).rate
    place = rate.mapTo(window, rate.rect().center())
    assert window.childAt(place) is rate
    QTest.wheelEvent(window.windowHandle(), QPointF(place), QPoint(0, -120))
    assert rate.mapTo(window, rate.rect().center()).y() < place.y()


def test_a_control_in_use_takes_the_wheel(window):
    window.contents.show_tab(SETTINGS)
    minutes = window.contents.settings._minutes
    minutes.setFocus()
    told = []
    minutes.valueChanged.connect(told.append)
    turn(minutes)
    assert len(told) == 2


def test_what_a_calibration_hangs_on_is_never_changed_by_the_wheel(window):
    """Not even in use, as after a choice from its list: the keys and the list change it."""
    window.contents.show_tab(SOUND)
    card = window.contents.sound.findChild(SoundCard)
    for box in (card.output, card.rate, card.latency, card.input):
        told = []
        box.currentIndexChanged.connect(told.append)
        box.setFocus()
        turn(box)
        assert told == []


def test_the_volume_moves_by_the_wheel_only_while_it_has_the_keyboard(window):
    window.contents.show_tab(PRACTISE)
    volume = window.contents.volume
    assert isinstance(volume, Slider)
    told = []
    volume.valueChanged.connect(told.append)
    turn(volume)
    assert told == []
    volume.setFocus()
    turn(volume)
    assert told
