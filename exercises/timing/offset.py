"""Offset of a press from its target in bars, beats and milliseconds: press minus target, early negative."""

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
    """Whole bars and beats (same sign, or 0), and the remaining milliseconds."""

    bars: int
    beats: int
    ms: float

    @property
    def words(self) -> Say:
        """The offset in words, such as ``one bar and 2 beats early``, without the milliseconds."""
        bars, beats = plural(abs(self.bars), ONE_BAR, BARS), plural(abs(self.beats), ONE_BEAT, BEATS)
        if not (self.bars or self.beats):
            return ON_IT()
        length = BOTH(bars=bars, beats=beats) if self.bars and self.beats else bars if self.bars else beats
        return (EARLY if self.bars + self.beats < 0 else LATE)(length=length)


def offset(off_s: float, period_s: float, beats_per_bar: int) -> Offset:
    """Split ``off_s`` seconds into bars, beats and at most half a beat in ms. ``ValueError`` if not finite.

    >>> offset(0.486, 0.5, 4)
    Offset(bars=0, beats=1, ms=-14.0)
    """
    if not math.isfinite(off_s) or not period_s > 0 or beats_per_bar < 1:
        raise ValueError(f"off {off_s} s, beat {period_s} s, {beats_per_bar} beats a bar: finite seconds expected")
    beats = round(off_s / period_s)
    sign = -1 if beats < 0 else 1
    bars, left = divmod(abs(beats), beats_per_bar)
    return Offset(sign * bars, sign * left, round(1000 * (off_s - beats * period_s), 6))
