"""One desk for all end-to-end tests of a worker; skipped with the reason where it cannot stand."""

import pytest

from tests.end_to_end.desk import Desk, Hand, Recorder, missing
from tests.reported import reported

FIGURE = "figure"


@pytest.hookimpl(trylast=True)  # after they were put in random order
def pytest_collection_modifyitems(items):
    """The longest file first, so that the workers end at about the same time."""
    items.sort(key=lambda item: item.path.stem != "test_soak")


@pytest.fixture(scope="session")
def kept_desk(tmp_path_factory):
    """A private screen and sound server."""
    lacking = missing()
    if lacking:
        pytest.skip(lacking)
    with Desk(tmp_path_factory.mktemp("desk")) as running:
        yield running


@pytest.fixture
def desk(kept_desk):
    """The desk as every test finds it, whatever came before: sound, and no JACK server."""
    if kept_desk.sound.poll() is not None:
        kept_desk.start_sound()
    yield kept_desk
    kept_desk.stop_jack()


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
    """Keep a line for the end of the test run, where it is printed whether the test passed or not."""
    return lambda line: request.node.user_properties.append((FIGURE, line))


def pytest_terminal_summary(terminalreporter):
    """Print what the tests found, whichever worker ran them."""
    lines = [line for _, line in reported(terminalreporter, FIGURE)]
    if lines:
        terminalreporter.section("figures")
        for line in lines:
            terminalreporter.write_line(line)
