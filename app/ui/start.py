"""Starts the window, importing only what its first screen needs."""

import builtins
import gc
import os
import sys
from collections.abc import Mapping
from importlib import import_module
from typing import TYPE_CHECKING, Any

from app.ui.display import check_screen

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

WITHOUT_QT = (
    "exercises.calibration.calibration",
    "exercises.learner.placement",
    "exercises.learner.plan",
    "exercises.logbook.opening",
    "synth.device.playback",
)


def open_window(named: Mapping[str, Any]) -> int:
    """Open the window with the fields of a ``Wish`` that were named, otherwise as it was left.

    Returns when it is closed. The first time, with nothing named, the welcome comes first.
    """
    check_screen()
    gc.disable()  # nothing of the start is garbage; the window's collector takes over
    _import_without_qt()
    from PySide6.QtWidgets import QApplication

    _import_plainly()
    import app.ui.window
    from app import ctrl_c
    from app.session import open_session
    from app.ui.base import theme
    from app.ui.base.language import speak
    from app.ui.dress import apply
    from app.ui.first_paint import FirstPaint
    from app.ui.interrupt import STATUS, Interrupt

    if ctrl_c.came():
        return STATUS
    application = QApplication(sys.argv[:1])
    session = open_session(named)
    settings = session.keeper.now
    session.count_in(speak(application, settings.language))
    _name(application)
    theme.load_fonts()
    apply(settings)
    window = app.ui.window.Window(session)
    if session.log_file is not None:
        session.log_file.tell = window.told.emit

    def painted() -> None:
        if os.environ.get("TALLYBAR_PAINTED"):
            print("painted", flush=True)
            application.quit()
            return
        _log_start(application.platformName())
        window.listen()
        session.warm_up(window.told.emit)

    FirstPaint(window, painted)
    window.open_as_left(welcome=not (settings.first_run_done or session.named))
    interrupt = Interrupt(window.close)
    status = application.exec()
    interrupt.close()
    session.close()
    return STATUS if interrupt.came else status


def _import_without_qt() -> None:
    """Import the lower rooms before Qt: once PySide is there, it reads the source of every module imported."""
    for name in WITHOUT_QT:
        import_module(name)
    from exercises.drills import drills

    drills()


def _import_plainly() -> None:
    """Let Python import as it did before Qt was.

    PySide6 reads the source of every module that is imported after it, in search of a switch that the program does
    not use (its ``shibokensupport.feature``, which keeps Python's own function as ``__orig_import__``).
    """
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)


def _name(application: "QApplication") -> None:
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
