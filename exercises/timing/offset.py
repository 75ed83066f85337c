"""How far a press was off, as people in the trade would tell it: bars, then beats, then milliseconds.

Conventions: off is press minus target, early negative and late positive.
"""

import math
from dataclasses import dataclass

from synth.base.words import Say, Template, plural

ON_IT = Template("offset.on_it", "on the beat")
ONE_BEAT = Template("offset.one_beat", "one beat")
BEATS = Template("offset.beats", "{n} beats")
ONE_BAR = Template("offset.one_bar", "one bar")
BARS = Template("offset.bars", "{n} bars")
BOTH = Template("offset.both", "{bars} and {beats}")
EARLY = Template("offset.early", "{length} early")
LATE = Template("offset.late", "{length} late")


@dataclass(frozen=True, slots=True)
class Offset:
    """Whole bars and beats, and the milliseconds from there on; bars and beats have the same sign, or are 0."""

    bars: int
    beats: int
    ms: float

    @property
    def words(self) -> Say:
        """``one bar and 2 beats early``, without the milliseconds."""
        bars, beats = plural(abs(self.bars), ONE_BAR, BARS), plural(abs(self.beats), ONE_BEAT, BEATS)
        if not (self.bars or self.beats):
            return ON_IT()
        length = BOTH(bars=bars, beats=beats) if self.bars and self.beats else bars if self.bars else beats
        return (EARLY if self.bars + self.beats < 0 else LATE)(length=length)


def offset(off_s: float, period_s: float, beats_per_bar: int) -> Offset:
    """``off_s`` seconds as bars, beats and the rest in ms, at most half a beat of it.

    >>> offset(0.486, 0.5, 4)
    Offset(bars=0, beats=1, ms=-14.0)
    """
    if not math.isfinite(off_s) or not period_s > 0 or beats_per_bar < 1:
        raise ValueError(f"off {off_s} s, beat {period_s} s, {beats_per_bar} beats a bar: finite seconds expected")
    beats = round(off_s / period_s)
    sign = -1 if beats < 0 else 1
    bars, left = divmod(abs(beats), beats_per_bar)
    return Offset(sign * bars, sign * left, round(1000 * (off_s - beats * period_s), 6))
