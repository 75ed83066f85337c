"""Ctrl-C before there is anything that could be closed."""

import os
import signal
import subprocess
import sys

import pytest

from app import ctrl_c

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no signals are sent to one process there")


@pytest.fixture(autouse=True)
def _heard():
    """A shell that runs the tests in the background has them, and what they start, ignore Ctrl-C."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def test_it_is_noted_and_acted_upon_later():
    before = ctrl_c.note()
    try:
        os.kill(os.getpid(), signal.SIGINT)
        assert ctrl_c.came()
        with pytest.raises(KeyboardInterrupt):
            ctrl_c.act()
        assert not ctrl_c.came()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    finally:
        ctrl_c.put_back(before)
    assert signal.getsignal(signal.SIGINT) is before


@pytest.mark.proof
@pytest.mark.parametrize("module", ["app.cli.commands", "PySide6.QtWidgets", "app.ui.window", "app.session"])
def test_within_an_import_it_ends_the_program_without_a_trace(checkout, tmp_path, module):
    """Status 128 + 2 (POSIX); the signal comes as the module begins to be imported."""
    code = (
        "import os, runpy, signal, sys\n"
        "class Press:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        f"        if name == {module!r}:\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Press())\n"
        "sys.argv = ['tallybar']\n"
        "runpy.run_module('app', run_name='__main__')\n"
    )
    own = os.environ | {"TALLYBAR_HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-P", "-c", code],
        cwd=checkout,
        env=own | {"PYTHONPATH": str(checkout)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 130, done.stderr
    assert "Traceback" not in done.stderr


def test_one_that_waits_since_before_python_began_is_noted(checkout, tmp_path):
    """As ``run`` starts the program: the signal is blocked, and came while Python started."""

    def press() -> None:
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        os.kill(os.getpid(), signal.SIGINT)

    done = subprocess.run(
        [sys.executable, "-P", "-m", "app", "drills"],
        cwd=checkout,
        env=os.environ | {"TALLYBAR_HOME": str(tmp_path), "PYTHONPATH": str(checkout)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        preexec_fn=press,
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")
