"""Half time and double time: kick and backbeat half or twice as often, tempo and hats unchanged and straight."""

from dataclasses import replace
from types import MappingProxyType

from synth.score.grooves import Groove
from synth.score.hits import HATS

# Drums that stay unchanged: half time slows kick and backbeat alone (the drum pattern and the felt bar need not
# agree: de Clercq 2016, Music Theory Online 22(3)).
HAT_HAND = (*HATS, "pedal_hat", "shaker", "tambourine")


def straightened(groove: Groove) -> Groove:
    """Remove the swing."""
    return replace(groove, swing=0.5)


def half_time(groove: Groove) -> Groove:
    """Stretch kick and backbeat to twice their length: a backbeat on three instead of those on two and four."""
    steps = groove.steps_per_bar
    lines = {}
    for drum, bars in groove.lines.items():
        if drum in HAT_HAND:
            lines[drum] = bars
            continue
        lines[drum] = tuple(
            tuple(bar[at // 2] if at % 2 == 0 else 0.0 for at in range(start, start + steps))
            for bar in bars
            for start in (0, steps)
        )
    half = groove.metre.beats_per_bar / 2

    def stretched(beats: tuple[float, ...]) -> tuple[float, ...]:
        """Beats on which both merged bars have a hit; none in metres that cannot be halved."""
        return tuple(2 * beat - 1 for beat in beats if beat + half in beats)

    return replace(
        groove,
        swing=0.5,
        lines=MappingProxyType(lines),
        kick_on=stretched(groove.kick_on),
        backbeat_on=stretched(groove.backbeat_on),
    )


def double_time(groove: Groove) -> Groove:
    """Play kick and backbeat twice as often: a backbeat on every "and" instead of those on two and four."""
    lines = {}
    for drum, bars in groove.lines.items():
        if drum in HAT_HAND:
            lines[drum] = tuple(tuple(v for step in bar for v in (step, 0.0)) for bar in bars)
        else:
            twice = bars if len(bars) % 2 == 0 else bars + bars
            lines[drum] = tuple(twice[at] + twice[at + 1] for at in range(0, len(twice), 2))
    middle = groove.metre.beats_per_bar / 2

    def squeezed(beats: tuple[float, ...]) -> tuple[float, ...]:
        return tuple((beat - 1) / 2 + 1 + start for start in (0.0, middle) for beat in beats)

    return replace(
        groove,
        swing=0.5,
        steps_per_bar=2 * groove.steps_per_bar,
        lines=MappingProxyType(lines),
        kick_on=squeezed(groove.kick_on),
        backbeat_on=squeezed(groove.backbeat_on),
    )
