"""A sitting of many trials, end to end at speed: no drift, no hunger, every void trial explained.

The long run is `./run bench --only soak`, 2 minutes or what TALLYBAR_SOAK_S says (1800 for half an hour).
"""

import pytest

from tests.benchmarks import soak
from tests.end_to_end.desk import missing

SECONDS = 40.0
# Half a minute of warm-up and noise of the allocator; a leak of 1 kB a trial would be seen in the long run only.
MOST_MB = 8.0


@pytest.mark.desk
def test_a_sitting_neither_drifts_nor_grows(say):
    """Between clock line and recording at most 1 ms of drift; a fault is one that the player can name."""
    if missing():
        pytest.skip(missing())
    found = soak.figures(SECONDS)
    drift, memory, void = found["drift_ms"], found["memory_mb_an_hour"], found["void_trials"]
    say(f"soak of {SECONDS:g} s: drift {drift['value']:+.2f} ms (at most 1), {drift['note']}")
    say(f"  memory {memory['note']}; {void['value']} void trials{': ' if void['value'] else ''}{void['note']}")
    assert abs(drift["value"]) <= 1.0
    assert float(memory["note"].split(" MB")[0]) <= MOST_MB
    assert not void["value"] or void["note"]
