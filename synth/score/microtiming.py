"""Microtiming: how far the hits of a played genre lie beside the grid, which stays where it is."""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Seconds
from synth.base.draws import Draws
from synth.score.hits import FILTER, INDEX, SWEEPS, VOICE_NAMES

# SD in ms of all hits but kicks on a beat, by the family that a groove file names: within the 3 to 8 ms that are
# usual of good players. Any other family is programmed: its hits lie on the grid.
PLAYED_MS = {
    **{"pop-rock": 4.5, "soul": 6.0, "funk": 4.0, "disco": 3.5, "breakbeat": 5.0, "hip-hop": 7.0},
    **{"six-eight": 6.0, "three-four": 5.5, "five-four": 5.0},
}
# SD in ms of a kick on a beat; its mean is 0.
KICK_MS = 1.5
# Voices that rise or hold too long to be early or late.
ON_GRID = (*SWEEPS, FILTER, "pad", "voice")
IS_ON_GRID = np.isin(VOICE_NAMES, ON_GRID)
# SDs that a hit lies off at most.
MOST_SDS = 3.0


def drawn_shifts_s(
    beats: npt.NDArray[np.float64], voice: npt.NDArray[np.float64], family: str, generator: Draws
) -> Seconds:
    """Seconds by which each hit comes late (negative: early), (n,).

    ``beats`` (n,) count from the start of the record. Hits of one voice on one place, a chord, are shifted together.
    The drums draw first: other parts change nothing about them.
    """
    if family not in PLAYED_MS:
        return np.zeros(len(beats))
    places, which = np.unique(voice * 1e6 + beats.round(4), return_inverse=True)
    drawn = generator().standard_normal(len(places)).clip(-MOST_SDS, MOST_SDS)[which]
    on_beat = np.abs(beats - np.rint(beats)) < 1e-6
    sd_ms = np.where((voice == INDEX["kick"]) & on_beat, KICK_MS, PLAYED_MS[family])
    sd_ms[IS_ON_GRID[voice.astype(np.int64)]] = 0.0
    return np.asarray(drawn * sd_ms / 1000)
