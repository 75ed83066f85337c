"""The sound server dies in the middle of a trial and comes back: void, said so, and practice goes on."""

import time

import numpy as np
import pytest

from tests.end_to_end.desk import Recorder, wait_for
from tests.end_to_end.program import Program

CHOICE = ("--drill", "one", "--rung", "3", "--seed", "11", "--tempo", "120")


def hears(recorder, since: int) -> bool:
    """Whether something sounds in the recording after a place."""
    return bool(np.any(np.abs(recorder.samples(since)) > 1e-3))


@pytest.mark.desk
def test_a_trial_without_its_sound_is_void_and_the_next_one_sounds(desk, hand, tmp_path):
    """Killed in mid-trial: one void trial with its reason in the logbook, none marked; then it plays again."""
    with Program(desk, tmp_path / "home", *CHOICE) as program:
        hand.focus("Tallybar")
        with Recorder(desk) as recorder:
            hand.press("Return")
            wait_for(lambda: hears(recorder, 0), 8, "no sound was heard")
            hand.press("space", held_s=1.0)  # the screen repeats a key that is held: still one tap
            desk.kill_sound()
        void = program.wait_for_trial(1, 5)
        assert void.void == "the sound stopped"
        assert void.result is None
        assert len(void.answer.taps_s) == 1  # nothing lost

        hand.press("Return")  # while it is away: told in the window, nothing else happens
        time.sleep(0.5)
        assert program.process.poll() is None

        desk.start_sound()
        with Recorder(desk) as recorder:
            hand.press("Return")
            wait_for(lambda: hears(recorder, 0), 8, "the next trial was not heard")
            hand.press("Escape")
            time.sleep(0.5)
        assert len(program.trials()) == 1  # a trial broken off leaves nothing
        assert program.process.poll() is None
        assert "Traceback" not in program.said
