"""A text file of beats as a source of truth: seconds, a tab, bar.beat, as ``render --beats`` writes them."""

import re
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from synth.base.arrays import Ints, Seconds
from synth.base.border import read_text, shown
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.catalogue.correction import TEMPOS_BPM, from_first_one
from synth.catalogue.entry import LONGEST_S
from synth.recording.grid import LEAST_UNCERTAINTY_MS, STEADY_S, Grid
from synth.recording.refusals import NOT_FOUR, WANDERS

MOST_BYTES, MOST_BEATS = 8_000_000, 100_000
LAST_BAR = 100_000
FEWEST = 8
LINE = re.compile(r"(\d{1,6}(?:\.\d{1,12})?)[ \t]+(\d{1,6})\.(\d{1,2})")
# Phrases where nothing says how long they are.
USUAL_PHRASE = 8

NOT_BEATS = Template(
    "beats.not_beats", "{path}, line {line}: seconds, a tab and bar.beat expected, such as 12.5 7.2."
)
UNSORTED = Template(
    "beats.unsorted", "{path}, line {line}: later than the line before expected, in time and in count."
)
FEW = Template("beats.few", "{path}: too few beats for a grid.")
MANY = Template("beats.many", "{path}: more beats than any recording has.")
OUTSIDE = Template("beats.outside", "its beats go on to {seconds} s, after the end of the sound.")
REFUSED = Template("beats.refused", "{path}: {why}")


@dataclass(frozen=True, slots=True, eq=False)
class Beats:
    """Times of beats in s (n,), and their numbers from the one of bar 1 on, which is 0 (n,); both increase."""

    at_s: Seconds
    number: Ints


def read_beats(path: Path) -> Beats:
    """The beats of a file; empty lines and those that begin with # are left out. Raises ``Trouble`` for others."""
    at_s: list[float] = []
    number: list[int] = []
    for line, text in enumerate(read_text(path, MOST_BYTES).splitlines(), 1):
        if not text.strip() or text.startswith("#"):
            continue
        found = LINE.fullmatch(text.strip())
        if found is None:
            raise Trouble(NOT_BEATS(path=shown(path), line=line))
        if not 1 <= int(found[3]) <= 4:
            raise Trouble(REFUSED(path=shown(path), why=NOT_FOUR()))
        at_s.append(float(found[1]))
        number.append(4 * (int(found[2]) - 1) + int(found[3]) - 1)
        if len(at_s) > 1 and (at_s[-1] <= at_s[-2] or number[-1] <= number[-2]):
            raise Trouble(UNSORTED(path=shown(path), line=line))
        if len(at_s) > MOST_BEATS:
            raise Trouble(MANY(path=shown(path)))
    return checked(Beats(np.array(at_s), np.array(number, np.int64)), shown(path))


def checked(beats: Beats, name: str) -> Beats:
    """The same beats; ``Trouble`` for too few, and for times and bars that no recording has."""
    if len(beats.at_s) < FEWEST:
        raise Trouble(FEW(path=name))
    if beats.at_s[-1] > LONGEST_S or beats.number[-1] > 4 * LAST_BAR:
        raise Trouble(MANY(path=name))
    return beats


def grid_of_beats(beats: Beats, before: Grid, name: str) -> Grid:
    """The steady grid through beats in four, by least squares; phrases and intro stay as they were ``before``.

    It holds as long as it did, and where there was no grid until the last beat. Raises ``Trouble`` where the beats
    wander, or lie outside the sound.
    """
    beat_s, one_s = np.polyfit(beats.number.astype(np.float64), beats.at_s, 1)
    off_s = beats.at_s - (one_s + beat_s * beats.number)
    low, high = TEMPOS_BPM
    why: Say | None = None
    if np.abs(off_s).max() > STEADY_S or not low <= 60 / beat_s <= high:
        why = WANDERS(ms=round(1000 * float(np.abs(off_s).max())))
    elif beats.at_s[-1] > before.duration_s + beat_s:
        why = OUTSIDE(seconds=f"{beats.at_s[-1]:.1f}")
    if why is not None:
        raise Trouble(REFUSED(path=name, why=why))
    had = before.refused is None
    last_s = min(float(beats.at_s[-1] + beat_s), before.duration_s)
    made = replace(
        before,
        refused=None,
        tempo_bpm=float(60 / beat_s),
        one_s=float(one_s),
        start_s=before.start_s if had else max(0.0, float(beats.at_s[0])),
        steady_until_s=max(before.steady_until_s, last_s) if had else last_s,
        phrase_bars=before.phrase_bars if had else USUAL_PHRASE,
        phrase_first=0,
        intro_bars=None,
        uncertainty_ms=float(np.hypot(LEAST_UNCERTAINTY_MS, 1000 * np.std(off_s))),
        tempo_confidence=1.0,
        one_confidence=1.0,
        phrase_confidence=0.0,
        sure=True,
        beats_per_bar=4,
    )
    made = from_first_one(made)
    return _with_phrases_of(made, before) if had else made


def _with_phrases_of(grid: Grid, before: Grid) -> Grid:
    """Phrases and intro at the bars that are nearest to where they were."""
    bar_s, old_s = (4 * each.beat_s for each in (grid, before))

    def bar_at(bars: int) -> int:
        return round((before.one_s + bars * old_s - grid.one_s) / bar_s)

    first = bar_at(before.phrase_first) % grid.phrase_bars
    intro = None if before.intro_bars is None else max(0, bar_at(before.intro_bars))
    return replace(grid, phrase_first=first, intro_bars=intro, phrase_confidence=before.phrase_confidence)
