"""Kits of the trials: fixed on the first rungs, then drawn, apart from what is asked."""

import numpy as np
import pytest

from exercises.drills import drills
from exercises.forms.drill import SAME_KITS_TO
from synth.base.errors import Trouble
from synth.sound.kits import FAMILY_NAMES

pytestmark = pytest.mark.sampled(3)


@pytest.mark.proof
@pytest.mark.parametrize("name", ["one", "land", "in-line"])
def test_kits_are_drawn_from_the_third_rung_on(name: str, quiet) -> None:
    """Over 12 seeds: one kit on rungs 1 and 2, many on rung 3; the second record never has the first one's."""
    drill = drills()[name]
    for rung in (1, 2, 3):
        trials = [drill.make(rung, seed) for seed in range(12)]
        kits = {trial.kit_seed for trial in trials}
        assert len(kits) == 1 if rung <= SAME_KITS_TO else len(kits) > 5
        for trial in trials:
            others = [part.kit_seed for part in (*trial.beside, *([trial.entry] if trial.entry else []))]
            assert trial.kit_seed not in others


def test_a_family_changes_the_kit_and_nothing_else(quiet) -> None:
    """Targets, groove, tempo and question stay; the kit's number is one of the family."""
    drill = drills()["one"]
    for seed in range(4):
        plain = drill.make(3, seed)
        for family in FAMILY_NAMES:
            wished = drill.make(3, seed, kit_family=family)
            assert FAMILY_NAMES[wished.kit_seed % len(FAMILY_NAMES)] == family
            np.testing.assert_array_equal(wished.targets_s, plain.targets_s)
            assert (wished.groove, wished.period_s) == (plain.groove, plain.period_s)
            assert str(wished.question) == str(plain.question)
    with pytest.raises(Trouble, match="tin"):
        drill.make(3, 0, kit_family="tin")
