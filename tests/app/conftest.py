"""A practice on a silent player and an empty logbook."""

import gc
import shutil
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale

import app.practice.plan.making_plan
import app.ui.help.sounds
import synth.sound.loop
import synth.sound.mixdown
from app.inputs.equipment import Equipment
from app.practice.learner.present_learner import PresentLearner
from app.practice.practice import Practice
from app.practice.records import shelf
from app.practice.trial.next_trial import Ahead
from app.settings import Settings
from app.ui.base import theme
from app.ui.base.garbage import collect_due
from app.ui.dress import apply
from exercises.logbook.store import Logbook
from tests.app.silent import SilentMix, SilentPlayer, silence

LIGHT = Settings(theme="light")


@pytest.fixture
def player() -> SilentPlayer:
    return SilentPlayer()


@pytest.fixture(scope="session")
def _empty(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("empty") / "logbook.sqlite3"
    Logbook.open(path).close()
    return path


@pytest.fixture
def logbook(tmp_path, _empty):
    with Logbook.open(shutil.copy(_empty, tmp_path)) as book:
        yield book


@pytest.fixture
def practice(player, logbook) -> Practice:
    """A practice whose seeds count up from 1, on the player's clock."""
    seeds = iter(range(1, 1000))
    return Practice(Equipment(player), PresentLearner(logbook), Ahead(lambda: next(seeds)), now=lambda: player.now_s)


@pytest.fixture
def no_lesson(monkeypatch):
    """The first plan begins with its first item: the lesson is tested elsewhere."""
    made = app.practice.plan.making_plan.plan
    monkeypatch.setattr(app.practice.plan.making_plan, "plan", lambda *asked: replace(made(*asked), lesson=False))


@pytest.fixture
def unheard(monkeypatch):
    """Trials, loops and examples keep their length and are not mixed: how they sound is tested elsewhere."""
    for mixes in (synth.sound.mixdown, app.ui.help.sounds):
        monkeypatch.setattr(mixes, "mixdown_together", silence)
    monkeypatch.setattr(synth.sound.loop, "Mix", SilentMix)
    monkeypatch.setattr(synth.sound.loop, "scale_to", lambda *_: 1.0)


@pytest.fixture(autouse=True)
def _garbage(qapp, _fonts):
    """Collected between the tests, and by nothing else, as in the program: elsewhere it could come between the end of
    a test and the closing of its widgets, whose Python parts would be gone when they are hidden.

    Closed windows wait for an event loop to delete them; until then their timers would read a logbook that is closed,
    in whatever test comes next.
    """
    gc.disable()
    QLocale.setDefault(QLocale.c())  # whatever language the test before has spoken
    # In light colours at 100 %: a window that is dressed anew while it is shown keeps heights of before for a while.
    apply(LIGHT)
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    collect_due()
    apply(LIGHT)  # here, where no window is left that would be dressed anew


@pytest.fixture(autouse=True)
def _shelf_workers_end(monkeypatch):
    """The threads of a list of records end with the test, whether it closed the list or not."""
    made: list[ThreadPoolExecutor] = []

    def workers(*words) -> ThreadPoolExecutor:
        made.append(ThreadPoolExecutor(*words))
        return made[-1]

    monkeypatch.setattr(shelf, "ThreadPoolExecutor", workers)
    yield
    for each in made:
        each.shutdown(cancel_futures=True)


@pytest.fixture(scope="session", autouse=True)
def _fonts(qapp):
    theme.load_fonts()
