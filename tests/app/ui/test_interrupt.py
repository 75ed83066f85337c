"""Ctrl-C on the terminal that the window was started from."""

import os
import signal
import subprocess
import sys

import pytest

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no signals are sent to one process there")


@pytest.mark.proof
def test_ctrl_c_closes_the_window_and_keeps_the_choices(checkout, tmp_path):
    """Status 128 + 2 (POSIX), no trace, and the settings are written as at any closing.

    The signal comes when the log tells that the first screen is painted; the window then waits in Qt's loop.
    """
    code = (
        "import app.logfile, os, signal, sys\n"
        "tell = app.logfile.log.info\n"
        "def info(*words):\n"
        "    tell(*words)\n"
        "    from PySide6.QtCore import QTimer\n"
        "    QTimer.singleShot(300, lambda: print('ready', flush=True))\n"
        "app.logfile.log.info = info\n"
        "from app.cli.commands import main\n"
        "sys.exit(main([]))\n"
    )
    own = os.environ | {"TALLYBAR_HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}
    with subprocess.Popen(
        [sys.executable, "-c", code], cwd=checkout, env=own, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout.readline() == "ready\n"
        child.send_signal(signal.SIGINT)
        _, err = child.communicate(timeout=30)
    assert child.returncode == 130
    assert "Traceback" not in err
    assert (tmp_path / "settings.toml").exists()
