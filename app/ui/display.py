"""Check that there is a display: Qt would abort without one."""

import os
import socket
import sys
from pathlib import Path

from synth.base.errors import Trouble

NO_SCREEN = "No screen was found, so the window cannot open; the command 'demo' needs none."


def check_screen() -> None:
    """Raise ``Trouble`` if Qt would find no display."""
    if not sys.platform.startswith("linux"):
        return
    # Platforms in the order in which Qt tries them, each perhaps with parameters after a colon.
    wanted = {name.split(":")[0].strip().lower() for name in os.environ.get("QT_QPA_PLATFORM", "").split(";")}
    if any(_ships(name) for name in wanted - {"", "xcb", "wayland"}):
        return
    if wanted & {"", "xcb", "wayland"}:
        display = os.environ.get("DISPLAY", "")
        if os.environ.get("WAYLAND_DISPLAY") or (display and _answers(display)):
            return
    raise Trouble(NO_SCREEN)


def _ships(platform: str) -> bool:
    """Whether Qt has a plugin for a platform."""
    from PySide6.QtCore import QLibraryInfo  # late, as in ``start.open_window``

    plugins = Path(QLibraryInfo.path(QLibraryInfo.LibraryPath.PluginsPath), "platforms")
    return platform.isidentifier() and (plugins / f"libq{platform}.so").exists()


def _answers(display: str) -> bool:
    """Whether an X server answers at DISPLAY; False for an unreachable host."""
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
