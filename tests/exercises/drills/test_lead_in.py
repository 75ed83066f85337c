"""Before its first beat no trial has a sound: a count-in would tell the one where it is asked for."""

import numpy as np
import pytest

from exercises.drills import drills
from synth.score.arranging.arrangement import EARLIEST_S

pytestmark = pytest.mark.sampled(3)


@pytest.mark.sweep("one", "stopped-beat", "through")
@pytest.mark.parametrize("drill", [id for id in drills() if id != "drum"])  # plays its two drums first; asks no one
def test_nothing_counts_in(drill):
    one = drills()[drill]
    for rung in range(0 if one.introduction else 1, len(one.rungs) + 1):
        trial = one.make(rung, 5)
        for each in (trial.arrangement, *(part.arrangement for part in trial.beside)):
            assert each.hits.grid_s.min() >= each.count.beats_s[0] - EARLIEST_S


@pytest.mark.proof
@pytest.mark.parametrize("drill", ["one", "stopped-beat", "stopped-bar", "find-again"])
def test_not_even_the_voice_that_helps_on_a_first_rung(drill):
    """It counts with the beats that sound, in the trial's own time."""
    trial = drills()[drill].make(1, 5)
    assert trial.help.voice
    loud = np.abs(trial.samples(16_000)).max(axis=1) > 1e-4
    assert np.argmax(loud) / 16_000 >= trial.count.beats_s[0] - 0.2
