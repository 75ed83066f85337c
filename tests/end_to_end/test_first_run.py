"""A newcomer with a keyboard alone, from an empty data folder to a marked trial in the logbook."""

import time

import numpy as np
import pytest

from tests.end_to_end.desk import Recorder, wait_for
from tests.end_to_end.program import Disturbed, ToldProgram, once_more

WELCOME_PAGES = 4


@pytest.mark.desk
def test_the_first_run_by_keys_alone(desk, hand, tmp_path, say):
    """Return leads through the welcome into today's plan; S leaves lesson and warm-up; a figure answers."""
    with ToldProgram(desk, tmp_path / "home", "told_program") as program, Recorder(desk) as recorder:
        begun_s = time.perf_counter()
        hand.focus("Tallybar")
        for _ in range(WELCOME_PAGES):
            hand.turn("Return")
        program.wait(10, "the plan", lambda now: now["at_plan"] and now["drill"] == "count-along")
        place = len(program.shown())
        hand.turn("s")
        hand.press("s")
        program.wait(5, "the plan without them", lambda now: now["at_plan"] and now["drill"] == "drum", place)

        def question() -> dict:
            place, since = len(program.shown()), recorder.count
            hand.press("Return")
            program.wait(8, "a trial that sounds", lambda now: now["phase"] == "sounding", place)
            say(f"from the start of the program to the first trial: {time.perf_counter() - begun_s:.1f} s")
            # The drum that is asked about rings out within half a minute.
            asked = program.wait(30, "a question", lambda now: now["phase"] in ("asking", "void"), place)
            if asked["phase"] == "void":
                raise Disturbed(asked["said"])
            assert np.any(np.abs(recorder.samples(since)) > 1e-3)
            return asked

        asked = once_more(say, question)
        hand.press("1")
        program.wait(5, "a result", lambda now: now["phase"] == "marked")
        (trial,) = wait_for(lambda: [one for one in program.trials() if one.void is None], 5, "nothing was kept")
        assert trial.result["right"] in (True, False)
        assert (trial.drill, trial.seed) == ("drum", asked["seed"])
        assert program.process.poll() is None
        assert "Traceback" not in program.said
