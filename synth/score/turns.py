"""Phrase turns and the signals that announce them."""

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from synth.base.errors import near
from synth.score.rows import BEAT, Rows, rows


class Signal(StrEnum):
    """A kind of turn signal."""

    FILL = "fill"
    BEAT_WITHOUT_DRUMS = "beat without drums"
    BAR_WITHOUT_DRUMS = "bar without drums"
    RISER = "riser"
    REVERSED_CRASH = "reversed crash"
    CRASH = "crash"
    IMPACT = "impact"
    DOWN_SWEEP = "down-sweep"
    LAYER_IN = "layer in"
    LAYER_OUT = "layer out"
    HAT_CHANGE = "hat change"
    BASS_IN = "bass in"


# Probability at a turn within a section, and at the end of one. The first three exclude each other. The signals
# that are missing here follow from what the next phrase plays.
LIKELY = {
    Signal.FILL: (0.62, 0.55),
    Signal.BEAT_WITHOUT_DRUMS: (0.16, 0.2),
    Signal.BAR_WITHOUT_DRUMS: (0.06, 0.2),
    Signal.RISER: (0.1, 0.4),
    Signal.REVERSED_CRASH: (0.12, 0.3),
    Signal.CRASH: (0.5, 0.85),
    Signal.IMPACT: (0.08, 0.3),
    Signal.DOWN_SWEEP: (0.08, 0.25),
}
LAST_BARS = (Signal.FILL, Signal.BEAT_WITHOUT_DRUMS, Signal.BAR_WITHOUT_DRUMS)


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


def draw_signals(
    generator: np.random.Generator, section_ends: bool, allowed: Collection[str] | None = None
) -> frozenset[Signal]:
    """Draw the signals of a turn from ``allowed`` (default: all), at least one where any is allowed."""
    known = [signal for signal in LIKELY if allowed is None or signal in allowed]
    if not known:
        return frozenset()
    chance = generator.random(2 + len(LIKELY))
    drawn: set[Signal] = set()
    share = 0.0
    for at, signal in enumerate(LIKELY):
        likely = LIKELY[signal][section_ends]
        if signal in LAST_BARS:
            hit, share = share <= chance[-1] < share + likely, share + likely
        else:
            hit = bool(chance[at] < likely)
        if hit and signal in known:
            drawn.add(signal)
    if Signal.RISER in drawn:
        drawn.discard(Signal.REVERSED_CRASH)
    return frozenset(drawn or {known[int(chance[-2] * len(known))]})


def after(signals: Collection[Signal]) -> Rows:
    """Sounds on the turn, beats counted from it."""
    hits = [
        (0.0, voice, velocity)
        for signal, voice, velocity in ((Signal.CRASH, "crash", 0.9), (Signal.IMPACT, "impact", 0.9))
        if signal in signals
    ]
    sweep = rows([(0.0, "down_sweep", 0.8)], duration_beats=4.0) if Signal.DOWN_SWEEP in signals else rows([])
    return np.concatenate([rows(hits), sweep])


def before(signals: Collection[Signal], beats_per_bar: int, phrase_bars: int, section_ends: bool) -> Rows:
    """Sounds that rise into the turn, beats counted from it (negative)."""
    found = [rows([])]
    if Signal.RISER in signals:
        length = float(beats_per_bar * min(phrase_bars, 4 if section_ends else 2))
        found.append(rows([(-length, "riser", 0.8)], duration_beats=length))
    if Signal.REVERSED_CRASH in signals:
        length = float(min(beats_per_bar, 2))
        found.append(rows([(-length, "reversed_crash", 0.85)], duration_beats=length))
    return np.concatenate(found)


def without_drums(bar: Rows, last_beats: int, beats_per_bar: int) -> Rows:
    """Silence the last beats of a bar."""
    return bar[bar[:, BEAT] < beats_per_bar - last_beats - 1e-6]
