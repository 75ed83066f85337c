"""Recordings made for the tests of the catalogue; every name in them is invented."""

from dataclasses import replace
from datetime import date

from synth.catalogue.recording import Key, Recording, State
from synth.recording.grid import Grid
from synth.recording.refusals import WANDERS

GRID = Grid(
    tempo_bpm=124.0,
    one_s=0.25,
    start_s=0.25,
    steady_until_s=180.0,
    duration_s=181.0,
    phrase_bars=8,
    phrase_first=0,
    intro_bars=16,
    uncertainty_ms=3.0,
    tempo_confidence=0.9,
    one_confidence=0.8,
    phrase_confidence=0.7,
    sure=True,
)
NO_GRID = Grid.none(WANDERS(ms=40), 181.0)


def recording(number: int = 1, **more) -> Recording:
    """An invented recording; ``more`` replaces its fields."""
    made = Recording(
        print=f"{number:032x}",
        path=f"/records/{number}.flac",
        title=f"Invented {number}",
        artist="Nobody",
        duration_s=181.0,
        rate_hz=44_100,
        grid=GRID,
        added=date(2030, 5, 2),
        key=Key(1000 + number, 17, f"{number:032x}"),
        sound=bytes(range(128)),
    )
    return replace(made, **more)


REFUSED = recording(99, grid=NO_GRID, state=State.REFUSED)
