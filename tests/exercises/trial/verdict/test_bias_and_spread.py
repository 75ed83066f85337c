"""Plain sentences on how taps lay: what is known, and nothing that the verdict says already."""

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill
from exercises.trial.trial import Answer
from exercises.trial.verdict.bias_and_spread import in_words
from exercises.trial.verdict.tap_verdict import EARLY, TOO_CLOSE

MICROPHONE, TAPPING = {"method": "microphone"}, {"method": "tapping"}


def marks(shift_ms: float, calibrated: bool = True, uncertainty_ms: float = 3.0):
    """Marks of every beat tapped with this mean shift and a spread of some 5 ms."""
    one = drill("beat")
    trial = one.make(2, 1)
    taps_s = (
        trial.targets_s + shift_ms / 1000 + np.tile([-0.005, 0.005], len(trial.targets_s))[: len(trial.targets_s)]
    )
    return one.mark(trial, Answer(taps_s=taps_s), uncertainty_ms=uncertainty_ms, calibrated=calibrated).taps


@pytest.mark.parametrize(
    ("shift_ms", "calibration", "says"),
    [
        (-20, MICROPHONE, "Your taps lie 20 ms early on average; most people's do."),
        (-20, TAPPING, "Your taps lie 20 ms early on average."),
        (-75, MICROPHONE, "Your taps lie 75 ms early on average."),
        (30, MICROPHONE, "Your taps lie 30 ms late on average."),
        (1, MICROPHONE, "On average your taps are neither early nor late, as far as can be measured."),
    ],
)
def test_where_taps_lie_is_said_plainly(shift_ms, calibration, says):
    first, second = map(str, in_words(marks(shift_ms), calibration))
    assert first == says
    assert second == "Two in three of your taps lie within 5 ms of their average."


@pytest.mark.parametrize("shift_ms", [-12, 12])
def test_further_from_zero_than_chance_but_not_than_the_equipment_may_be_is_said_so(shift_ms):
    """As the figures beside it: the interval of the bias leaves zero out, the uncertainty does not."""
    found = marks(shift_ms, uncertainty_ms=15.0)
    low, high = found.bias_ci95_ms
    assert not low <= 0 <= high
    side = "early" if shift_ms < 0 else "late"
    assert str(in_words(found, TAPPING)[0]) == (
        f"Your taps lie 12 ms {side} on average, but the delay of the equipment is known to 15 ms only."
    )


def test_without_a_calibration_nothing_is_said_of_early_and_late():
    assert [str(each) for each in in_words(marks(-20), None)] == [
        "Two in three of your taps lie within 5 ms of their average."
    ]


def test_what_the_verdict_says_is_not_said_again():
    assert len(in_words(marks(-60), MICROPHONE, (EARLY(ms=60),))) == 1
    first, _ = in_words(marks(-40), MICROPHONE, (EARLY(ms=40),))
    assert str(first) == "Most people's taps come early."


def test_too_close_to_tell_is_not_followed_by_neither_early_nor_late():
    assert [str(each) for each in in_words(marks(1), MICROPHONE, (TOO_CLOSE(),))] == [
        "Two in three of your taps lie within 5 ms of their average."
    ]


def test_of_few_taps_nothing_is_said():
    one = drill("beat")
    trial = one.make(2, 1)
    few = one.mark(trial, Answer(taps_s=simulate("perfect", trial, 1).taps_s[:2])).taps
    assert in_words(few, MICROPHONE) == ()
