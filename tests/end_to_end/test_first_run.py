"""A newcomer with a keyboard alone, from an empty data folder to a marked trial in the logbook."""

import time

import numpy as np
import pytest

from tests.end_to_end.desk import Recorder, wait_for
from tests.end_to_end.program import Program

WELCOME_PAGES = 4


@pytest.mark.desk
def test_the_first_run_by_keys_alone(desk, hand, tmp_path, say):
    """Return leads through the welcome into today's plan; S leaves the warm-up; a figure answers the question."""
    with Program(desk, tmp_path / "home") as program, Recorder(desk) as recorder:
        begun_s = time.perf_counter()
        hand.focus("Tallybar")
        for _ in range(WELCOME_PAGES):
            time.sleep(0.4)
            hand.press("Return")
        time.sleep(1.0)
        hand.press("s")
        time.sleep(0.5)
        since = recorder.count
        hand.press("Return")
        wait_for(lambda: bool(np.any(np.abs(recorder.samples(since)) > 1e-3)), 8, "the first trial was not heard")
        say(f"from the start of the program to the first trial's sound: {time.perf_counter() - begun_s:.1f} s")
        # The drum that was asked about rings out within half a minute; until then a figure means nothing.
        for _ in range(30):
            hand.press("1")
            time.sleep(1.0)
            if program.trials():
                break
        trial = program.wait_for_trial(1, 5)
        assert trial.void is None
        assert trial.result["right"] in (True, False)
        assert trial.drill in ("drum", "beat")
        hand.press("Escape")
        assert program.process.poll() is None
        assert "Traceback" not in program.said
