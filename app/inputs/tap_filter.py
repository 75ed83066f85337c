"""Takes taps, and answers to the side task, from the window's events while a trial sounds."""

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.inputs.taps import Tap, TapReader
from exercises.trial.side_task import Key
from synth.device.clock import now_s

# Rest in ms: taps at 60 BPM come every second; a longer pause ends tapping.
REST_MS = 1100
# The events that can be taps. While a trial sounds every event of the application comes by.
TAKEN = frozenset(
    {
        *(QEvent.Type.KeyPress, QEvent.Type.KeyRelease, QEvent.Type.MouseMove, QEvent.Type.MouseButtonPress),
        *(QEvent.Type.MouseButtonRelease, QEvent.Type.MouseButtonDblClick),
        *(QEvent.Type.TouchBegin, QEvent.Type.TouchUpdate, QEvent.Type.TouchEnd),
    }
)
# While a key rests, the same.
RESTED = frozenset({QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress, QEvent.Type.KeyRelease})
SIDE_KEYS: dict[int, Key] = {Qt.Key.Key_Left: Key.LEFT, Qt.Key.Key_Right: Key.RIGHT}


class TapTaker(Protocol):
    """A sounding trial that takes taps. ``side`` is None without a side task."""

    @property
    def by_taps(self) -> bool: ...
    @property
    def side(self) -> object | None: ...
    def tap(self, tap: Tap) -> None: ...
    def side_answer(self, at_s: float, key: Key) -> None: ...


class Rest(QTimer):
    """After the trial: ignore the tapping keys until they have rested for a moment.

    So a learner who taps on presses no button.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.setSingleShot(True)
        self.setInterval(REST_MS)
        self.timeout.connect(self.end)
        self._keys: frozenset[int] = frozenset()

    def begin(self, keys: set[int]) -> None:
        """Start filtering these keys in the whole application; without any, every event would come by for nothing."""
        if not keys:
            return
        application = QApplication.instance()
        assert application is not None
        self._keys = frozenset(keys)
        application.installEventFilter(self)
        self.start()

    def end(self) -> None:
        """Stop filtering."""
        self.stop()
        application = QApplication.instance()
        if application is not None:
            application.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Drop taps after the end; each restarts the rest."""
        if event.type() not in RESTED:
            return False
        assert isinstance(event, QKeyEvent)
        if event.key() not in self._keys:
            return False
        event.accept()  # else its shortcut would precede its key press
        self.start()
        return True


class TapFilter(QObject):
    """While on, any key but the steering ones, a click or a touch on ``sheet`` is a tap.

    Key events are taken before any control sees them. ``stop`` is called for Escape, ``tapped`` with each tap, also
    with the space bar where no taps are asked for. Once off, the tapping keys have their ``Rest``.
    """

    def __init__(
        self, sheet: QWidget, side: QWidget, stop: Callable[[], None], tapped: Callable[[Tap], None]
    ) -> None:
        super().__init__(sheet)
        self._sheet, self._side = sheet, side
        self._stop, self._tapped = stop, tapped
        self._reader = TapReader()
        self._taker: TapTaker | None = None
        self._tapped_with: set[int] = set()
        self._rest = Rest(self)

    def turn_on(self, taker: TapTaker) -> None:
        """Filter the events of the whole application, and give the taps to ``taker``."""
        self._taker, self._tapped_with = taker, set()
        self._rest.end()
        application = QApplication.instance()
        assert application is not None
        application.installEventFilter(self)

    def turn_off(self) -> None:
        """Let events pass, except late taps."""
        application = QApplication.instance()
        if self._taker is not None and application is not None:
            self._taker = None
            application.removeEventFilter(self)
            self._rest.begin(self._tapped_with)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take taps and answers, and every key while taps are asked for."""
        if event.type() not in TAKEN:
            return False
        taker = self._taker
        self._reader.watch(event)
        if taker is None:
            return False
        if not taker.by_taps and taker.side is None:
            if isinstance(event, QKeyEvent) and _pressed(event) and event.key() == Qt.Key.Key_Space:
                self._tapped_with.add(Qt.Key.Key_Space)  # tapping along where nothing is marked
                if watched.isWindowType() and (tap := self._reader.read(event)) is not None:
                    self._tapped(tap)
            return False
        if isinstance(event, QKeyEvent) and _pressed(event):
            side = SIDE_KEYS.get(event.key()) if taker.side is not None else None
            if side is not None:
                if not self._reader.repeats(event):
                    taker.side_answer(now_s(), side)
                return True
            if not taker.by_taps:
                return False
            steers = event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
            if steers or event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
                if event.key() == Qt.Key.Key_Escape:
                    self._stop()
                return event.key() == Qt.Key.Key_Escape
        elif event.type() == QEvent.Type.KeyRelease:
            return True
        elif watched is self._side and isinstance(event, QMouseEvent) and _pressed(event):
            half = Key.LEFT if event.position().x() < self._side.width() / 2 else Key.RIGHT
            taker.side_answer(now_s(), half)
            return True
        elif watched is not self._sheet or not taker.by_taps:
            return False
        tap = self._reader.read(event)
        if tap is not None:
            if isinstance(event, QKeyEvent):
                self._tapped_with.add(event.key())
            taker.tap(tap)
            self._tapped(tap)
        return tap is not None or event.type() == QEvent.Type.KeyPress


def _pressed(event: QEvent) -> bool:
    return event.type() in (QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress)
