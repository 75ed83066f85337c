"""The rung that fits: from what is known of the drill, or before its first answer from all the others."""

from app.practice.learner.current_levels import fitting_rung, rungs_after
from exercises.drills import drill
from exercises.forms.drill import INTRODUCTION
from exercises.learner.level import Level
from exercises.learner.stored_levels import LearnerLevels
from exercises.trial.kept.record import DAY_S
from synth.device.clock import utc_now

DAY = 20_000.0
NEW, GOOD = (LearnerLevels({}, Level.about(*known)) for known in ((), (6.0, 0.5)))


def test_before_the_first_answer_it_follows_the_level_expected_there():
    """Whoever is good at the others begins higher, and each learner's levels tell their own."""
    for levels in (NEW, GOOD, NEW):
        for recorded in (False, True):
            level = levels.recorded_level if recorded else levels.level
            wanted = level("intro").rung(drill("intro"), recorded=recorded)
            assert fitting_rung("intro", levels, ("intro",), recorded=recorded) == wanted
    assert fitting_rung("intro", NEW, ("intro",)) < fitting_rung("intro", GOOD, ("intro",))


def test_after_answers_it_follows_them():
    levels = NEW
    for _ in range(30):
        levels = levels.after("beat", fitting_rung("beat", levels), True, DAY)
    assert fitting_rung("beat", levels) > fitting_rung("beat", NEW)
    assert fitting_rung("beat", levels, recorded=True) > fitting_rung("beat", NEW, recorded=True)
    assert fitting_rung("one", levels, ("one",)) == fitting_rung("one", NEW, ("one",))


def test_a_drill_begins_with_its_introduction_once():
    assert drill("stopped-beat").introduction is not None
    assert fitting_rung("stopped-beat", NEW) == INTRODUCTION
    assert fitting_rung("stopped-beat", NEW, ("stopped-beat",)) >= 1


def test_the_rungs_after_a_trial_are_those_of_either_answer():
    """On the way up the ladder: at times the same rung, at times two."""
    levels, numbers = NEW, set()
    for _ in range(12):
        rung, day = fitting_rung("beat", levels), utc_now().timestamp() / DAY_S
        right, wrong = (levels.after("beat", rung, each, day) for each in (True, False))
        coming = rungs_after("beat", rung, levels)
        assert coming == list(dict.fromkeys([fitting_rung("beat", right), fitting_rung("beat", wrong)]))
        numbers.add(len(coming))
        levels = right
    assert numbers == {1, 2}


def test_where_nothing_is_answered_the_rung_stays_as_it_is_known():
    assert rungs_after("count-along", 2, NEW) == [fitting_rung("count-along", NEW)]
    assert rungs_after("stopped-beat", INTRODUCTION, NEW) == [fitting_rung("stopped-beat", NEW, ("stopped-beat",))]
