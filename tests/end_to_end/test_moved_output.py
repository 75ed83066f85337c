"""The sound server moves the program's sound to another output in the middle of a trial."""

import subprocess
import time

import numpy as np
import pytest

from tests.end_to_end.desk import Recorder, wait_for
from tests.end_to_end.program import Program

WITHIN_S = 1.0


def pactl(desk, *words: str) -> str:
    """A command to the desk's sound server; what it prints."""
    done = subprocess.run(["pactl", *words], env=desk.env, capture_output=True, text=True, check=True)
    return done.stdout.strip()


@pytest.mark.desk
def test_a_move_makes_the_trial_void_within_a_second(desk, hand, say, tmp_path):
    """Noticed by the server's word; the record says why, and the window's log where the sound went."""
    headphones = pactl(desk, "load-module", "module-null-sink", "sink_name=headphones")
    home = tmp_path / "home"
    try:
        with (
            Recorder(desk) as recorder,
            Program(desk, home, "--drill", "one", "--rung", "2", "--tempo", "120") as program,
        ):
            hand.focus("Tallybar")
            since = recorder.count
            hand.press("Return")
            wait_for(lambda: np.any(np.abs(recorder.samples(since)) > 1e-3), 8, "no sound was heard")
            time.sleep(1.5)
            (stream,) = (line.split()[0] for line in pactl(desk, "list", "short", "sink-inputs").splitlines())
            moved_s = time.perf_counter()
            pactl(desk, "move-sink-input", stream, "headphones")
            found = program.wait_for_trial(1, 5)
            took_s = time.perf_counter() - moved_s
    finally:
        pactl(desk, "unload-module", headphones)
    say(f"a move of the sound was noticed and its trial void after {took_s:.2f} s (at most {WITHIN_S:g})")
    assert "rerouted" in found.void
    assert took_s <= WITHIN_S + 0.5  # the logbook is read every 10 ms by a busy computer
