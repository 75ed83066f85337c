"""A placement run: trials that tell nothing take their time and do not go on for ever."""

from dataclasses import replace

from app.practice.plan.placing import Placing
from app.practice.trial.course import Free
from exercises.drills import drill
from exercises.trial.trial import Answer


def test_trials_that_the_equipment_spoils_end_the_run_by_its_time():
    """Neither right nor wrong: no answer is counted, and the run is over when its time is."""
    run, now_s, asked = Placing(Free()), 0.0, 0
    run.begin()
    while not run.over:
        trial = drill(run.place.drill).make(run.place.rung, asked)
        run.started(trial, now_s)
        now_s, asked = now_s + trial.count.end_s + 5.0, asked + 1
        result = drill(trial.drill).mark(trial, Answer(value="lost"))
        run.answered(trial, replace(result, right=None), now_s)
    assert 2 <= asked <= 20
    assert run.asked == 0
    assert run.run.used_s == now_s
