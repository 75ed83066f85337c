"""What is said of a sound without a trial that broke off."""

import pytest

from app.practice.trial.void_messages import broke
from synth.device.faults import Fault, FaultKind


@pytest.mark.parametrize(
    ("faults", "said"),
    [
        ((), "The sound stopped. Start it again when you like."),
        ((Fault(FaultKind.SILENCE),), "The sound stopped. Start it again when you like."),
        (
            (Fault(FaultKind.MISSED), Fault(FaultKind.SILENCE)),
            f"The sound stopped: {Fault(FaultKind.MISSED).says}. Start it again when you like.",
        ),
    ],
)
def test_that_it_stopped_is_no_reason_of_its_own(faults, said):
    assert str(broke(faults)) == said
