"""On a learner's own records, too, a trial can be answered from the sound alone: see ``test_leaks.py``.

Two records by turns, of tempos that a watch tells apart; which of them it is counts among what is known.
"""

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from app.demo.simulated import simulate
from assets.rungs.recorded import TABLE, rate
from exercises.drills import drills
from exercises.trial.trial import Kind
from synth.recording.source import of_file
from tests.exercises.drills.test_leaks import cues, leaks, truths
from tests.exercises.test_recorded import LONG, OTHER, SOURCE

pytestmark = pytest.mark.proof

# A cue that tells every second answer is found in 98 drills of 100, one that tells two of five in three of four. The
# seeds draw the same questions as without a record, where more of them are held to it.
SEEDS = 200
SECOND = replace(LONG, tempo_bpm=104.0, one_s=0.7)
OTHER_SECOND = replace(OTHER, grid=replace(LONG, tempo_bpm=102.0))
RECORDS = (SOURCE, of_file("second.wav", SECOND, print="7" * 32, title="Second", other=OTHER_SECOND))
ON_RECORDS = [one.id for one in drills().values() if one.records and one.kind is not Kind.NONE]


@cache
def seen(id):
    """Of ``SEEDS`` trials: cues and truths by rung, how many random answers are right, and the chance of it."""
    one, alike, right, chance = drills()[id], {}, 0, []
    for seed in range(SEEDS):
        rung = 1 + seed % len(one.rungs)
        trial = one.make(rung, seed, recording=RECORDS[seed // len(one.rungs) % 2])
        known = cues(trial) | {"record": trial.recorded.title}
        if id == "intro":
            del known["first beat"]  # where in its phrase the intro is heard to begin is a way of counting it
        alike.setdefault(rung, []).append((known, truths(trial)))
        right += bool(one.mark(trial, simulate("random", trial)).right)
        chance.append(one.chance(trial))
    return alike, right, float(np.mean(chance))


@pytest.mark.parametrize("id", ON_RECORDS)
def test_guessing_on_records_comes_out_at_chance(id):
    """Right answers of 200 random trials lie within the 99.9 % range of the binomial with the drill's own chance."""
    _, right, chance = seen(id)
    from scipy.stats import binom  # takes two seconds, also of those who run no test of these

    low, high = binom.ppf([0.0005, 0.9995], SEEDS, chance)
    assert low <= right <= high


# Which tempo a record has follows from which record it is.
@pytest.mark.parametrize("id", [id for id in ON_RECORDS if id != "tempo"])
def test_nothing_but_the_sound_of_a_record_tells_the_answer(id):
    """No cue holds more than chance gives (five SDs of the shuffled figure) and more than a hundredth of a bit."""
    assert leaks(seen(id)[0].values()) == {}


@pytest.mark.parametrize(("id", "rung"), [("intro", 2), ("intro", 8), ("land", 4)])
def test_the_table_of_guess_rates_on_records_is_as_the_command_makes_it(id, rung):
    assert json.loads(TABLE.read_text("utf-8"))[id][drills()[id].rungs[rung - 1].id] == rate(id, rung)
