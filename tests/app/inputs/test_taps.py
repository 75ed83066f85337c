"""Which events are taps, and when they happened."""

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPointingDevice

from app.inputs.taps import TapReader


def key(code, *, repeat=False, modifiers=Qt.KeyboardModifier.NoModifier, kind=QEvent.Type.KeyPress) -> QKeyEvent:
    return QKeyEvent(kind, code, modifiers, "x", repeat)


def mouse(source=Qt.MouseEventSource.MouseEventNotSynthesized) -> QMouseEvent:
    at = QPointF(5, 5)
    button = Qt.MouseButton.LeftButton
    return QMouseEvent(
        QEvent.Type.MouseButtonPress, at, at, at, button, button, Qt.KeyboardModifier.NoModifier, source,
        QPointingDevice.primaryPointingDevice(),
    )  # fmt: skip


def test_space_and_letters_are_taps():
    reader = TapReader()
    assert reader.read(key(Qt.Key.Key_Space)).source == "key"
    assert reader.read(key(Qt.Key.Key_J)).source == "key"


def test_a_held_key_taps_once():
    assert TapReader().read(key(Qt.Key.Key_Space, repeat=True)) is None


def test_a_repeat_that_came_as_a_release_and_a_press_of_one_moment_is_no_tap():
    """XKB protocol, "Detectable Autorepeat" (from memory): without it a held key gives releases and presses."""
    reader, told = TapReader(), []
    for kind, stamp_ms in (("press", 1000), ("release", 1660), ("press", 1660), ("release", 1700), ("press", 1740)):
        event = key(Qt.Key.Key_Space, kind=QEvent.Type.KeyPress if kind == "press" else QEvent.Type.KeyRelease)
        event.setTimestamp(stamp_ms)
        reader.watch(event)
        told.append(reader.read(event) is not None)
    assert told == [True, False, False, False, True]


def test_releases_and_steering_keys_are_no_taps():
    reader = TapReader()
    assert reader.read(key(Qt.Key.Key_Space, kind=QEvent.Type.KeyRelease)) is None
    for code in (Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Shift, Qt.Key.Key_F11):
        assert reader.read(key(code)) is None
    assert reader.read(key(Qt.Key.Key_S, modifiers=Qt.KeyboardModifier.ControlModifier)) is None


def test_a_mouse_button_is_a_tap_and_its_copy_of_a_touch_is_not():
    reader = TapReader()
    assert reader.read(mouse()).source == "mouse"
    assert reader.read(mouse(Qt.MouseEventSource.MouseEventSynthesizedByQt)) is None


def test_an_event_without_a_stamp_counts_from_when_it_was_handled():
    tap = TapReader().read(key(Qt.Key.Key_Space))
    assert not tap.stamped


def test_two_keys_at_once_are_two_taps():
    reader = TapReader()
    assert reader.read(key(Qt.Key.Key_F)) is not None
    assert reader.read(key(Qt.Key.Key_J)) is not None
