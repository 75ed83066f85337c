"""A session as it opens: a change of marking is told once, to those who have trials."""

import pytest

from app.session import MARKED_ANEW, open_session
from app.settings import Settings, load, save, settings_path, text_of
from exercises.drills import drill
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from exercises.trial.versions import MARKING
from synth.device.clock import utc_now


def opening() -> tuple:
    session = open_session({})
    try:
        return session.opening
    finally:
        session.close()


@pytest.mark.parametrize("before", ["", "marking = 2\n"])
def test_after_an_upgrade_one_line_tells_of_the_marking_and_never_again(before):
    trial = drill("beat").make(1, 1)
    answer = Answer(trial.targets_s)
    with Logbook.open() as logbook:
        logbook.add(record(trial, answer, drill("beat").mark(trial, answer), when=utc_now().astimezone()))
    save(Settings(), settings_path())
    kept = [line for line in text_of(Settings()).splitlines() if not line.startswith("marking")]
    settings_path().write_text("\n".join([*kept, before]))
    assert MARKED_ANEW() in opening()
    assert load(settings_path(), utc_now()).settings.marking == MARKING
    assert MARKED_ANEW() not in opening()


def test_without_trials_there_is_nothing_to_tell():
    assert MARKED_ANEW() not in opening()
    save(Settings(marking=0), settings_path())
    assert MARKED_ANEW() not in opening()
    assert load(settings_path(), utc_now()).settings.marking == MARKING
