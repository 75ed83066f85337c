"""A groove's pattern as a list, for the tests."""

from collections.abc import Iterator

from synth.score.grooves import Groove


def hits_in_bar(groove: Groove, bar_index: int) -> Iterator[tuple[float, str, float]]:
    """Every hit of a bar (from 0, the pattern repeating) as (beats from the bar's start, drum, velocity).

    The shift in milliseconds is not part of the beats.
    """
    for drum in groove.lines:
        for step, velocity in enumerate(groove.bar_of(drum, bar_index)):
            if velocity:
                yield groove.step_beats(step), drum, velocity
