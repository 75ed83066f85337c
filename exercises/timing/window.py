"""The matching window: how far a tap may lie from its target."""

import numpy as np

from synth.score.metre import Count

# Window around a target, as a share of the beat, with a limit in seconds. New learners tap up to 80 ms early (Repp
# 2005, Psychon. Bull. Rev. 12, 969-992; from memory) with an SD of up to 40 ms (from memory, low confidence): two
# SDs beyond that are 160 ms, a third of the beat at the preferred tempo (120 to 130 BPM, Moelants 2002). A third is
# also nearer to this beat than to a tap half way to the next. At slow tempos errors grow less than the beat: at most
# 200 ms. The usual 70 ms of beat trackers are for machines.
WINDOW_SHARE = 1 / 3

WIDEST_WINDOW_S = 0.2


def row_near(count: Count, at_s: float, period_s: float) -> int | None:
    """Row of the beat nearest to a time; None where none lies within the window for a beat of ``period_s``."""
    row = int(np.argmin(np.abs(count.beats_s - at_s)))
    return row if abs(float(count.beats_s[row]) - at_s) <= window_s(period_s) else None


def window_s(period_s: float) -> float:
    """Window for a beat of ``period_s`` seconds: a third of it, at most 0.2 s."""
    return min(WINDOW_SHARE * period_s, WIDEST_WINDOW_S)
