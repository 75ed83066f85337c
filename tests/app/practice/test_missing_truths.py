"""Old trials get their own truth while the program runs and nothing sounds."""

import threading
from dataclasses import replace

import pytest

from app.practice import missing_truths
from app.practice.missing_truths import FillingIn
from exercises.drills import drill
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from synth.device.clock import utc_now


@pytest.fixture(autouse=True)
def _at_once(monkeypatch):
    for name in ("FIRST_S", "REST_S"):
        monkeypatch.setattr(missing_truths, name, 0.0)


@pytest.fixture
def old(tmp_path):
    """A logbook with three trials of version 0.2.0."""
    path = tmp_path / "logbook.sqlite3"
    one = drill("one")
    with Logbook.open(path) as logbook:
        for seed in range(3):
            trial = one.make(1, seed)
            answer = Answer(trial.targets_s)
            made = record(trial, answer, one.mark(trial, answer), when=utc_now())
            logbook.add(replace(made, truth=None))
    return path


def untold(path):
    with Logbook.open(path) as logbook:
        return sum(each.truth is None for each in logbook.all())


def test_all_are_filled_in_and_the_thread_ends(old):
    filling = FillingIn(old, lambda: False)
    filling.begin()
    filling._thread.join()
    filling.end()
    assert untold(old) == 0


def test_it_stands_still_while_something_sounds_and_can_be_ended(old):
    asked = threading.Event()

    def playing():
        asked.set()
        return True

    filling = FillingIn(old, playing)
    filling.begin()
    assert asked.wait(20)
    filling.end()
    assert untold(old) == 3


def test_a_logbook_that_cannot_be_read_is_logged(tmp_path, caplog):
    (tmp_path / "none").write_text("no logbook")
    filling = FillingIn(tmp_path / "none", lambda: False)
    filling.begin()
    filling._thread.join()
    filling.end()
    assert "not filled in" in caplog.text
