"""Variation: every record plays its groove a little differently, so that no record is learnt by heart."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np

from synth.score.grooves import VELOCITY, Groove
from synth.score.hits import SHARP_DRUMS

# Drums that carry the promise of a groove: only their ghost notes and, where the groove names its kicks, its
# other kicks vary.
FIXED = ("kick", *SHARP_DRUMS)
# Probability that a kick beside those that the groove names is left out, and that any other soft hit is.
KICK_OUT, SOFT_OUT = 0.3, 0.35
# Probability that a bar of a free drum begins elsewhere, and that one of its hits is left out.
TURNED, HIT_OUT = 0.6, 0.15

Bar = tuple[float, ...]


def varied(groove: Groove, generator: np.random.Generator) -> Groove:
    """The groove with other ghost notes, and its free drums turned by beats and thinned.

    Beats named in ``kick_on`` and ``backbeat_on`` stay, and every drum keeps a hit. A groove whose bars have two
    equal halves keeps them.
    """
    steps = groove.steps_per_bar
    even = all(len(bars) == 1 and bars[0][: steps // 2] * 2 == bars[0] for bars in groove.lines.values())
    unit = steps // 2 if even else steps
    a_beat = steps // groove.metre.beats_per_bar
    named = {round((beat - 1) * a_beat) % unit for beat in (*groove.kick_on, *groove.backbeat_on)}
    lines = {}
    for drum, bars in groove.lines.items():
        free = drum not in FIXED or (drum == "rim" and {"snare", "clap"} & set(groove.lines))
        # A kick that is named on the one alone plays a pattern of its own.
        kicks_vary = drum == "kick" and len(groove.kick_on) > 1
        turn = a_beat * int(generator.integers(unit // a_beat)) if generator.random() < TURNED else 0
        made = []
        for bar in bars if len(bars) > 1 or even else bars * 2:
            half = bar[:unit]
            chance = generator.random(unit)
            if free:
                half = half[turn:] + half[:turn]
                new = tuple(0.0 if out < HIT_OUT else loud for loud, out in zip(half, chance.tolist(), strict=True))
            else:
                new = tuple(
                    0.0
                    if step not in named
                    and ((loud <= VELOCITY["o"] and out < SOFT_OUT) or (kicks_vary and out < KICK_OUT))
                    else loud
                    for step, (loud, out) in enumerate(zip(half, chance.tolist(), strict=True))
                )
            made.append((new if any(new) else half) * (steps // unit))
        # With its last kick between the named ones a groove may lose what tells its one.
        named_alone = kicks_vary and not any(
            loud and step % unit not in named for bar in made for step, loud in enumerate(bar)
        )
        lines[drum] = bars if named_alone else tuple(made)
    return replace(groove, lines=MappingProxyType(lines))
