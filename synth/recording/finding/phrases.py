"""Phrases of four and eight bars, and the intro, from what changes between the bars.

Novelty over 2, 4 and 8 bars is summed; the phase of the phrases is where most of it falls, with a preference for the
first bar that sounds. The intro ends at the first boundary from which the spectrum is about as full as usual.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats
from synth.recording.finding.downbeat import EIGHTHS, QUIETEST, Eighths
from synth.recording.finding.novelty import by_place, novelty, peaks, standardised

FEWEST_BARS = 6
# Bars -> weight of their novelty.
REACHES = ((2, 0.4), (4, 1.0), (8, 1.0))
# What the first bar that sounds adds to its own place among four, and eight; what is left of it where the recording
# begins at once and off the one by more than so many s: it was cut.
FIRST_OF_4, FIRST_OF_8 = 0.30, 0.20
CUT, AT_ONCE_S, OFF_S = 0.2, 0.02, 0.025
# Scale of onset patterns and chroma beside energies.
PATTERN_SIZE, CHROMA_SIZE = 0.25, 0.8
# Full: level of a band within 0.6 decades (low: 0.8) of the 65th percentile; usual: the 55th percentile of fullness.
USUAL_LEVEL, DECADES, LOW_DECADES = 65, 0.6, 0.8
USUAL_FULL, FULL, LOW_FULL = 55, 0.86, 0.7
BEGUN = 0.6


@dataclass(frozen=True, slots=True)
class Phrases:
    """``first_4``, ``first_8``: the bar on which the first whole phrase begins, from 0; margins from 0 to about 1.

    ``first_bar`` is the first that sounds. ``intro_bars`` is None where the recording never fills.
    """

    first_4: int
    first_8: int
    margin_4: float
    margin_8: float
    first_bar: int
    intro_bars: int | None


def phrases(by: Eighths, one: int) -> Phrases | None:
    """Phrases of a recording whose eighth ``one`` (0 to 7) is a one; None if it is too short to tell."""
    starts = np.arange(one, len(by.at_s) - EIGHTHS + 1, EIGHTHS)
    bars = len(starts)
    if bars < FEWEST_BARS:
        return None
    first = int(np.clip(np.ceil((by.first - one - 1) / EIGHTHS), 0, bars - 2))
    last = int(np.clip((by.last - one) // EIGHTHS, first + 1, bars - 1))
    in_bar = starts[:, None] + np.arange(EIGHTHS)
    energies, onsets = by.energies[in_bar].mean(axis=1), np.moveaxis(by.onsets[:, in_bar], 0, -1)
    rows = np.hstack([_coloured(energies, onsets), CHROMA_SIZE * _harmony(by, in_bar)])[first : last + 1]
    new = np.zeros(bars)
    for reach, weight in REACHES:
        if len(rows) > 2 * reach:
            new[first : last + 1] += weight * standardised(novelty(rows, reach))
    new[: first + 2] = new.min()
    counts = np.maximum(0, peaks(new, 2)) ** 1.5
    of_4, of_8 = (by_place(counts, places) / (counts.sum() + 1e-9) for places in (4, 8))
    bar_s = float(by.at_s[EIGHTHS] - by.at_s[0])
    off_s = (by.start_s - float(by.at_s[one]) + bar_s / 2) % bar_s - bar_s / 2
    trusted = CUT if by.start_s < AT_ONCE_S and abs(off_s) > OFF_S else 1.0
    of_4[first % 4] += FIRST_OF_4 * trusted
    of_8[first % 8] += FIRST_OF_8 * trusted
    first_4 = int(np.argmax(of_4))
    first_8 = max((first_4, first_4 + 4), key=lambda at: float(of_8[at]))
    best = np.sort(of_4)[::-1]
    return Phrases(
        first_4,
        first_8,
        float(best[0] - best[1]),
        float(abs(of_8[first_4] - of_8[first_4 + 4])),
        first,
        _intro(energies, onsets, first, last, first_4),
    )


def _coloured(energies: Floats, onsets: Floats) -> Floats:
    """Energies (bars, 14) and onset patterns, about their means."""
    bars = len(energies)
    by_half = onsets.reshape(bars, EIGHTHS // 2, 2, -1).mean(axis=1).reshape(bars, -1)
    pattern = np.hstack([by_half, 0.5 * onsets[:, :, 0], 0.5 * onsets[:, :, 3:6].mean(axis=2)])
    pattern = (pattern - pattern.mean(axis=0)) / (pattern.std() + 1e-9) * PATTERN_SIZE
    return np.hstack([np.maximum(energies - energies.mean(axis=0), QUIETEST), pattern])


def _harmony(by: Eighths, in_bar: npt.NDArray[np.int64]) -> Floats:
    return np.hstack([by.chords[in_bar].mean(axis=1), by.bass[in_bar].mean(axis=1)])


def _intro(energies: Floats, onsets: Floats, first: int, last: int, phrase: int) -> int | None:
    """Bars from the start until the recording is as full as usual."""
    raw = np.hstack([energies, np.log10(onsets.mean(axis=1) + 0.05)])
    usual = np.percentile(raw[first : last + 1], USUAL_LEVEL, axis=0)
    fullness = np.clip(1 + (raw - usual) / DECADES, 0, 1).mean(axis=1)
    low = np.clip(1 + (raw[:, :3] - usual[:3]) / LOW_DECADES, 0, 1).mean(axis=1)
    full, low_full = (np.percentile(each[first : last + 1], USUAL_FULL) for each in (fullness, low))
    begin = first + 1 if (first + 1) % 4 == phrase and fullness[first] < BEGUN * full else first
    for bar in (begin, *range(phrase, len(raw), 4)):
        if bar != begin and bar <= begin + 1:
            continue
        part = slice(bar, bar + 4)
        if fullness[part].mean() >= FULL * full and low[part].mean() >= LOW_FULL * low_full:
            return int(bar - begin)
    return None
