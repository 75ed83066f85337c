"""A window on a practice whose catalogue has five invented records, three of them with a file."""

import numpy as np
import pytest

from app.practice.records import confirming
from app.practice.records.own_records import OwnRecords
from app.ui.heading import RECORDS
from synth.catalogue.catalogue import Catalogue
from tests.app.ui.records.made import OUTLINE, made
from tests.app.windows import open_window


@pytest.fixture
def catalogue(tmp_path):
    found = Catalogue()
    for each in made(tmp_path):
        found.keep(each, b"anchors", OUTLINE)
    return found


@pytest.fixture
def window(qtbot, practice, catalogue, monkeypatch):
    """The window on its page Records; sounds have their length and are not mixed."""
    monkeypatch.setattr(
        confirming, "heard", lambda of, grid, stretch, how, rate: np.zeros((round(stretch.long_s * rate), 2), "f4")
    )
    monkeypatch.setattr(
        confirming, "heard_behind", lambda of, grid, intro, bars, how, rate: np.zeros((60 * rate, 2), "f4")
    )
    practice.records = OwnRecords(lambda: catalogue)
    assert practice.records.catalogue is catalogue
    opened = open_window(qtbot, practice, (1280, 800), tab=RECORDS)
    qtbot.waitUntil(lambda: opened.contents.records.list.table.records.rowCount() > 0)
    yield opened
    opened.session.shelf.close()


@pytest.fixture
def screen(window):
    return window.contents.records.open_list()


@pytest.fixture
def page(window, catalogue):
    """The page of the record that is unsure."""
    window.contents.records.open(next(each for each in catalogue if each.title == "Delta"))
    return window.contents.records.page
