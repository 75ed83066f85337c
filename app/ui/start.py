"""Starts the window: first its first picture, then what is behind it, which takes longer to import."""

import builtins
import gc
import os
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from app import ctrl_c
from app.settings import load, settings_path
from app.ui.display import check_screen
from synth.device.clock import utc_now

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication


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
    from app.ui.interrupt import STATUS, Interrupt
    from app.ui.opening import Opening
    from app.ui.painting import wait_for_paint
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
    window, opening = Window(), Opening(settings, welcome=welcome, planned=not named)
    window.setCentralWidget(opening)
    window.open_as_left(settings)
    wait_for_paint(opening)
    _tell_bench("painted")

    from app.session import open_session  # takes longer than all that is above

    session = open_session(named, loaded)
    session.count_in(language)
    if session.log_file is not None:
        session.log_file.tell = window.told.emit
    window.take(session, welcome=welcome)
    wait_for_paint(window.contents)

    def begin() -> None:
        _log_start(application.platformName())
        window.listen()
        session.warm_up(window.told.emit)

    QTimer.singleShot(0, application.quit if _tell_bench("ready") else begin)  # behind the keys that were kept
    interrupt = Interrupt(window.close)
    status = application.exec()
    interrupt.close()
    session.close()
    return STATUS if interrupt.came else status


def _import_plainly() -> None:
    """Let Python import as it did before Qt was.

    PySide6 reads the source of every module that is imported after it, in search of a switch that the program does
    not use (its ``shibokensupport.feature``, which keeps Python's own function as ``__orig_import__``).
    """
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)


def _tell_bench(word: str) -> bool:
    """Print a word if TALLYBAR_PAINTED asks for it; whether it does."""
    asked = bool(os.environ.get("TALLYBAR_PAINTED"))
    if asked:
        print(word, flush=True)
    return asked


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
