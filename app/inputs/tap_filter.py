"""Takes taps, and answers to the side task, out of the window's events while a trial sounds."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.inputs.taps import TapReader
from app.practice.practice import Practice
from exercises.trial.side_task import Key
from synth.device.clock import now_s

# A tap a beat at 60 BPM comes every second; whoever has stopped for longer means what the key then says.
REST_MS = 1100
SIDE_KEYS = {Qt.Key.Key_Left: Key.LEFT, Qt.Key.Key_Right: Key.RIGHT}


class Rest(QTimer):
    """After the last tap: a key that was tapped with means nothing until it has rested for a moment.

    Whoever taps on past the end presses no button with it.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.setSingleShot(True)
        self.setInterval(REST_MS)
        self.timeout.connect(self.end)
        self._keys: frozenset[int] = frozenset()

    def begin(self, keys: set[int]) -> None:
        """Take these keys out of the events of the whole application."""
        application = QApplication.instance()
        assert application is not None
        self._keys = frozenset(keys)
        application.installEventFilter(self)
        self.start()

    def end(self) -> None:
        """Every key means again what it says."""
        self.stop()
        application = QApplication.instance()
        if application is not None:
            application.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take what is a tap that came after the end; each begins the rest anew."""
        if event.type() not in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            return False
        assert isinstance(event, QKeyEvent)
        if event.key() not in self._keys:
            return False
        event.accept()  # else its shortcut would come before its key press
        self.start()
        return True


class TapFilter(QObject):
    """While it is on: any key but the steering ones, a click or a touch on ``sheet`` is a tap.

    Key events are taken where they enter the window, before any control sees them. ``stop`` is called for Escape.
    Once it is off, the keys that were tapped with have their ``Rest``.
    """

    def __init__(
        self, practice: Practice, sheet: QWidget, side: QWidget, stop: Callable[[], None], tapped: Callable[[], None]
    ) -> None:
        super().__init__(sheet)
        self._practice, self._sheet, self._side = practice, sheet, side
        self._stop, self._tapped = stop, tapped
        self._reader = TapReader()
        self._on = False
        self._tapped_with: set[int] = set()
        self._rest = Rest(self)

    def turn_on(self) -> None:
        """Watch the events of the whole application."""
        self._on, self._tapped_with = True, set()
        self._rest.end()
        application = QApplication.instance()
        assert application is not None
        application.installEventFilter(self)

    def turn_off(self) -> None:
        """Let events pass, but for the last taps of somebody who taps on."""
        application = QApplication.instance()
        if self._on and application is not None:
            self._on = False
            application.removeEventFilter(self)
            self._rest.begin(self._tapped_with)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take what is a tap or an answer, and every key while taps are asked for."""
        practice = self._practice
        self._reader.watch(event)
        if not practice.by_taps and practice.side is None:
            if event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Space:
                self._tapped_with.add(Qt.Key.Key_Space)  # along with the drums, though nothing is tapped here
            return False
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if practice.side is not None and event.key() in SIDE_KEYS:
                if not event.isAutoRepeat():
                    practice.side_answer(now_s(), SIDE_KEYS[event.key()])
                return True
            if not practice.by_taps:
                return False
            steers = event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
            if steers or event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
                if event.key() == Qt.Key.Key_Escape:
                    self._stop()
                return event.key() == Qt.Key.Key_Escape
        elif event.type() == QEvent.Type.KeyRelease:
            return True
        elif watched is self._side and event.type() == QEvent.Type.MouseButtonPress:
            assert isinstance(event, QMouseEvent)
            half = Key.LEFT if event.position().x() < self._side.width() / 2 else Key.RIGHT
            practice.side_answer(now_s(), half)
            return True
        elif watched is not self._sheet or not practice.by_taps:
            return False
        tap = self._reader.read(event)
        if tap is not None:
            if isinstance(event, QKeyEvent):
                self._tapped_with.add(event.key())
            practice.tap(tap)
            self._tapped()
        return tap is not None or event.type() == QEvent.Type.KeyPress
