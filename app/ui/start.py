"""From the command line to a painted window, importing what the first screen needs and no more."""

import os
import secrets
import socket
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from synth.base.errors import Trouble
from synth.base.words import Template

if TYPE_CHECKING:
    from concurrent.futures import Future

    from app.practice.ahead import Wish
    from app.settings import Settings
    from synth.base.words import Say

UNSAVED = Template("start.unsaved", "{trouble}. You can practise; nothing will be saved.")
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


def open_window(
    drill: str | None, rung: int | None, tempo_bpm: float | None, groove: str | None, seed: int | None
) -> int:
    """Open the window, with what is named here chosen, or else as it was left; returns when it is closed.

    The first time, and without anything named, the welcome comes before practice.
    """
    check_screen()
    from PySide6.QtCore import QSize
    from PySide6.QtGui import QIcon
    from PySide6.QtWidgets import QApplication

    from app import version
    from app.cli.desktop import icon_files
    from app.inputs.equipment import Equipment
    from app.logfile import LogFile, log, log_path
    from app.practice.ahead import Ahead, Wish
    from app.practice.practice import Practice
    from app.practice.today import Planned
    from app.settings import Keeper, load, settings_path
    from app.ui import theme
    from app.ui.first_paint import FirstPaint
    from app.ui.interrupt import STATUS, Interrupt
    from app.ui.language import speak
    from app.ui.window import Window, apply
    from exercises.logbook.opening import daily_copy, open_logbook
    from synth.device.clock import utc_now
    from synth.device.playback import Player, settle
    from synth.score.grooves import groove as find_groove
    from synth.score.grooves import grooves

    if groove is not None:
        find_groove(groove)
    path = settings_path()
    loaded = load(path, utc_now())
    settings = loaded.settings
    application = QApplication(sys.argv[:1])
    speak(application, settings.language)
    try:
        opened = open_logbook(None, utc_now(), copy=False)
        logbook, mended, unsaved = opened.logbook, opened.message, None
    except Trouble as trouble:
        logbook, mended, unsaved = None, None, trouble
    workers = ThreadPoolExecutor(1, "trial")
    player = Player(settings.sound_device or None, settings.sample_rate_hz, settings.latency_ms / 1000)
    ahead = Ahead(lambda: secrets.randbelow(2**31), workers)
    practice = Practice(Equipment.of_this_computer(player), logbook, ahead)
    left = _left(settings)
    named = (drill, rung, tempo_bpm, groove, seed) != (None,) * 5
    if named:
        practice.choose(Wish(drill or left.drill, rung, tempo_bpm, groove, seed, way=settings.way))
    else:
        practice.choose(left)
    practice.day = Planned(None if logbook is None else logbook.path, workers, settings.minutes_a_day)
    if not named:
        practice.follow_day(practice.day)

    application.setApplicationName("Tallybar")
    application.setDesktopFileName("tallybar")
    theme.load_fonts()
    apply(settings)
    icon = QIcon()
    for file in icon_files():
        icon.addFile(str(file))
    application.setWindowIcon(icon)
    log_file = LogFile(log_path())
    log_file.open()
    broken: list[Trouble] = []
    grooves(broken=broken)
    notices = [mended] if unsaved is None else [UNSAVED(trouble=unsaved.says)]
    notices += [practice.equipment.notice, *loaded.messages, *(each.says for each in broken)]
    window = Window(practice, Keeper(settings, path), [each for each in notices if each])
    log_file.tell = window.told.emit

    def copied(copy: "Future[Say | None]") -> None:
        """Tell of a copy that could not be made; called by the worker."""
        if copy.cancelled():
            return
        if slip := copy.exception():
            log.error("The day's copy of the logbook was not made.", exc_info=slip)
        elif say := copy.result():
            log.warning("%s", say)
            window.told.emit(say)

    def painted() -> None:
        if os.environ.get("TALLYBAR_PAINTED"):
            print("painted", flush=True)
            application.quit()
            return
        log.info(
            "Tallybar %s, Python %s, %s, %s",
            version(),
            sys.version.split()[0],
            sys.platform,
            application.platformName(),
        )
        if practice.day is not None and practice.day.today is None and not practice.day.making:
            practice.plan_day()  # then the first trial of it is made ahead
        # From now on the stream plays silence: its clock has settled when the first trial starts.
        with suppress(Trouble):  # said when a trial is started
            practice.player.open()
        window.listen()
        settle()
        if logbook is not None:
            # Behind the first trial, which is being made.
            workers.submit(daily_copy, logbook.path, utc_now()).add_done_callback(copied)

    FirstPaint(window, painted)
    room = window.screen().availableSize()
    window.resize(QSize(settings.window_width_px, settings.window_height_px).boundedTo(room))
    if not (settings.first_run_done or named):
        window.show_welcome()
    window.showMaximized() if settings.window_whole_screen else window.show()
    interrupt = Interrupt(window.close)
    status = application.exec()
    interrupt.close()
    workers.shutdown(cancel_futures=True)
    log_file.close()
    return STATUS if interrupt.came else status


def _left(settings: "Settings") -> "Wish":
    """What was chosen when the window was last closed; the beginning where there is no such thing any more."""
    from app.practice.ahead import Wish
    from app.practice.placing import first_of_all
    from exercises.drills import drills
    from exercises.forms.rungs import pick_rung
    from exercises.trial.modes import Mode
    from synth.score.grooves import groove
    from synth.score.metre import check_tempo

    wish = Wish(first_of_all().drill, way=settings.way, mode=Mode(settings.mode))
    if settings.drill not in drills():
        return wish
    wish = replace(wish, drill=settings.drill)
    with suppress(Trouble, ValueError):
        if settings.rung:
            pick_rung(drills()[settings.drill].rungs, settings.rung, settings.drill)
        if settings.groove:
            groove(settings.groove)
        tempo_bpm = check_tempo(settings.tempo_bpm) if settings.tempo_bpm else None
        return replace(wish, rung=settings.rung or None, groove=settings.groove or None, tempo_bpm=tempo_bpm)
    return wish
