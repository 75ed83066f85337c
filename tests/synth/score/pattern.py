"""A groove's pattern as a list, for the tests."""

from collections.abc import Iterator

from synth.score.grooves import Groove


def hits_in_bar(groove: Groove, bar_index: int) -> Iterator[tuple[float, str, float]]:
    """Every hit of a bar (from 0, the pattern repeating) as (beats from the bar's start, drum, velocity).

    The shift in milliseconds is not part of the beats.
    """
    for drum in groove.lines:
        for beat, velocity in zip(groove.steps_beats, groove.bar_of(drum, bar_index), strict=True):
            if velocity:
                yield beat, drum, velocity
