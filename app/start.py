"""From the command line to a painted window, importing what the first screen needs and no more."""

import os
import secrets
import socket
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress

from synth.errors import Trouble

NO_SCREEN = "No screen was found, so the window cannot open; the command 'demo' needs none."


def check_screen() -> None:
    """``Trouble`` where Qt would find no screen and give up with a trace of its own."""
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM", "") not in ("", "xcb", "wayland"):
        return
    if os.environ.get("WAYLAND_DISPLAY"):
        return
    display = os.environ.get("DISPLAY", "")
    if not display or not _answers(display):
        raise Trouble(NO_SCREEN)


def _answers(display: str) -> bool:
    """Whether an X server listens where DISPLAY points; a host that cannot be reached counts as none."""
    host, _, number = display.rpartition(":")
    screen = number.split(".")[0]
    if not screen.isdecimal():
        return False
    try:
        if host in ("", "unix"):
            with socket.socket(socket.AF_UNIX) as probe:
                probe.connect(f"/tmp/.X11-unix/X{screen}")
        else:
            socket.create_connection((host, 6000 + int(screen)), timeout=2).close()
    except OSError:
        return os.path.exists(display)  # noqa: PTH110 - a launchd socket path on macOS
    return True


def open_window(drill: str, rung: int | None, tempo_bpm: float | None, groove: str | None, seed: int | None) -> int:
    """Open the window with a drill chosen; returns when it is closed."""
    check_screen()
    from PySide6.QtWidgets import QApplication

    from app import theme
    from app.ahead import Ahead, Wish
    from app.practice import Practice
    from app.window import FirstPaint, Window, dress
    from exercises.logbook.opening import daily_copy, open_logbook
    from synth.clock import utc_now
    from synth.grooves import groove as find_groove
    from synth.playback import Player, settle

    if groove is not None:
        find_groove(groove)
    try:
        opened = open_logbook(None, utc_now(), copy=False)
        logbook, notice = opened.logbook, str(opened.message or "")
    except Trouble as trouble:
        logbook, notice = None, f"{trouble} You can practise; nothing will be saved."
    workers = ThreadPoolExecutor(1, "trial")
    practice = Practice(Player(), logbook, Ahead(lambda: secrets.randbelow(2**31), workers), notice=notice)
    practice.choose(Wish(drill, rung, tempo_bpm, groove, seed))

    application = QApplication(sys.argv[:1])
    application.setApplicationName("Tallybar")
    application.setDesktopFileName("tallybar")
    theme.load_fonts()
    dress(theme.system_theme())
    window = Window(practice)

    def painted() -> None:
        if os.environ.get("TALLYBAR_PAINTED"):
            print("painted", flush=True)
            application.quit()
            return
        practice.prepare()
        # From now on the stream plays silence: its clock has settled when the first trial starts.
        with suppress(Trouble):  # said when a trial is started
            practice.player.open()
        settle()
        if logbook is not None:
            workers.submit(daily_copy, logbook.path, utc_now())  # behind the first trial, which is being made

    FirstPaint(window, painted)
    room = window.screen().availableSize()
    window.resize(window.sizeHint().boundedTo(room))
    window.show()
    status = application.exec()
    workers.shutdown(cancel_futures=True)
    return status
