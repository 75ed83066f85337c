"""Starts the window: first its first picture, then all that is behind it.

Importing the practice, with numpy below it, takes longer than all that the first picture needs.
"""

from __future__ import annotations

import builtins
import gc
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Any

from app import ctrl_c
from app.settings import Loaded, load, settings_path
from app.ui.display import check_screen
from synth.device.clock import utc_now

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from app.session import Session
    from app.ui.behind import Behind
    from app.ui.window import Window

# How long a thread keeps Python's lock, in s. Qt gives it away at every call: by default the window would then wait
# 5 ms for the thread that imports, each time.
SWITCH_S = 0.0005


def open_window(named: Mapping[str, Any]) -> int:
    """Open the window with the fields of a ``Wish`` that were named, otherwise as it was left.

    Returns when it is closed. The first time, with nothing named, the welcome comes first.
    """
    check_screen()
    gc.disable()  # nothing of the start is garbage; the window's collector takes over
    # Qt is imported here and not above: the commands and their tests of a screen do without it.
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    _import_plainly()
    from app.ui.base import theme
    from app.ui.base.language import speak
    from app.ui.dress import apply
    from app.ui.first_paint import FirstPaint
    from app.ui.interrupt import STATUS, Interrupt
    from app.ui.opening import Opening
    from app.ui.window import Window

    if ctrl_c.came():
        return STATUS
    application = QApplication(sys.argv[:1])
    loaded = load(settings_path(), utc_now())
    settings = loaded.settings
    language = speak(application, settings.language)
    _name(application)
    theme.load_fonts()
    apply(settings)
    welcome = not (settings.first_run_done or named)
    window = Window(Opening(settings, welcome=welcome, planned=not named))
    start = Start(application, window, named, loaded, language)
    FirstPaint(window, start.painted)
    window.open_as_left()
    interrupt = Interrupt(window.close)
    QTimer.singleShot(0, start.fill)
    status = application.exec()
    interrupt.close()
    start.end()
    return STATUS if interrupt.came else status


class Start:
    """What follows the first picture: the imports, the session, the window's contents, the devices.

    Threads import and look for devices. The steps of the window's thread are short; between two of them it is painted
    and can be closed. Keys and clicks wait for the contents.
    """

    def __init__(
        self, application: QApplication, window: Window, named: Mapping[str, Any], loaded: Loaded, language: str
    ) -> None:
        from PySide6.QtCore import QEventLoop

        self._application, self._window, self._filling = application, window, QEventLoop()
        self._named, self._loaded, self._language = named, loaded, language
        self._session: Session | None = None
        self._slip: BaseException | None = None
        self._behind: Behind | None = None
        self._steps = self._each_step()

    def fill(self) -> None:
        """Run the application until the window has its contents; what the learner does meanwhile comes after that."""
        self._filling.exec(self._filling.ProcessEventsFlag.ExcludeUserInputEvents)

    def painted(self) -> None:
        """Begin, now that the first picture is painted."""
        if os.environ.get("TALLYBAR_PAINTED"):
            print("painted", flush=True)
            self._application.quit()
            return
        sys.setswitchinterval(SWITCH_S)
        self._go_on()

    def _go_on(self) -> None:
        """Take the next step; the one after it follows when the thread that it asks for is done."""
        from PySide6.QtCore import QTimer

        from app.ui.behind import Behind

        try:
            if self._behind is not None and self._behind.slip is not None:
                raise self._behind.slip
            work = next(self._steps)
        except StopIteration:
            return
        except BaseException as slip:  # raised from ``open_window``: Qt would print it and go on
            self._slip = slip
            self._application.exit()
            return
        if work is None:
            QTimer.singleShot(0, self._go_on)
        else:
            self._behind = Behind(work, self._go_on)
            self._behind.begin()

    def _each_step(self) -> Iterator[Callable[[], object] | None]:
        """Work for a thread before the next step, or None."""
        yield _import_behind
        from app.session import open_session

        session = self._session = open_session(self._named, self._loaded)
        session.count_in(self._language)
        if session.log_file is not None:
            session.log_file.tell = self._window.told.emit
        yield None
        self._window.take(session)
        if not (session.keeper.now.first_run_done or session.named):
            self._window.contents.show_welcome()
        self._filling.quit()
        yield None
        _log_start(self._application.platformName())
        session.plan()
        yield partial(_load_behind, lesson=session.new_here)
        self._window.listen()
        yield None
        session.warm_up(self._window.told.emit)

    def end(self) -> None:
        """Close what was opened, after the window; raises what kept it from opening."""
        if self._behind is not None:
            self._behind.end()
        if self._session is not None:
            self._session.close()
        if self._slip is not None:
            raise self._slip


def _import_behind() -> None:
    for name in ("app.session", "app.ui.contents"):
        import_module(name)
    from exercises.drills import drills

    drills()


def _load_behind(*, lesson: bool) -> None:
    from app.session import look_for_devices

    look_for_devices()
    if lesson:
        import_module("app.ui.help.lesson")


def _import_plainly() -> None:
    """Let Python import as it did before Qt was.

    PySide6 reads the source of every module that is imported after it, in search of a switch that the program does
    not use (its ``shibokensupport.feature``, which keeps Python's own function as ``__orig_import__``).
    """
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)


def _name(application: QApplication) -> None:
    """Set the program's name and icon for the desktop."""
    from PySide6.QtGui import QIcon

    import assets

    application.setApplicationName("Tallybar")
    application.setDesktopFileName("tallybar")
    icon = QIcon()
    for file in sorted(assets.path("icons").glob("tallybar-*.png")):
        icon.addFile(str(file))
    application.setWindowIcon(icon)


def _log_start(platform: str) -> None:
    from app import version
    from app.logfile import log

    log.info("Tallybar %s, Python %s, %s, %s", version(), sys.version.split()[0], sys.platform, platform)
