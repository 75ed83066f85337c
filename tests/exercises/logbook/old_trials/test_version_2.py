"""The truth of a trial of version 2 can still be made: it is what that version made, bit for bit.

``version_2.json`` holds a digest of the truth of one trial a drill and rung, taken with the program of that version.
"""

import hashlib
import json
from pathlib import Path

import pytest

from exercises.drills import drill
from exercises.logbook.old_trials.version_2 import rung_of_2

pytestmark = pytest.mark.sampled(3)

MADE = json.loads(Path(__file__).with_name("version_2.json").read_text())


@pytest.mark.sweep(1)
@pytest.mark.parametrize("id", sorted({name.split()[0] for name in MADE}))
def test_the_truth_of_version_2_is_made_again(id, subtests):
    for name in MADE:
        of, number, seed = name.split()
        if of != id:
            continue
        with subtests.test(number=number, seed=seed):
            trial = drill(id).make(int(number), int(seed), row=rung_of_2(id, int(number)))
            count = trial.count
            truth = [trial.targets_s.tolist(), trial.expected, count.beats_s.tolist()]
            truth += [count.beat_in_bar.tolist(), count.bar_in_phrase.tolist()]
            assert hashlib.sha256(json.dumps(truth).encode()).hexdigest()[:16] == MADE[name]
