"""Records made for the tests of their page; every name in them is invented."""

from dataclasses import replace
from pathlib import Path

from synth.base.words import say
from synth.catalogue.recording import Recording, State
from synth.recording.grid import Grid
from tests.synth.catalogue.made import GRID, recording

# 120 BPM: a bar lasts 2 s, and there are 64 bars. It is 7.5 dB louder from 16 s on, the ninth bar.
PLAIN = replace(GRID, tempo_bpm=120.0, one_s=0.0, start_s=0.0, steady_until_s=128.0, duration_s=130.0, intro_bars=8)
OUTLINE = bytes([170]) * 160 + bytes([200]) * 1140
NO_COUNT = Grid.none(say("The tempo wanders."), 130.0)


def made(folder: Path) -> list[Recording]:
    """Charlie, alpha, Bravo, Delta (unsure) and Echo (refused); the files of Charlie and Echo are missing."""
    for name in ("alpha", "Bravo", "Delta"):
        (folder / f"{name}.flac").touch()

    def one(number: int, title: str, grid: Grid = PLAIN, artist: str = "", state: State = State.FOUND) -> Recording:
        path = str(folder / f"{title}.flac")
        return recording(number, title=title, artist=artist, path=path, grid=grid, duration_s=130.0, state=state)

    return [
        one(1, "Charlie", artist="Zeta"),
        one(2, "alpha").confirmed("learner"),
        one(3, "Bravo").confirmed("tutor"),
        one(4, "Delta", replace(PLAIN, sure=False)),
        one(5, "Echo", NO_COUNT, state=State.REFUSED),
    ]
