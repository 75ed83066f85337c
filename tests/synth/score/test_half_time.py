"""Half and double time of a groove."""

from itertools import product

from synth.score.grooves import groove, grooves
from synth.score.half_time import HAT_HAND, double_time, half_time
from synth.score.hits import SHARP_DRUMS
from tests.synth.score.pattern import hits_in_bar


def places(pattern, drum, bars, times=1.0):
    """Beats from the start (``times`` over) on which a drum sounds, velocities left out, over so many bars."""
    per_bar = pattern.metre.beats_per_bar
    return {
        round(times * (bar * per_bar + beats), 6)
        for bar in range(bars)
        for beats, name, _ in hits_in_bar(pattern, bar)
        if name == drum
    }


def test_the_backbeat_moves_to_the_three_and_to_the_ands():
    """Common practice: half time puts the backbeat on three, double time on every "and"."""
    assert half_time(groove("backbeat")).backbeat_on == (3,)
    assert double_time(groove("backbeat")).backbeat_on == (1.5, 2.5, 3.5, 4.5)


def test_drums_sound_half_or_twice_as_fast_and_hats_as_before(subtests):
    """Every place of a drum doubled or halved; what the hat hand plays stays, on every groove that ships."""
    from dataclasses import replace

    for name in sorted(grooves()):
        with subtests.test(name=name):
            straight = replace(groove(name), swing=0.5)
            slow, fast = half_time(straight), double_time(straight)
            bars = 2 * straight.bars
            for drum in straight.lines:
                if drum in HAT_HAND:
                    assert places(slow, drum, bars) == places(straight, drum, bars) == places(fast, drum, bars)
                else:
                    assert places(slow, drum, 2 * bars) == places(straight, drum, bars, 2)
                    assert places(fast, drum, bars // 2) == places(straight, drum, bars, 0.5)


def test_kick_and_backbeat_stand_where_the_groove_says(subtests):
    """As in the groove it is made of: in every bar."""
    for name, feel in product(sorted(grooves()), [half_time, double_time]):
        with subtests.test(name=name, feel=feel.__name__):
            pattern = feel(groove(name))
            per_bar = pattern.metre.beats_per_bar
            for beats, drums in ((pattern.kick_on, ("kick",)), (pattern.backbeat_on, SHARP_DRUMS)):
                there = set().union(*(places(pattern, drum, pattern.bars) for drum in drums))
                assert {round(bar * per_bar + beat - 1, 6) for bar in range(pattern.bars) for beat in beats} <= there
