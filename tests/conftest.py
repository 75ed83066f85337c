"""What holds for every test: no screen, no data of the person's own, no thread left behind.

Tests marked ``desk`` start the program in a process of its own, on a screen and a sound server of their own, and
give that process its own environment.
"""

import builtins
import gc
import os
import shutil
import sqlite3
import threading
from collections import Counter, OrderedDict, defaultdict
from contextlib import closing
from datetime import datetime
from itertools import count
from pathlib import Path

import pytest
from hypothesis import settings

from tests.reported import reported

# Set before any test imports Qt, and whatever the person's own setting is: a unit test opens no window.
os.environ["QT_QPA_PLATFORM"] = "offscreen"
# A unit test that reaches for the person's sound server finds none.
os.environ["PULSE_SERVER"] = "none"

CI = bool(os.environ.get("CI"))
# No deadline: how long an example takes is no property of it. The same examples on every run of CI.
settings.register_profile("house", deadline=None, max_examples=60, derandomize=CI, database=None, print_blob=True)
settings.load_profile("house")

_numbers = count()


@pytest.hookimpl(trylast=True)  # after pytest-qt, which imports Qt
def pytest_configure():
    """Let Python import as it did before Qt was, as the program does (``app.ui.start``): three times as fast."""
    builtins.__import__ = getattr(builtins, "__orig_import__", builtins.__import__)


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


# Sounds of kits by all that they follow from, those not used for longest first; and how many bytes of them are kept.
_takes: OrderedDict[tuple, object] = OrderedDict()
MOST_TAKES_BYTES = 96 * 2**20


@pytest.fixture
def kept_takes(monkeypatch):
    """A sound of a kit is rendered once for all tests of a worker: for tests of what is made of kits.

    That it follows from this key alone is what ``tests/synth/sound`` shows, without this fixture.
    """
    from synth.sound.kit import Kit

    render = Kit._render

    def kept(self, voice, first, second):
        key = (self.seed, self.sample_rate_hz, self.contrast, self.family, voice, first, second)
        if key in _takes:
            _takes.move_to_end(key)
            return _takes[key]
        _takes[key] = render(self, voice, first, second)
        while sum(take.samples.nbytes for take in _takes.values()) > MOST_TAKES_BYTES:
            _takes.popitem(last=False)
        return _takes[key]

    monkeypatch.setattr(Kit, "_render", kept)


@pytest.fixture(scope="session")
def _tables() -> bytes:
    """A new logbook, as all migrations leave it."""
    from exercises.logbook.file import prepare

    with closing(sqlite3.connect(":memory:", isolation_level=None)) as made:
        prepare(made, Path(":memory:"))
        return made.serialize()


@pytest.fixture(scope="session", autouse=True)
def _tables_made_once(_tables):
    """A new logbook gets its tables from a copy: the migrations that lead to it take ten times as long."""
    from exercises.logbook import file, store

    version = file.SCHEMA_VERSION

    def prepare(connection: sqlite3.Connection, path: Path) -> None:
        if not (path.exists() and path.stat().st_size) and version == file.SCHEMA_VERSION:
            connection.execute("PRAGMA journal_mode = WAL")  # as the migrations are written
            with closing(sqlite3.connect(":memory:")) as copy:
                copy.deserialize(_tables)
                copy.backup(connection)
        file.prepare(connection, path)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "prepare", prepare)
        yield


@pytest.fixture(scope="session")
def invented_weeks(tmp_path_factory):
    """``invented_weeks(weeks, seed, now)``: the path of a new copy of a logbook of invented weeks.

    Each such logbook is made once in a run, whichever worker asks first; the others wait at SQLite's lock. Drums are
    left out while the trials are made: a logbook keeps none.
    """
    from app.demo.invented import demo_weeks
    from tests.exercises.quiet import leave_out_drums

    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent

    def made(weeks: int, seed: int, now: datetime) -> Path:
        path = shared / f"weeks-{weeks}-{seed}-{now:%Y-%m-%d}.sqlite3"
        with closing(sqlite3.connect(shared / "weeks.lock", timeout=600)) as lock, lock:
            lock.execute("BEGIN EXCLUSIVE")
            if not path.exists():
                beside = path.with_suffix(".new")
                with pytest.MonkeyPatch.context() as patch:
                    leave_out_drums(patch)
                    for _ in demo_weeks(beside, weeks, seed, now=now):
                        pass
                beside.rename(path)
        return Path(shutil.copy(path, tmp_path_factory.mktemp("weeks") / "logbook.sqlite3"))

    return made


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The folder of the project."""
    return Path(__file__).parent.parent


@pytest.hookimpl(tryfirst=True)  # before -m chooses
def pytest_collection_modifyitems(items):
    """Choose what the quick run leaves out, and let the files with most of that come first.

    Invented weeks are left out, which take seconds to make. Of a test marked ``sweep`` some rows are left without the
    mark ``proof``: the first, middle and last; with 1 the middle one; with names those. Of a file marked
    ``sampled(n)`` every n-th test is, in the order of the file.
    """
    rows, of_file = defaultdict(list), defaultdict(list)
    for item in items:
        if "invented_weeks" in item.fixturenames:
            item.add_marker("proof")
        if item.get_closest_marker("sampled"):
            of_file[item.path].append(item)
        if item.get_closest_marker("sweep"):
            rows[item.path, item.getparent(pytest.Class), item.originalname].append(item)
    for tests in of_file.values():
        tests.sort(key=lambda item: (item.location[1], _row_of(item)))  # they come in random order
        for at, item in enumerate(tests):
            if at % item.get_closest_marker("sampled").args[0]:
                item.add_marker("proof")
    for row in rows.values():
        row.sort(key=_row_of)
        named = row[0].get_closest_marker("sweep").args
        middle = row[len(row) // 2]
        kept = [middle] if named == (1,) else [row[0], middle, row[-1]]
        for item in row:
            if item.callspec.id not in named if named and named != (1,) else item not in kept:
                item.add_marker("proof")
    # Workers take files in this order: a long one at the end would keep the others waiting.
    all_of = Counter(item.path for item in items)
    proofs_of = Counter(item.path for item in items if item.get_closest_marker("proof"))
    items.sort(key=lambda item: -proofs_of[item.path] / all_of[item.path])


def _row_of(item: pytest.Item) -> tuple[int, ...]:
    """Where a test stands among those of its parameters."""
    return tuple(item.callspec.indices.values()) if hasattr(item, "callspec") else ()


@pytest.hookimpl(wrapper=True)
def pytest_collection():
    """Collect no garbage while modules and tests are loaded: all of it stays."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


def pytest_collection_finish():
    """Spare the collector what stays until the end: modules, and the tests themselves."""
    gc.collect()
    gc.freeze()


# --- the report: the random seed, and CPU seconds by folder ---

_cpu_s = {"before": 0.0}


def _cpu_now_s() -> float:
    """CPU seconds of this process and of the children that it has waited for."""
    return sum(os.times()[:4])


@pytest.hookimpl(tryfirst=True)  # a worker's own loop asks nobody after it
def pytest_runtestloop():
    _cpu_s["before"] = _cpu_now_s()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    """Note the CPU seconds since the last test ended, fixtures included, in the report of the teardown."""
    report = yield
    if call.when == "teardown":
        now = _cpu_now_s()
        report.user_properties.append(("cpu_s", now - _cpu_s["before"]))
        _cpu_s["before"] = now
    return report


def pytest_terminal_summary(terminalreporter, config):
    """Print how to repeat the order and the draws of this run, and where its CPU time went.

    pytest-randomly prints its seed in the header alone, which -q leaves out.
    """
    spent = Counter()
    for report, seconds in reported(terminalreporter, "cpu_s"):
        spent[str(Path(report.location[0]).parent)] += seconds
    if sum(spent.values()) >= 10:
        terminalreporter.section("CPU seconds by folder")
        for folder, seconds in spent.most_common():
            terminalreporter.write_line(f"{seconds:7.1f}  {folder}")
        terminalreporter.write_line(f"{sum(spent.values()):7.1f}  in all, starting and collecting aside")
    if config.pluginmanager.hasplugin("randomly"):
        seed = config.option.randomly_seed
        terminalreporter.write_line(f"Random seed: {seed}. To repeat it: the same words and --randomly-seed={seed}")
