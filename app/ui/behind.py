"""Work of a thread, after which the window's thread goes on."""

from collections.abc import Callable
from threading import Thread

from PySide6.QtCore import QObject, Signal


class Behind(QObject):
    """Calls ``work`` in a thread, then ``then`` in this object's own; ``slip`` is what ``work`` raised."""

    _done = Signal()

    def __init__(self, work: Callable[[], object], then: Callable[[], object]) -> None:
        super().__init__()
        self.slip: BaseException | None = None
        self._work = work
        self._thread = Thread(target=self._run, name="behind")
        self._done.connect(then)

    def begin(self) -> None:
        """Start the thread."""
        self._thread.start()

    def _run(self) -> None:
        try:
            self._work()
        except BaseException as slip:  # raised where the window was opened
            self.slip = slip
        self._done.emit()

    def end(self) -> None:
        """Wait for the thread, if it was started; ``then`` is not called any more."""
        self._done.disconnect()
        if self._thread.ident is not None:
            self._thread.join()
