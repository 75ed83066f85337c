"""Whose settings these are: older files open with nothing lost, and choices follow the learner."""

import json
from dataclasses import replace

import pytest

from app.learner_settings import FOLLOWS, OF_COMPUTER, forget_choices, keep_choices, learner_path, of_learner, present
from app.practice.plan.kept_plan import keep, kept, plan_path
from app.session import MARKED_ANEW, open_session
from app.settings import Settings, load, save, settings_path, text_of
from exercises.drills import drill
from exercises.logbook.joining import add, join, learner, rename
from exercises.logbook.learners import Learner
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from exercises.trial.versions import MARKING
from synth.device.clock import utc_now

pytestmark = pytest.mark.sampled(3)

# A file as version 0.1.0 wrote it, by hand in places.
OLDEST = """# Settings of Tallybar. Edit them while the program is closed.

volume = 31
sound_device = "desk"
latency_ms = 120
theme = "dark"
text_percent = 150
language = "es"
learner = "Ada Invented"
minutes_a_day = 20
way = "letters"
drill = "beat"
rung = 2
first_run_done = true
window_width_px = 1000
"""
BO = Learner(2, "b" * 32, "Bo Invented", "Bo Invented")


def practise(logbook, name, **more):
    trial = drill("beat").make(1, 1)
    answer = Answer(trial.targets_s)
    made = record(trial, answer, drill("beat").mark(trial, answer), when=utc_now().astimezone(), learner=name, **more)
    logbook.add(made)


@pytest.fixture
def logbook():
    """The learner's own logbook, closed after each use."""
    with Logbook.open() as book:
        yield book


def opened():
    """Settings, learner's name and id as a session begins with them."""
    session = open_session({})
    try:
        return session.keeper.now, session.practice.learner.name, session.practice.learner.id
    finally:
        session.close()


def test_every_setting_is_the_learners_or_the_computers():
    assert {"voice", "minutes_a_day", "text_percent", "language", "marking", "drill", "rung", "groove"} <= set(
        FOLLOWS
    )
    assert {"in_every_plan", "in_no_plan", "tempo_bpm", "kit_family", "mode", "way"} <= set(FOLLOWS)
    assert {"sound_device", "latency_ms", "sample_rate_hz", "microphone", "volume"} <= OF_COMPUTER


@pytest.mark.parametrize("text", [OLDEST, OLDEST.replace("learner = ", 'learner_id = ""\nlearner = ')])
def test_older_settings_open_with_nothing_lost(text, logbook):
    """Those of version 0.1.0, which know a name alone: it is the first learner of that name."""
    ada = add(logbook, "Ada Invented")
    add(logbook, "Ada Invented")
    settings_path().parent.mkdir(parents=True, exist_ok=True)
    settings_path().write_text(text, "utf-8")
    now, name, id = opened()
    assert (name, id, now.learner_id) == ("Ada Invented", ada.id, ada.id)
    assert (now.volume, now.sound_device, now.latency_ms, now.theme, now.text_percent) == (
        31,
        "desk",
        120,
        "dark",
        150,
    )
    assert (now.language, now.minutes_a_day, now.way, now.drill, now.rung) == ("es", 20, "letters", "beat", 2)
    assert (now.first_run_done, now.window_width_px) == (True, 1000)


def test_a_new_learner_has_an_id_from_the_first_trial_on(logbook):
    now, name, id = opened()
    assert (name, len(id), now.learner_id) == ("me", 32, id)
    practise(logbook, name, learner_id=id)
    assert learner(logbook, "me").id == id


def test_a_name_of_the_logbook_is_the_learners_name(logbook):
    ada = add(logbook, "Ada Invented")
    save(Settings(learner="Ada Invented", learner_id=ada.id), settings_path())
    rename(logbook, ada, "Eva Invented")
    assert opened()[1:] == ("Eva Invented", ada.id)


def test_somebody_else_of_the_name_is_not_taken_for_the_learner(logbook):
    """An import may bring one; the id says who practises."""
    practise(logbook, "me", learner_id="a" * 32)
    save(Settings(learner_id="b" * 32), settings_path())
    assert opened()[1:] == ("me", "b" * 32)


def test_who_was_joined_goes_on_as_the_other(logbook):
    ada, bo = add(logbook, "Ada Invented"), add(logbook, "Bo Invented")
    save(Settings(learner="Ada Invented", learner_id=ada.id), settings_path())
    join(logbook, ada, bo)
    assert opened()[1:] == ("Bo Invented", bo.id)


def test_a_name_that_settings_cannot_hold_is_shortened_there_alone(logbook):
    practise(logbook, "x\n" * 300, learner_id="c" * 32)
    _, name, id = opened_as("c" * 32)
    assert (id, len(name) <= 60, name.isprintable()) == ("c" * 32, True, True)
    assert logbook.known()[0].name == "x\n" * 300


def opened_as(id):
    save(Settings(learner_id=id), settings_path())
    return opened()


def test_the_plan_of_a_day_that_began_before_learners_had_ids_goes_on(logbook):
    ada = add(logbook, "Ada Invented")
    day = utc_now().astimezone().date()
    keep(plan_path(logbook.path), "Ada Invented", day, {"at": 3})
    save(Settings(learner="Ada Invented"), settings_path())
    opened()
    assert kept(plan_path(logbook.path), ada.id, day) == {"at": 3}


def test_marking_is_told_to_each_learner_who_has_trials(logbook):
    ada, bo = add(logbook, "Ada Invented"), add(logbook, "Bo Invented")
    for who in (ada, bo):
        practise(logbook, who.name, learner_id=who.id)
    keep_choices(Settings(learner_id=bo.id, marking=MARKING - 1), settings_path())
    save(Settings(learner=ada.name, learner_id=ada.id, marking=MARKING), settings_path())
    session = open_session({})
    try:
        assert MARKED_ANEW() not in session.opening
        session.change(session.choices_of(bo.id))
        session.forget_notices()  # their language may be another one
        assert MARKED_ANEW() in session.practice.notices
        assert session.keeper.now.marking == MARKING
        session.change(session.choices_of(ada.id))
        assert MARKED_ANEW() not in session.practice.notices
    finally:
        session.close()


# -- the files -------------------------------------------------------------------------------------------------------


def test_a_new_learner_sees_and_hears_the_program_as_it_is_and_begins_at_the_beginning():
    now = Settings(text_percent=175, language="es", voice="en", minutes_a_day=25, drill="one", in_every_plan="one")
    theirs = of_learner(replace(now, volume=12, learner_id="a" * 32), settings_path(), BO, utc_now()).settings
    assert (theirs.text_percent, theirs.language, theirs.voice, theirs.volume) == (175, "es", "en", 12)
    assert (theirs.minutes_a_day, theirs.drill, theirs.in_every_plan, theirs.marking) == (10, "", "", MARKING)
    assert (theirs.learner, theirs.learner_id) == (BO.name, BO.id)


@pytest.mark.parametrize("text", ["minutes_a_day = [", "minutes_a_day = 1000\n", "\x00", ""])
def test_a_bad_file_of_choices_is_told_and_the_rest_is_as_at_first(text):
    path = learner_path(settings_path(), BO.id)
    path.parent.mkdir(parents=True)
    path.write_text(text)
    found = of_learner(Settings(learner_id="a" * 32), settings_path(), BO, utc_now())
    assert (found.settings.minutes_a_day, bool(found.messages)) == (10, bool(text))


def test_a_bad_id_in_the_settings_is_told_and_the_name_counts(logbook):
    ada = add(logbook, "Ada Invented")
    settings_path().parent.mkdir(parents=True, exist_ok=True)
    settings_path().write_text('learner = "Ada Invented"\nlearner_id = "../x"\n')
    loaded = load(settings_path(), utc_now())
    assert "learner_id" in str(loaded.messages[0])
    assert present(loaded.settings, logbook).learner_id == ada.id


def test_the_files_are_the_learners_alone():
    keep_choices(Settings(learner_id=BO.id), settings_path())
    path = learner_path(settings_path(), BO.id)
    assert path.stat().st_mode & 0o077 == 0
    assert path.parent.stat().st_mode & 0o077 == 0
    assert "learner" not in [line.split(" = ")[0] for line in path.read_text().splitlines()]


def test_of_a_learner_who_is_deleted_no_choice_is_kept():
    keep_choices(Settings(learner_id=BO.id), settings_path())
    save(Settings(learner="Bo Invented", learner_id=BO.id, minutes_a_day=25, volume=12), settings_path())
    without = forget_choices(settings_path(), [BO.id], utc_now())
    assert not learner_path(settings_path(), BO.id).exists()
    assert (without.learner, without.learner_id, without.minutes_a_day, without.volume) == ("me", "", 10, 12)
    save(without, settings_path())
    assert forget_choices(settings_path(), ["c" * 32], utc_now()) is None
    assert "Bo" not in settings_path().read_text()
    assert json.dumps(text_of(without))
