"""Even drums: both halves of the bar alike, as in much club music; bass, chords and phrase tell the one."""

from dataclasses import replace
from types import MappingProxyType

from synth.score.grooves import VELOCITY, Groove


def evened(groove: Groove) -> Groove:
    """Every bar plays the first half of its pattern's first bar twice, ghost notes left out.

    A drum that is silent there is left out too. A bar that has no two equal halves stays as it is.
    """
    beats, steps = groove.metre.beats_per_bar, groove.steps_per_bar
    if beats % 2 or steps % 2:
        return groove
    lines = {}
    for drum, bars in groove.lines.items():
        half = tuple(velocity if velocity > VELOCITY["o"] else 0.0 for velocity in bars[0][: steps // 2])
        if any(half):
            lines[drum] = (half + half,)
    return replace(groove, lines=MappingProxyType(lines))
