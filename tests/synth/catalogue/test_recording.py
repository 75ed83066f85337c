"""What may be done with a recording in each of its states."""

from dataclasses import replace

import pytest

from synth.catalogue.recording import State
from tests.synth.catalogue.made import GRID, NO_GRID, REFUSED, recording


@pytest.mark.parametrize(
    ("made", "usable"),
    [
        (recording(), True),
        (recording(grid=replace(GRID, sure=False)), False),
        (recording(grid=replace(GRID, sure=False)).confirmed("tutor"), True),
        (REFUSED, False),
        (recording(grid=NO_GRID, state=State.UNREADABLE), False),
    ],
)
def test_only_sure_and_confirmed_ones_are_usable(made, usable):
    assert made.usable is usable


def test_another_grid_is_a_new_version_that_nobody_has_confirmed():
    before = recording().confirmed("tutor")
    after = before.with_grid(replace(GRID, one_s=0.3))
    assert (before.state, before.confirmed_by, before.grid_version) == (State.CONFIRMED, "tutor", 1)
    assert (after.state, after.confirmed_by, after.grid_version) == (State.FOUND, "", 2)
    assert before.with_grid(GRID) is before
    assert before.with_grid(NO_GRID).state is State.REFUSED


def test_nobody_confirms_nothing():
    with pytest.raises(ValueError, match="without a grid"):
        REFUSED.confirmed("learner")
    with pytest.raises(ValueError, match="nobody"):
        recording().confirmed("")


def test_a_name_stands_in_for_a_missing_title():
    assert recording().name == "Invented 1"
    assert recording(title="").name == "1"
