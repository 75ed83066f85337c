"""Where Qt's events become taps: the one file that knows key, mouse and touch events."""

from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QEventPoint, QInputEvent, QKeyEvent, QMouseEvent, QTouchEvent

from synth.base.arrays import Samples
from synth.base.words import Say
from synth.device.clock import now_s
from synth.device.faults import Fault
from synth.device.playback import Player
from synth.device.stamps import StampClock

# Keys that steer the window and so never count as a tap.
_STEERING = frozenset(
    {
        Qt.Key.Key_Escape,
        Qt.Key.Key_Return,
        Qt.Key.Key_Enter,
        Qt.Key.Key_Tab,
        Qt.Key.Key_Backtab,
        Qt.Key.Key_Shift,
        Qt.Key.Key_Control,
        Qt.Key.Key_Alt,
        Qt.Key.Key_AltGr,
        Qt.Key.Key_Meta,
        Qt.Key.Key_CapsLock,
    }
)
# Events that are stamped when they happen: each teaches the way from stamps to the one clock, so that the first tap
# need not.
_STAMPED = frozenset({QEvent.Type.KeyPress, QEvent.Type.KeyRelease, QEvent.Type.MouseMove})
_FUNCTION_KEYS = range(Qt.Key.Key_F1, Qt.Key.Key_F35 + 1)


@dataclass(frozen=True, slots=True)
class Tap:
    """One tap on the one clock.

    ``at_s`` is the moment on the clock, ``source`` "key", "mouse", "touch", "midi" or "mic"; ``stamped`` says whether
    the moment comes from the event's own stamp or, less surely, from when it was handled. ``velocity`` is that of a
    MIDI note, 1 to 127.
    """

    at_s: float
    source: str
    stamped: bool
    velocity: int | None = None


class Input(Protocol):
    """Taps from elsewhere than the window: ``source`` as in a tap, ``name`` of what the latest came from.

    ``begin`` and ``rest`` tell when something is heard and when it is over; ``take`` gives the taps since the last
    call. ``trouble`` says why it cannot be heard, ``fault`` why what came since ``begin`` cannot be trusted.
    """

    source: str
    name: str
    trouble: Say | None
    fault: Fault | None

    def begin(self, player: Player, samples: Samples) -> None: ...
    def take(self) -> list[Tap]: ...
    def rest(self) -> None: ...


class TapReader:
    """Turns input events into taps. Events that are no taps (auto-repeat, steering keys) give ``None``."""

    def __init__(self) -> None:
        self._stamps = StampClock()

    def watch(self, event: QEvent) -> None:
        """Learn from any key or mouse event how its stamp and the one clock belong together."""
        if event.type() in _STAMPED:
            assert isinstance(event, QInputEvent)
            self._stamps.to_clock(event.timestamp(), now_s())

    def read(self, event: QEvent) -> Tap | None:
        """The tap that an event is, if it is one."""
        handled_s = now_s()
        source = self._source(event)
        if source is None:
            return None
        assert isinstance(event, QInputEvent)
        at_s, origin = self._stamps.to_clock(event.timestamp(), handled_s)
        return Tap(at_s, source, stamped=origin == "stamp")

    @staticmethod
    def _source(event: QEvent) -> str | None:
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.isAutoRepeat() or event.key() in _STEERING or event.key() in _FUNCTION_KEYS:
                return None
            held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
            return None if held else "key"
        if event.type() in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick):
            assert isinstance(event, QMouseEvent)
            # Qt makes a mouse press out of an unhandled touch: that tap has been read already.
            return "mouse" if event.source() == Qt.MouseEventSource.MouseEventNotSynthesized else None
        if event.type() in (QEvent.Type.TouchBegin, QEvent.Type.TouchUpdate):
            assert isinstance(event, QTouchEvent)
            # A finger that comes down while another rests is an update.
            down = any(finger.state() == QEventPoint.State.Pressed for finger in event.points())
            return "touch" if down else None
        return None
