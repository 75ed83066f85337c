"""A window on a practice whose catalogue has five invented records, three of them with a file."""

import numpy as np
import pytest

from app.practice.records import confirming
from app.practice.records.own_records import OwnRecords
from app.session import Session
from app.ui.heading import RECORDS
from app.ui.records.pages import RecordPages
from app.ui.widgets.screens import Screens
from synth.catalogue.catalogue import Catalogue
from tests.app.ui.records.made import OUTLINE, made
from tests.app.windows import open_alone, open_window


@pytest.fixture
def catalogue(tmp_path):
    found = Catalogue()
    for each in made(tmp_path):
        found.keep(each, b"anchors", OUTLINE)
    return found


@pytest.fixture
def own(practice, catalogue, monkeypatch):
    """A practice with these records; sounds have their length and are not mixed."""
    monkeypatch.setattr(
        confirming, "heard", lambda of, grid, stretch, how, rate: np.zeros((round(stretch.long_s * rate), 2), "f4")
    )
    monkeypatch.setattr(
        confirming, "heard_behind", lambda of, grid, intro, bars, how, rate: np.zeros((60 * rate, 2), "f4")
    )
    practice.records = OwnRecords(lambda: catalogue)
    assert practice.records.catalogue is catalogue
    return practice


@pytest.fixture
def window(qtbot, own):
    """The window on its page Records."""
    opened = open_window(qtbot, own, (1280, 800), tab=RECORDS)
    qtbot.waitUntil(lambda: opened.contents.records.list.table.records.rowCount() > 0)
    yield opened
    opened.session.shelf.close()


@pytest.fixture
def pages(request, qtbot, own):
    """The list and the page of a record: those of the window in a test that asks for one, else by themselves."""
    if "window" in request.fixturenames:
        yield request.getfixturevalue("window").contents.records
        return
    session, stack = Session(own), Screens()
    open_alone(qtbot, stack, (1280, 700))
    yield RecordPages(session, stack)
    session.shelf.close()


@pytest.fixture
def screen(qtbot, pages):
    shown = pages.open_list()
    qtbot.waitUntil(lambda: shown.table.records.rowCount() > 0)
    return shown


@pytest.fixture
def page(pages, catalogue):
    """The page of the record that is unsure."""
    pages.open(next(each for each in catalogue if each.title == "Delta"))
    return pages.page
