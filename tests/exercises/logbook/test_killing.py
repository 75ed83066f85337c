"""Nothing that was told is lost, whenever the program ends."""

import importlib.util
import os
from pathlib import Path

import pytest

spec = importlib.util.spec_from_file_location("killing", Path(__file__).with_name("killing.py"))
killing = importlib.util.module_from_spec(spec)
spec.loader.exec_module(killing)


@pytest.mark.proof
@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is of POSIX")
def test_ten_sudden_ends_lose_no_trial_that_was_told(tmp_path, checkout):
    """A real process of the command line, killed with SIGKILL while it writes; one logbook for all of them.

    A loss in one end of four is found with probability 0.94, in one of three 0.98; the benchmark kills more often.
    """
    told, lost = killing.kill_while_writing(tmp_path, checkout, 10, seed=1)
    assert lost == 0
    assert told >= 10
