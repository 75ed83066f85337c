"""The program's log: a rotating file with the traces of uncaught errors.

It holds nothing that a person practised or typed, so that it can be attached to a report.
"""

import logging
import os
import sys
import threading
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType
from typing import Any

from synth.base.errors import Trouble
from synth.base.files import make_folder
from synth.base.folders import FILE_MODE, log_folder
from synth.base.words import Say, Template

FILE_NAME = "tallybar.log"
# Size of a file, and how many older ones are kept.
LIMIT_BYTES, OLDER_FILES = 256 * 1024, 2

WRONG = Template("logfile.wrong", "Something went wrong inside the program ({what}).")
DETAILS = Template("logfile.details", "The details are in {path}.")

log = logging.getLogger("tallybar")


def log_path() -> Path:
    """File of the program's log."""
    return log_folder() / FILE_NAME


class _PrivateHandler(RotatingFileHandler):
    """Creates its files readable by the user alone."""

    def _open(self) -> Any:
        return open(
            self.baseFilename,
            self.mode,
            encoding=self.encoding,
            errors=self.errors,
            opener=lambda path, flags: os.open(path, flags, FILE_MODE),
        )


class LogFile:
    """Logs uncaught errors of all threads and Qt's warnings between ``open`` and ``close``.

    ``tell`` is given a sentence or two for the person, in whichever thread the error came up. A folder that cannot be
    written leaves the program without a log, and nothing worse.
    """

    def __init__(self, path: Path, tell: Callable[[Say], object] = lambda say: None) -> None:
        self.path, self.tell = path, tell
        self._handler: logging.Handler | None = None
        self._taker: logging.Handler = logging.NullHandler()
        self._before = (sys.excepthook, threading.excepthook)
        self._loud = logging.raiseExceptions

    def open(self) -> None:
        """Install the hooks; the file is made with its first line."""
        from PySide6.QtCore import qInstallMessageHandler

        try:
            make_folder(self.path.parent)
            handler = _PrivateHandler(
                self.path,
                maxBytes=LIMIT_BYTES,
                backupCount=OLDER_FILES,
                delay=True,
                encoding="utf-8",
                errors="replace",
            )
        except (OSError, Trouble):
            handler = None
        self._loud, logging.raiseExceptions = (
            logging.raiseExceptions,
            False,
        )  # a full disk prints no traces of its own
        if handler is not None:
            handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
        self._taker = handler or logging.NullHandler()
        log.addHandler(self._taker)
        log.setLevel(logging.INFO)
        log.propagate = False
        self._handler = handler
        sys.excepthook = self._uncaught
        threading.excepthook = lambda args: self._uncaught(
            args.exc_type, args.exc_value or args.exc_type(), args.exc_traceback
        )
        qInstallMessageHandler(self._from_qt)

    def close(self) -> None:
        """Restore the hooks and close the file."""
        from PySide6.QtCore import qInstallMessageHandler

        qInstallMessageHandler(None)
        sys.excepthook, threading.excepthook = self._before
        logging.raiseExceptions = self._loud
        log.removeHandler(self._taker)
        self._taker.close()

    def _uncaught(self, kind: type[BaseException], slip: BaseException, at: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            self._before[0](kind, slip, at)
            return
        log.error("uncaught", exc_info=(kind, slip, at))
        what = f"{kind.__name__}: {slip}".splitlines()[0][:200]
        line = [WRONG(what=what)]
        if self._handler is not None:
            line.append(DETAILS(path=self.path))
        print("tallybar:", *line, file=sys.stderr)
        for each in line:
            self.tell(each)

    def _from_qt(self, kind: object, context: object, text: str) -> None:
        log.warning("Qt: %s", text)
        if "Debug" not in str(kind) and "Info" not in str(kind):
            print(text, file=sys.stderr)
