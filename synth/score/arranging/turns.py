"""Phrase turns and the signals that announce them."""

from bisect import bisect
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from itertools import accumulate

import numpy as np

from synth.base.errors import near
from synth.score.hits import FILTER
from synth.score.rows import BEAT, Note, Rows, notes


class Signal(StrEnum):
    """A kind of turn signal. Files keep the order (``exercises.trial.kept.truth``): new ones come last."""

    FILL = "fill"
    ROLL = "snare roll"
    BEAT_WITHOUT_DRUMS = "beat without drums"
    BAR_WITHOUT_DRUMS = "bar without drums"
    RISER = "riser"
    REVERSED_CRASH = "reversed crash"
    CRASH = "crash"
    IMPACT = "impact"
    DOWN_SWEEP = "down-sweep"
    ECHO = "echo"
    FILTER = "filter sweep"
    LAYER_IN = "layer in"
    LAYER_OUT = "layer out"
    HAT_CHANGE = "hat change"
    BASS_IN = "bass in"


SIGNALS = tuple(Signal)

# Probability at a turn of each size, 1 to 4; see ``turn_size``. The first four exclude each other. The signals that
# are missing here follow from what the next phrase plays. Where nothing is drawn, one of them is: so no more than a
# third of the turns carry a fill or a roll.
LIKELY = {
    Signal.FILL: (0.14, 0.2, 0.22, 0.2),
    Signal.ROLL: (0.02, 0.04, 0.1, 0.12),
    Signal.BEAT_WITHOUT_DRUMS: (0.08, 0.18, 0.2, 0.2),
    Signal.BAR_WITHOUT_DRUMS: (0.01, 0.06, 0.15, 0.2),
    Signal.RISER: (0.03, 0.12, 0.35, 0.5),
    Signal.REVERSED_CRASH: (0.06, 0.14, 0.25, 0.3),
    Signal.CRASH: (0.2, 0.6, 0.85, 0.95),
    Signal.IMPACT: (0.02, 0.08, 0.2, 0.6),
    Signal.DOWN_SWEEP: (0.03, 0.1, 0.2, 0.3),
    Signal.ECHO: (0.03, 0.06, 0.12, 0.2),
    Signal.FILTER: (0.01, 0.05, 0.15, 0.25),
}
# What a band that plays by hand does not do, by the families of its grooves.
BY_MACHINE = (Signal.ROLL, Signal.RISER, Signal.IMPACT, Signal.DOWN_SWEEP, Signal.ECHO, Signal.FILTER)
BANDS = ("pop-rock", "soul", "funk", "disco", "six-eight", "three-four", "five-four")
# Velocity of crash and impact by size.
LOUD = (0.5, 0.72, 0.86, 1.0)
# Beats from the turn on which a last stroke comes again, each time softer by this factor.
ECHOES, ECHO_LOUD, ECHO_FALL = (0.5, 1.25, 2.0, 2.75), 0.46, 0.7
LAST_BARS = (Signal.FILL, Signal.ROLL, Signal.BEAT_WITHOUT_DRUMS, Signal.BAR_WITHOUT_DRUMS)
# One of them is drawn at most: where its share of all turns of a size ends.
LAST_SHARES = tuple(tuple(accumulate(LIKELY[signal][at] for signal in LAST_BARS)) for at in range(4))


@dataclass(frozen=True, slots=True)
class PhraseTurn:
    """A turn in the sound: time of the new phrase's first beat, and its signals."""

    time_s: float
    signals: tuple[str, ...]


def check_signals(names: Collection[str]) -> frozenset[Signal]:
    """Parse names of signals. Raises ``ValueError`` for one that is unknown or cannot be drawn."""
    for name in names:
        if name not in list(LIKELY):
            raise ValueError(f"turn signal {name!r} is none of {', '.join(LIKELY)}.{near(name, LIKELY)}")
    return frozenset(Signal(name) for name in names)


def turn_size(bars: int, section_ends: bool) -> int:
    """Size of a turn that comes ``bars`` bars into its section, 1 to 4.

    1 every 4 bars, 2 every 8, 3 every 16 or where a section ends, 4 every 32 or where a section of 16 or more ends.
    """
    if bars % 32 == 0 or (section_ends and bars >= 16):
        return 4
    return 3 if bars % 16 == 0 or section_ends else 2 if bars % 8 == 0 else 1


def draw_signals(
    generator: np.random.Generator, size: int, allowed: Collection[str] = frozenset(LIKELY)
) -> frozenset[Signal]:
    """Draw the signals of a turn of ``size`` 1 to 4 from ``allowed`` (default: all), one at least if any is."""
    known = [signal for signal in LIKELY if signal in allowed]
    if not known:
        return frozenset()
    *chances, which, last = generator.random(2 + len(LIKELY)).tolist()
    drawn = {
        signal
        for chance, (signal, likely) in zip(chances, LIKELY.items(), strict=True)
        if chance < likely[size - 1] and signal not in LAST_BARS and signal in allowed
    }
    place = bisect(LAST_SHARES[size - 1], last)
    if place < len(LAST_BARS) and LAST_BARS[place] in allowed:
        drawn.add(LAST_BARS[place])
    if Signal.RISER in drawn:
        drawn.discard(Signal.REVERSED_CRASH)
    if not drawn:  # then the usual ones of this size are the likelier
        shares = list(accumulate(LIKELY[signal][size - 1] for signal in known))
        drawn = {known[bisect(shares, which * shares[-1])]}
    return frozenset(drawn)


@lru_cache(maxsize=64)
def usual_signals(family: str) -> frozenset[Signal]:
    """Signals of records whose groove is of a family."""
    return frozenset(LIKELY) - (frozenset(BY_MACHINE) if family in BANDS else frozenset())


@lru_cache(maxsize=256)
def after(signals: frozenset[Signal], size: int, sharp: str = "clap") -> Rows:
    """Sounds on a turn of ``size`` 1 to 4, beats counted from it; ``sharp`` is the drum whose last stroke echoes."""
    hits: list[Note] = [
        (0.0, voice, LOUD[size - 1], 0.0, 0.0)
        for signal, voice in ((Signal.CRASH, "crash"), (Signal.IMPACT, "impact"))
        if signal in signals
    ]
    if Signal.ECHO in signals:
        hits += [(at, sharp, ECHO_LOUD * ECHO_FALL**n, 0.0, 0.0) for n, at in enumerate(ECHOES[:size])]
    if Signal.DOWN_SWEEP in signals:
        hits.append((0.0, "down_sweep", 0.8, 0.0, 4.0))
    return notes(hits)


@lru_cache(maxsize=256)
def before(signals: frozenset[Signal], beats_per_bar: int, phrase_bars: int, size: int) -> Rows:
    """Sounds that rise into a turn of ``size`` 1 to 4, beats counted from it (negative)."""
    found: list[Note] = []
    for signal, voice in ((Signal.RISER, "riser"), (Signal.FILTER, FILTER)):
        if signal in signals:
            length = float(beats_per_bar * min(phrase_bars, size))
            found.append((-length, voice, 0.8, 0.0, length))
    if Signal.REVERSED_CRASH in signals:
        length = float(min(beats_per_bar, 2))
        found.append((-length, "reversed_crash", 0.85, 0.0, length))
    return notes(found)


def without_drums(bar: Rows, last_beats: int, beats_per_bar: int) -> Rows:
    """Silence the last beats of a bar."""
    return bar[bar[:, BEAT] < beats_per_bar - last_beats - 1e-6]
