"""What holds for every test: no screen, no data of the person's own, no thread left behind.

Tests marked ``desk`` start the program in a process of its own, on a screen and a sound server of their own, and
give that process its own environment.
"""

import os
import threading
from itertools import count
from pathlib import Path

import pytest
from hypothesis import settings

# Set before any test imports Qt, and whatever the person's own setting is: a unit test opens no window.
os.environ["QT_QPA_PLATFORM"] = "offscreen"
# A unit test that reaches for the person's sound server finds none.
os.environ["PULSE_SERVER"] = "none"

# numba, which librosa compiles with, keeps what it compiled beside librosa; two workers that write there at once
# leave a broken file, and the next call crashes. Each worker keeps its own.
_WORKER = os.environ.get("PYTEST_XDIST_WORKER", "alone")
os.environ["NUMBA_CACHE_DIR"] = str(Path(__file__).parent.parent / ".cache" / f"numba-{_WORKER}")

CI = bool(os.environ.get("CI"))
# No deadline: how long an example takes is no property of it. The same examples on every run of CI.
settings.register_profile("house", deadline=None, max_examples=60, derandomize=CI, database=None, print_blob=True)
settings.load_profile("house")

_numbers = count()


@pytest.fixture(autouse=True)
def home(tmp_path_factory, monkeypatch) -> Path:
    """The folder that the program takes for its data: a new one, not yet made, for each test."""
    folder = tmp_path_factory.getbasetemp() / f"tallybar-home-{next(_numbers)}"
    monkeypatch.setenv("TALLYBAR_HOME", str(folder))
    return folder


def _threads() -> set[threading.Thread]:
    # Threads that Python did not start (Qt's, PortAudio's) show as dummies when they have called into Python once.
    return {thread for thread in threading.enumerate() if not isinstance(thread, threading._DummyThread)}


@pytest.fixture(autouse=True)
def _no_thread_left():
    """Fails a test that leaves a thread running."""
    before = _threads()
    yield
    left = _threads() - before
    for thread in left:
        thread.join(1.0)
    still = sorted(thread.name for thread in left if thread.is_alive())
    assert not still, f"the test left threads running: {', '.join(still)}"


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The folder of the project."""
    return Path(__file__).parent.parent
