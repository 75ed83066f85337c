"""One desk for all end-to-end tests; skipped with the reason where it cannot stand."""

import pytest

from tests.end_to_end.desk import Desk, Hand, Recorder, missing


@pytest.fixture(scope="session")
def desk(tmp_path_factory):
    """A private screen and sound server."""
    lacking = missing()
    if lacking:
        pytest.skip(lacking)
    with Desk(tmp_path_factory.mktemp("desk")) as running:
        yield running


@pytest.fixture
def recorder(desk):
    """Everything that the desk plays during one test."""
    with Recorder(desk) as running:
        yield running


@pytest.fixture
def hand(desk):
    """Presses keys on the desk's screen."""
    running = Hand(desk)
    yield running
    running.close()


@pytest.fixture
def say(request):
    """Print a line to the terminal of the test run, seen without any option."""
    reporter = request.config.pluginmanager.getplugin("terminalreporter")

    def line(text: str) -> None:
        if reporter is None:
            print(text)
        else:
            reporter.write_line("")
            reporter.write(text)

    return line
