"""A day's plan goes on where it stopped when the program is started again. No window, no clock but the test's."""

import json
from datetime import UTC, datetime, timedelta

import pytest

from app.practice.plan.kept_plan import forget, kept, plan_path
from app.practice.plan.planned import LOST, Planned
from app.practice.plan.today import State, states
from app.practice.trial.attempt import Phase
from app.practice.trial.course import Free
from app.session import Session
from app.ui.base import theme
from app.ui.base.words import spoken
from app.ui.dress import dress
from app.ui.window import Window
from exercises.logbook.store import Logbook

pytestmark = [pytest.mark.usefixtures("unheard"), pytest.mark.sampled(3)]

NOW = datetime(2030, 5, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as book:
        return book.path


def started(path, at: datetime = NOW, learner: str = "me") -> Planned:
    """A planner as a program has it that was started at that moment, its first plan made."""
    planner = Planned(path, clock=lambda: at)
    planner.make(learner)
    assert planner.poll()
    return planner


def practise(planner: Planned, trials: int) -> None:
    for number in range(trials):
        planner.today.started(100.0 * number)
        planner.today.done(100.0 * number + 40.0)
    planner.keep()


def test_a_plan_goes_on_where_it_stopped(path):
    """Items, their order, what was done of each, what was skipped and the time spent: all as it was left."""
    before = started(path)
    practise(before, before.today.item.trials)
    before.today.skip()
    practise(before, 1)
    after = started(path, NOW + timedelta(hours=3))
    assert after.today.plan == before.today.plan
    assert (after.today.at, after.today.counts) == (before.today.at, before.today.counts)
    assert after.today.spent_s == before.today.spent_s > 0
    assert [state for _, state in states(after.today)][:3] == [State.DONE, State.SKIPPED, State.NOW]
    assert after.today.begun
    assert after.today.trial == 2
    assert [str(item.why) for item in after.today.plan.items] == [str(item.why) for item in before.today.plan.items]


def test_a_plan_that_was_finished_stays_finished(path):
    before = started(path)
    while not before.today.finished:
        practise(before, 1)
    assert started(path).today.finished


def test_another_day_another_plan(path):
    practise(started(path), 1)
    assert not started(path, NOW + timedelta(days=1)).today.begun


def test_within_one_run_a_plan_that_was_begun_goes_on_unless_another_is_wanted(path):
    planner = started(path)
    practise(planner, 1)
    planner.make("me")
    planner.poll()
    assert planner.today.counts[0] == 1
    planner.make("me", anew=True)
    planner.poll()
    assert not planner.today.begun


def test_another_plan_with_other_minutes_is_still_another(path):
    """Asked for once more before it has been made."""
    planner = started(path)
    practise(planner, 1)
    planner.make("me", anew=True)
    planner.minutes = 20
    planner.make("me")
    planner.poll()
    assert not planner.today.begun
    assert planner.today.plan.minutes == 20


def test_another_learner_and_back_goes_on_where_each_was(path):
    planner = started(path, learner="Ann Invented")
    practise(planner, 2)
    for learner, begun in (("Bo Invented", False), ("Ann Invented", True)):
        planner.make(learner)
        planner.poll()
        assert (planner.today.begun, sum(planner.today.counts)) == (begun, 2 * begun)


def test_each_learner_has_a_plan_of_their_own(path):
    practise(started(path, learner="Ann Invented"), 2)
    practise(started(path, learner="Bo Invented"), 1)
    assert sum(started(path, learner="Ann Invented").today.counts) == 2
    assert sum(started(path, learner="Bo Invented").today.counts) == 1
    assert not started(path, learner="Cy Invented").today.begun


def test_of_a_learner_who_is_deleted_nothing_is_kept(path):
    practise(started(path, learner="Ann Invented"), 1)
    forget(plan_path(path), "Nobody")
    assert kept(plan_path(path), "Ann Invented", NOW.date())
    forget(plan_path(path), "Ann Invented")
    assert not plan_path(path).exists()
    forget(plan_path(path), "Ann Invented")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"format": "tallybar plan", "version": 99}',
        json.dumps({"format": "tallybar plan", "version": 1, "day": "2030-05-01", "plans": {"me": {"items": []}}}),
        json.dumps({"format": "tallybar plan", "version": 1, "day": "2030-05-01", "plans": {"me": 3}}),
    ],
)
def test_a_file_that_cannot_be_read_is_told_and_the_plan_begins_anew(path, text):
    plan_path(path).write_text(text)
    planner = started(path)
    assert planner.notices == (LOST(),)
    assert not planner.today.begun
    practise(planner, 1)
    assert started(path).today.begun


@pytest.mark.parametrize("text", ["{x:>300000000}", "{0.foo}", "{{{x}", "Due after {days} days."])
def test_a_sentence_in_the_file_that_is_none_of_ours_is_plain_text(path, text):
    """It is shown as it stands, and the plan goes on."""
    practise(started(path), 1)
    data = json.loads(plan_path(path).read_text())
    data["plans"]["me"]["items"][0]["why"] = {"say": text, "with": {"x": 1}}
    plan_path(path).write_text(json.dumps(data))
    today = started(path).today
    assert today.begun
    assert spoken(today.plan.items[0].why) == text


def test_unknown_drills_are_none_of_a_plan(path):
    practise(started(path), 1)
    data = json.loads(plan_path(path).read_text())
    data["plans"]["me"]["items"][0]["drill"] = "onne"
    plan_path(path).write_text(json.dumps(data))
    assert started(path).notices == (LOST(),)


def test_a_disk_that_takes_nothing_does_not_end_the_practice(path, monkeypatch):
    planner = started(path)
    plan_path(path).mkdir()
    practise(planner, 1)
    assert planner.today.counts[0] == 1


def test_the_practice_keeps_it_as_it_goes(practice, player, logbook, no_lesson):
    """After each trial of the plan, and after each that is skipped; what is practised freely changes nothing."""
    practice.follow_day(Planned(logbook.path))
    practice.now = lambda: player.now_s
    practice.plan_day()
    practice.day.poll()
    practice.day.skip()
    assert started(logbook.path, practice.day.clock()).today.at == 1
    practice.start()
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    practice.tick()
    if practice.phase is Phase.ASKING:
        practice.answer_with(str(practice.trial.expected))
    assert practice.phase is Phase.MARKED
    assert started(logbook.path, practice.day.clock()).today.counts[:2] == [0, 1]


@pytest.fixture
def window(qtbot, practice, player, logbook, no_lesson) -> Window:
    """A window with a plan of which one item has been skipped."""
    dress(theme.LIGHT)
    practice.follow_day(Planned(logbook.path))
    practice.now = lambda: player.now_s
    made = Window(Session(practice))
    qtbot.addWidget(made)
    made.show()
    made.contents.practise.tick()
    made.contents.practise.skip()
    return made


@pytest.mark.parametrize(
    "choices",
    [[{"minutes_a_day": 20}], [{"learner": "Bo Invented"}, {"learner": "me"}], [{"learner": "me"}]],
    ids=["minutes", "another learner and back", "the same name again"],
)
def test_no_setting_throws_away_what_was_begun(window, practice, choices):
    before = practice.today
    for each in choices:
        window.change(each)
        window.contents.practise.tick()
    assert practice.next_known
    assert (practice.today.at, practice.today.plan) == (1, before.plan)


def test_other_minutes_in_the_settings_hold_for_a_plan_that_was_not_begun(window, practice):
    practice.plan_day(anew=True)
    window.contents.practise.tick()
    window.change({"minutes_a_day": 20})
    window.contents.practise.tick()
    assert practice.today.plan.minutes == 20
    assert not practice.today.begun


def test_other_minutes_hold_for_the_next_plan_of_the_day(window, practice):
    window.change({"minutes_a_day": 20})
    window.contents.practise.plan_more()
    window.contents.practise.tick()
    assert (practice.today.plan.minutes, practice.today.begun) == (20, False)


def test_the_plan_s_page_asked_for_before_it_was_made_brings_the_one_begun(window, practice):
    """As when the program is started with a drill by name, and P is pressed at once."""
    practice.follow_day(Planned(practice.day.path))
    practice.course = Free()
    window.contents.practise.follow_plan()
    window.contents.practise.tick()
    assert practice.today.at == 1


def test_a_very_long_day_is_kept_too(path):
    """What is kept is within the bounds of what is read."""
    before = started(path)
    before.today.spent_s = 200_000.0
    before.keep()
    after = started(path)
    assert after.today.plan == before.today.plan
    assert after.notices == ()
