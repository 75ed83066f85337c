"""Invented records for the pictures of the window: names, grids and loudness of no real music, and silent files."""

from datetime import date
from pathlib import Path

import numpy as np

from synth.catalogue.catalogue import Catalogue
from synth.catalogue.outline import CELL_S
from synth.catalogue.recording import Recording, State
from synth.recording.grid import Grid
from synth.recording.refusals import WANDERS

# Title, tempo in BPM, bars, bars of the intro, whether it is sure.
ROWS = (
    ("First invented song", 121.3, 96, 16, True),
    ("Second invented song", 90.48, 72, 8, False),
    ("Third invented song", 132.5, 112, 16, True),
    ("Fourth invented song", 129.6, 128, 32, False),
    ("Fifth invented song", 104.0, 80, 0, True),
)
BAND = "An invented band"
SOFT, LOUD, BREAK = 168, 204, 148


def invented_records(folder: Path) -> Catalogue:
    """A catalogue of them in a data folder, made at the first call."""
    catalogue = Catalogue(folder)
    if len(catalogue):
        return catalogue
    import soundfile

    added = date(2030, 5, 1)
    for number, (title, tempo_bpm, bars, intro_bars, sure) in enumerate(ROWS, 1):
        bar_s = 240 / tempo_bpm
        long_s, path = bars * bar_s + 2, folder / f"invented-{number}.flac"
        soundfile.write(path, np.zeros(round(long_s * 8000), np.float32), 8000)
        grid = Grid(
            tempo_bpm=tempo_bpm,
            one_s=0.0,
            start_s=0.0,
            steady_until_s=bars * bar_s,
            duration_s=long_s,
            phrase_bars=8,
            phrase_first=0,
            intro_bars=intro_bars,
            uncertainty_ms=3.0,
            tempo_confidence=1.0,
            one_confidence=1.0 if sure else 0.4,
            phrase_confidence=1.0,
            sure=sure,
        )
        made = Recording(f"{number:032x}", str(path), title, BAND, long_s, 8000, grid, added)
        if number in (1, 3):
            made = made.confirmed("learner" if number == 1 else "tutor")
        catalogue.keep(made, b"", _outline(bars, bar_s, intro_bars))
    nowhere = Grid.none(WANDERS(ms=40), 214.0)
    catalogue.keep(
        Recording(
            f"{9:032x}",
            str(path),
            "Invented waltz",
            BAND,
            214.0,
            8000,
            nowhere,
            added,
            1,
            State.REFUSED,
        )
    )
    return catalogue


def _outline(bars: int, bar_s: float, intro_bars: int) -> bytes:
    """A soft intro, a break of eight bars in the middle, and softer beats between the loud ones."""
    at_s = np.arange(round((bars * bar_s + 2) / CELL_S)) * CELL_S
    bar, beat = at_s // bar_s, at_s % bar_s // (bar_s / 4)
    level = np.where(bar < intro_bars, SOFT, LOUD)
    level = np.where((bar >= bars // 2) & (bar < bars // 2 + 8), BREAK, level)
    level = level - 10 * (beat % 2 == 1) + 6 * (beat == 0)
    return bytes(level.clip(0, 255).astype(np.uint8))
