"""The lesson on the first words: its parts, the taps along with them, its place in the plan of the first day."""

from datetime import UTC, datetime

import numpy as np
import pytest

from app.inputs.equipment import Equipment
from app.inputs.taps import Tap
from app.practice.lesson import PARTS, Lesson
from app.practice.plan.planned import Planned
from app.practice.plan.today import State, Today
from exercises.learner.plan import LESSON_MIN, plan
from synth.device.faults import Fault, FaultKind

pytestmark = pytest.mark.sampled(3)

NOW = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)
SAMPLES = np.zeros((480, 2), np.float32)


@pytest.fixture
def lesson(player) -> Lesson:
    return Lesson(Equipment(player))


def test_taps_are_taken_while_a_part_sounds_and_stay(lesson, player):
    lesson.tap(Tap(player.now_s, "key", True))
    lesson.play(SAMPLES)
    lesson.tap(Tap(player.start_s + 1.0, "key", True))
    lesson.stop()
    lesson.tap(Tap(player.start_s + 2.0, "key", True))
    assert lesson.taps_s == pytest.approx([1.0])
    lesson.play(SAMPLES)
    assert lesson.taps_s == []


def test_a_part_ends_with_its_sound_and_a_broken_one_says_so(lesson, player):
    lesson.play(SAMPLES)
    lesson.tick()
    assert lesson.sounding
    player.playing = False
    lesson.tick()
    assert not lesson.sounding
    lesson.play(SAMPLES)
    player.faults = (Fault(FaultKind.SILENCE),)
    lesson.tick()
    assert not lesson.sounding
    assert lesson.faults == player.faults


def test_a_part_goes_on_after_a_stumble(lesson, player):
    """Nothing is marked: only a sound that has stopped ends it."""
    lesson.play(SAMPLES)
    player.faults = (Fault(FaultKind.STALL, "217"),)
    lesson.tick()
    assert lesson.sounding
    player.playing = False
    lesson.tick()
    assert (lesson.sounding, lesson.faults) == (False, ())


def test_its_parts_are_beat_bar_one_and_phrase(lesson):
    assert PARTS == ("beat", "bar", "one", "phrase")
    lesson.at = 3
    assert lesson.last


def test_it_is_the_first_item_of_the_first_plan():
    today = Today(plan(None, "me", NOW))
    assert today.lesson_due
    assert not today.begun
    left = today.minutes_left
    today.end_lesson(130.0)
    assert (today.lesson, today.lesson_due, today.spent_s) == (State.DONE, False, 130.0)
    assert today.begun
    assert today.minutes_left == left - LESSON_MIN
    assert today.state(0) is State.NOW
    today.end_lesson(130.0)
    assert today.spent_s == 130.0


def test_it_can_be_skipped_and_a_trial_skips_it():
    today = Today(plan(None, "me", NOW))
    today.skip()
    assert (today.lesson, today.at) == (State.SKIPPED, 0)
    other = Today(plan(None, "me", NOW))
    other.started(0.0)
    assert other.lesson is State.SKIPPED


@pytest.mark.parametrize("state", [State.NOW, State.DONE, State.SKIPPED])
def test_its_state_is_kept_for_the_day(tmp_path, state):
    planner = Planned(tmp_path / "logbook.sqlite3", clock=lambda: NOW)
    planner.make("me")
    planner.poll()
    if state is State.DONE:
        planner.end_lesson(100.0)
    elif state is State.SKIPPED:
        planner.skip()
    planner.keep()
    again = Planned(tmp_path / "logbook.sqlite3", clock=lambda: NOW)
    again.make("me")
    again.poll()
    assert again.today.lesson is state
    assert again.today.plan == planner.today.plan


def test_a_plan_kept_by_an_earlier_version_has_no_lesson():
    kept = Today(plan(None, "me", NOW)).to_json()
    del kept["lesson"]
    assert Today.from_json(kept).lesson is None
