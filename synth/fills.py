"""Fills: what a drummer plays at the end of a phrase to say that it turns."""

import numpy as np

from synth.metre import Metre
from synth.rows import Rows, cells, rows

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
# A word is a beat of four sixteenths. Our own patterns.
FILLS = tuple(
    fill.split()
    for fill in (
        "s.ss",
        "sgSs",
        "hhml",
        "cc.c",
        "s.s. ssSS",
        "hh.m m.ll",
        "s..s ..sS",
        "k.ss k.SS",
        "c.c. cccc",
        "h.hh m.ml",
        "gggs ssSS",
        "s.h. s.m. s.ll",
        "s..s ..s. shml",
        "gggg ssss ssss SSSS",
        "s.s. h.h. m.m. l.lS",
        "hhss mmss llss SkSk",
        "c... c... c.c. cccc",
        "s..s ..s. .s.s SSSo",
    )
)


def draw_fill(generator: np.random.Generator, metre: Metre, longest_beats: int = 4) -> tuple[int, Rows]:
    """A fill for the end of a bar: its length in beats, and its rows, counted from its own start."""
    longest = max(1, min(longest_beats, metre.beats_per_bar))
    fits = [fill for fill in FILLS if len(fill) <= longest]
    words = fits[int(generator.integers(len(fits)))]
    return len(words), rows([(beat, *LETTERS[letter]) for beat, letter in cells(metre, words)])
