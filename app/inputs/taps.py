"""Turns Qt's key, mouse and touch events into taps."""

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

# Keys that control the window and are never taps.
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
# Events with stamps, from which the clock relation is learnt before the first tap.
_STAMPED = frozenset({QEvent.Type.KeyPress, QEvent.Type.KeyRelease, QEvent.Type.MouseMove})
_FUNCTION_KEYS = range(Qt.Key.Key_F1, Qt.Key.Key_F35 + 1)


@dataclass(frozen=True, slots=True)
class Tap:
    """One tap: ``at_s`` on the common clock, ``source`` "key", "mouse", "touch", "midi" or "mic".

    ``stamped`` is true where the time comes from the event's own stamp, false for the less accurate time of
    handling. ``velocity`` is that of a MIDI note, 1 to 127.
    """

    at_s: float
    source: str
    stamped: bool
    velocity: int | None = None


class Input(Protocol):
    """Taps from outside the window: ``source`` as in a tap, ``name`` of the latest device.

    ``begin`` and ``rest`` mark start and end of a sound; ``take`` returns the taps since the last call. ``trouble``
    says why there is no input, ``fault`` why the taps since ``begin`` are unreliable. ``check`` says after a sound
    why it may have brought no tap, None where it works.
    """

    source: str
    name: str
    trouble: Say | None
    fault: Fault | None

    def begin(self, player: Player, samples: Samples) -> None: ...
    def take(self) -> list[Tap]: ...
    def rest(self) -> None: ...
    def check(self) -> Say | None: ...


class TapReader:
    """Turns input events into taps; None for other events (auto-repeat, steering keys)."""

    def __init__(self) -> None:
        self._stamps = StampClock()
        self._released = 0, 0  # key, stamp

    def watch(self, event: QEvent) -> None:
        """Learn from any key or mouse event the relation of stamps and the common clock, and what was released."""
        if event.type() in _STAMPED:
            assert isinstance(event, QInputEvent)
            self._stamps.to_clock(event.timestamp(), now_s())
        if event.type() == QEvent.Type.KeyRelease:
            assert isinstance(event, QKeyEvent)
            self._released = event.key(), event.timestamp()

    def repeats(self, event: QKeyEvent) -> bool:
        """Whether a press is the repeat of a held key.

        X11 repeats a key by a release and a press with one stamp; Qt marks them as a repeat only if the press has
        arrived by the time that it handles the release.
        """
        released_with_it = event.timestamp() > 0 and self._released == (event.key(), event.timestamp())
        return event.isAutoRepeat() or released_with_it

    def read(self, event: QEvent) -> Tap | None:
        """The tap of an event, or None."""
        handled_s = now_s()
        source = self._source(event)
        if source is None:
            return None
        assert isinstance(event, QInputEvent)
        at_s, origin = self._stamps.to_clock(event.timestamp(), handled_s)
        return Tap(at_s, source, stamped=origin == "stamp")

    def _source(self, event: QEvent) -> str | None:
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if self.repeats(event) or event.key() in _STEERING or event.key() in _FUNCTION_KEYS:
                return None
            held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
            return None if held else "key"
        if event.type() in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick):
            assert isinstance(event, QMouseEvent)
            # Qt synthesises a mouse press from an unhandled touch: already a tap.
            return "mouse" if event.source() == Qt.MouseEventSource.MouseEventNotSynthesized else None
        if event.type() in (QEvent.Type.TouchBegin, QEvent.Type.TouchUpdate):
            assert isinstance(event, QTouchEvent)
            # A second finger is an update of the touch.
            down = any(finger.state() == QEventPoint.State.Pressed for finger in event.points())
            return "touch" if down else None
        return None
