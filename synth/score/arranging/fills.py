"""Fills and rolls of the drums: what is played into the turn of a phrase, by family of groove, and how long it is."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from synth.score.grooves import Groove
from synth.score.hits import INDEX
from synth.score.metre import Metre
from synth.score.rows import VOICE, Rows, cells, rows

# The longest fill in beats, and the bars of a roll, by the size of the turn, 1 to 4 (``turns.turn_size``).
FILL_BEATS = (2, 3, 4, 4)
ROLL_BARS = (1, 1, 2, 4)
# Letter -> drum and velocity.
LETTERS = {
    "s": ("snare", 0.8),
    "S": ("snare", 1.0),
    "g": ("snare", 0.4),
    "k": ("kick", 0.9),
    "c": ("clap", 0.85),
    "h": ("high_tom", 0.85),
    "m": ("mid_tom", 0.88),
    "l": ("low_tom", 0.95),
    "o": ("open_hat", 0.8),
}
# Original patterns. A word is a beat of four sixteenths; letters as in ``LETTERS``, ``.`` a rest. By hand, fills roll
# over the toms and the kick plays on; in club music the kick rests while clap, snare or hat answer.
PLAYED = tuple(
    tuple(fill.split())
    for fill in (
        "s.ss",
        "sgSs",
        "hhml",
        "s.s. ssSS",
        "hh.m m.ll",
        "s..s ..sS",
        "k.ss k.SS",
        "h.hh m.ml",
        "gggs ssSS",
        "s.h. s.m. s.ll",
        "s..s ..s. shml",
        "gggg ssss ssss SSSS",
        "s.s. h.h. m.m. l.lS",
        "hhss mmss llss SkSk",
        "s..s ..s. .s.s SSSo",
    )
)
CLUB = tuple(
    tuple(fill.split())
    for fill in (
        "cc.c",
        ".c.c",
        "s.oo",
        "c.c. cccc",
        "..c. c.cc",
        "o.o. ccSS",
        "c... c.c. cccc",
        "s... ..s. s.oS",
        "c... c... c.c. cccc",
        "s.s. s.s. ssss SSSS",
        "..c. ..c. .c.c c.co",
    )
)
# Families whose kick rests in a fill.
CLUB_FAMILIES = ("house", "afro house", "latin", "minimal", "garage", "techno", "electro", "two-step")


@dataclass(frozen=True, slots=True, eq=False)
class Fill:
    """A fill of the last ``beats`` of a bar: its rows, counted from the start of the bar, read-only.

    ``kick_rests``: the groove's kick does not play on under it, for the fill plays its own or is of club music.
    """

    beats: int
    rows: Rows
    kick_rests: bool


def longest_fill_beats(size: int, bars: int) -> int:
    """Beats of the longest fill into a turn of ``size`` 1 to 4 that ends a phrase of ``bars``."""
    return FILL_BEATS[size - 1] if bars > 1 else 1


def roll_bars(size: int, bars: int) -> int:
    """Bars of a roll into a turn of ``size`` 1 to 4 that ends a phrase of ``bars``: half of it at most."""
    return min(ROLL_BARS[size - 1], max(1, bars // 2))


def draw_fill(generator: np.random.Generator, groove: Groove, longest_beats: int) -> Fill:
    """Draw one of the fills of the groove's family that are no longer than this and than a bar."""
    club = groove.family in CLUB_FAMILIES
    longest = max(1, min(longest_beats, groove.metre.beats_per_bar))
    fits = [fill for fill in (CLUB if club else PLAYED) if len(fill) <= longest]
    return _fill(groove.metre, fits[int(generator.integers(len(fits)))], club)


@lru_cache(maxsize=128)
def _fill(metre: Metre, words: tuple[str, ...], club: bool) -> Fill:
    start = metre.beats_per_bar - len(words)
    played = rows([(start + beat, *LETTERS[letter]) for beat, letter in cells(metre, words)])
    return Fill(len(words), played, club or bool(INDEX["kick"] in played[:, VOICE]))


def roll(metre: Metre, bar: int, bars: int) -> Rows:
    """Bar ``bar`` of a snare roll of ``bars``: it thickens by thirds, from beats to halves and quarters of a beat."""
    per_bar = metre.beats_per_bar
    hits = []
    for beat in range(per_bar):
        part = (1, 2, 3 if metre.compound else 4)[3 * (bar * per_bar + beat) // (bars * per_bar)]
        places = beat + np.arange(part) / part
        hits += [(at, "snare", 0.35 + 0.5 * (bar + at / per_bar) / bars) for at in places.tolist()]
    return rows(hits)
