"""The choice by hand, kept by the settings and taken up again."""

import pytest

from app.practice.kept_wish import kept_wish, wish_left
from app.practice.plan.placing import first_of_all
from app.practice.trial.next_trial import Wish
from app.settings import Settings
from exercises.trial.modes import Mode

WISH = Wish("beat", 3, 118.0, "backbeat", mode=Mode.BUSY, way="letters", kit_family="machine", record="a" * 32)
BARE = Wish("beat", mode=Mode.BUSY, way="letters")


@pytest.mark.parametrize("wish", [WISH, BARE])
def test_it_comes_back(wish):
    assert wish_left(Settings(way="letters", **kept_wish(wish))) == wish


@pytest.mark.parametrize("gone", [{"rung": 99}, {"groove": "nowhere"}, {"tempo_bpm": 20.0}])
def test_of_what_is_no_more_the_drill_stays(gone):
    assert wish_left(Settings(way="letters", **kept_wish(WISH) | gone)) == BARE


def test_a_drill_that_is_no_more_gives_way_to_the_first():
    kept = kept_wish(WISH) | {"drill": "nowhere"}
    assert wish_left(Settings(way="letters", **kept)) == Wish(first_of_all().drill, mode=Mode.BUSY, way="letters")
