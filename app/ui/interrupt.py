"""Ctrl-C on the terminal closes the window like its close button."""

import signal
import socket
from collections.abc import Callable

from PySide6.QtCore import QObject, QSocketNotifier, QTimer

from app import ctrl_c

# The shell's status for a program that Ctrl-C ended: 128 and the signal's number, SIGINT = 2 (POSIX.1-2017, 2.8.2).
STATUS = 130


class Interrupt(QObject):
    """Calls ``then`` from Qt's loop at SIGINT; ``came`` tells whether there was one. Make it in the main thread.

    A Python handler does not run while Qt's loop waits. So the handler does nothing, and the signal's number, which
    Python writes to a socket, wakes the loop.
    """

    def __init__(self, then: Callable[[], object]) -> None:
        """One that was noted before (``app.ctrl_c``) counts too."""
        super().__init__()
        self.came = False
        self._then = then
        self._read, self._write = socket.socketpair()
        for end in (self._read, self._write):
            end.setblocking(False)
        self._wake_before = signal.set_wakeup_fd(self._write.fileno(), warn_on_full_buffer=False)
        self._handler_before = signal.signal(signal.SIGINT, lambda *_: None)
        self._notifier = QSocketNotifier(self._read.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._woken)
        if ctrl_c.came():
            QTimer.singleShot(0, self._close)

    def _woken(self) -> None:
        if signal.SIGINT in self._read.recv(64):
            self._close()

    def _close(self) -> None:
        self.came = True
        self._then()

    def close(self) -> None:
        """Restore the previous signal handling."""
        self._notifier.setEnabled(False)
        signal.signal(signal.SIGINT, self._handler_before)
        signal.set_wakeup_fd(self._wake_before)
        self._read.close()
        self._write.close()
