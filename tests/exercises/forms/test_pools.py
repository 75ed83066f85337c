"""Every groove of a pool keeps the pool's promise, by the drums that its file writes (common practice)."""

import numpy as np
import pytest

from exercises.drills import drills
from exercises.forms import pools
from synth.score.grooves import Groove, groove, groove_files

pytestmark = pytest.mark.sampled(4)

LOUD = 0.5  # a ghost note is softer


def beats_of(pattern: Groove, *drums: str) -> list[set[float]]:
    """Beats (from 1) with a loud hit of one of these drums, for every bar of a groove."""
    a_beat = pattern.steps_per_bar / pattern.metre.beats_per_bar
    return [
        {
            1 + step / a_beat
            for drum in drums
            for step, velocity in enumerate(pattern.bar_of(drum, bar))
            if velocity > LOUD
        }
        for bar in range(pattern.bars)
    ]


def test_fours_have_a_kick_on_every_beat(subtests):
    for name in pools.FOURS:
        with subtests.test(name=name):
            assert all({1, 2, 3, 4} <= bar for bar in beats_of(groove(name, []), "kick"))
            sharp = [drum for drum in ("snare", "clap") if drum in groove(name, []).lines] or ["rim"]
            assert all({2, 4} <= bar and not {1, 3} & bar for bar in beats_of(groove(name, []), *sharp))


def test_kick_and_snare_take_turns(subtests):
    for name in pools.TAKING_TURNS:
        with subtests.test(name=name):
            pattern = groove(name, [])
            assert all({1, 3} <= bar and not {2, 4} & bar for bar in beats_of(pattern, "kick"))
            assert all({2, 4} <= bar and not {1, 3} & bar for bar in beats_of(pattern, "snare"))


def test_the_second_kick_is_not_on_the_three(subtests):
    for name in pools.EARLY_OR_LATE:
        with subtests.test(name=name):
            assert all(1 in bar and not bar & {2, 4} for bar in beats_of(groove(name, []), "kick"))
            assert all(any(2 < beat < 4 and beat != 3 for beat in bar) for bar in beats_of(groove(name, []), "kick"))


def test_the_backbeat_stands_on_the_three(subtests):
    for name in pools.HALF_TIMES:
        with subtests.test(name=name):
            assert all(3 in bar and not {1, 2, 4} & bar for bar in beats_of(groove(name, []), "snare"))


def test_the_first_rungs_draw_from_at_least_four_grooves_and_every_groove_is_drawn_somewhere():
    rungs = [rung for each in drills().values() for rung in each.rungs[:3]]
    few = [rung.new.text for rung in rungs if len(set(rung.grooves)) < 4]
    assert few == []
    drawn = {name for each in drills().values() for rung in each.rungs for name in rung.grooves}
    assert drawn == set(groove_files([]))
    assert len(drawn) >= 28


def test_no_kick_of_the_bar_is_louder_than_another(subtests):
    for name in groove_files([]):
        with subtests.test(name=name):
            loud = {velocity for bar in groove(name, []).lines["kick"] for velocity in bar if velocity > LOUD}
            assert len(loud) == 1


def test_draws_names_the_groove_that_make_plays():
    for each in drills().values():
        for seed in range(3):
            assert each.draws(2, seed) == each.make(2, seed).groove


def test_grooves_of_a_pool_come_alike_often():
    one = drills()["one"]
    names = [one.draws(1, seed) for seed in range(400)]
    # 100 expected of each of four, SD 8.7: 65 lies four SD below.
    assert all(names.count(name) > 65 for name in np.unique(names))
