"""The sound server dies in the middle of a trial and comes back: void, said so, and practice goes on."""

import numpy as np
import pytest

from tests.end_to_end.desk import Recorder, wait_for
from tests.end_to_end.program import Disturbed, ToldProgram, once_more

CHOICE = ("--drill", "one", "--rung", "3", "--seed", "11", "--tempo", "120")


def hears(recorder, since: int) -> bool:
    """Whether something sounds in the recording after a place."""
    return bool(np.any(np.abs(recorder.samples(since)) > 1e-3))


def silenced(desk, hand, program: ToldProgram, trial: int) -> None:
    """Kill the server in the middle of a trial, which becomes void for it; ``Disturbed`` where it was void before."""
    with Recorder(desk) as recorder:
        since = len(program.shown())
        hand.press("Return")
        program.wait(8, "a trial that sounds", lambda now: now["phase"] == "sounding", since)
        wait_for(lambda: hears(recorder, 0), 8, "no sound was heard")
        hand.press("space", held_s=1.0)  # the screen repeats a key that is held: still one tap
        if program.shown()[-1]["phase"] == "void":
            raise Disturbed(program.wait_for_trial(trial, 5).void)
        desk.kill_sound()
    told = program.wait(5, "that the sound stopped", lambda now: now["phase"] == "void", since)
    assert told["said"].startswith("The sound stopped")
    void = program.wait_for_trial(trial, 5)
    assert void.void == "silence"
    assert void.result is None
    assert len(void.answer.taps_s) == 1  # nothing lost


@pytest.mark.desk
def test_a_trial_without_its_sound_is_void_and_the_next_one_sounds(desk, hand, say, tmp_path):
    """Killed in mid-trial: one void trial with its reason in the logbook, none marked; then it plays again."""
    with ToldProgram(desk, tmp_path / "home", "told_program", *CHOICE) as program:
        hand.focus("Tallybar")
        once_more(say, lambda: silenced(desk, hand, program, len(program.trials()) + 1))
        kept = len(program.trials())

        since = len(program.shown())
        hand.press("Return")  # while it is away: told in the window, nothing else happens
        told = program.wait(5, "why nothing sounds", lambda now: "sound output" in now["said"], since)
        assert told["phase"] != "sounding"

        desk.start_sound()
        since = len(program.shown())
        with Recorder(desk) as recorder:
            hand.press("Return")
            program.wait(8, "a trial that sounds", lambda now: now["phase"] == "sounding", since)
            wait_for(lambda: hears(recorder, 0), 8, "the next trial was not heard")
            since = len(program.shown())
            hand.press("Escape")
            assert not program.wait(5, "the end of it", lambda now: now["phase"] == "ready", since)["said"]
        assert len(program.trials()) == kept  # a trial broken off leaves nothing
        assert program.process.poll() is None
        assert "Traceback" not in program.said
