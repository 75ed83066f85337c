"""Which octave of a tempo people tap to: the tempo found, its half or its double.

The log odds of each weigh the prior of tempos (``tempo.prior``), how well the beats and the one do there, and how the
beat is divided. Other ratios are settled before, by the comb alone (``tempo.likeliest``).
"""

from dataclasses import dataclass

import numpy as np

from synth.recording.finding.onsets import Bands, Heard
from synth.recording.finding.placing import Placed, place
from synth.recording.finding.steadiness import Lock
from synth.recording.finding.tempo import CELLS, Combed, folded_beat

# Half and double are considered within these.
TEMPOS_BPM = (58.0, 212.0)
# Weights in the log odds: of the prior, of the score of the beats and the one, of quarters of the beat that are
# filled (it is too slow), and of a middle that is emptier than so much of the beat (it is too fast).
PRIOR_WEIGHT, TOTAL_WEIGHT, QUARTERS_WEIGHT, EMPTY_WEIGHT, EMPTY = 2.1, 0.3, 2.8, 6.0, 0.35
# Where in the beat its onset, its half and its quarters are looked for, swung or not; most that they count.
SLOTS, FILLED = ((-0.04, 0.06), (0.44, 0.69), (0.2, 0.36), (0.7, 0.86)), 1.2


@dataclass(frozen=True, slots=True, eq=False)
class Hypothesis:
    """A tempo, its beats, and its log odds."""

    tempo_bpm: float
    placed: Placed
    log_odds: float


def hypotheses(heard: Heard, by_comb: Combed, locked: Lock) -> list[Hypothesis]:
    """The tempo found (always), its double and its half (within ``TEMPOS_BPM``), the likeliest first."""
    low, high = TEMPOS_BPM
    found: list[Hypothesis] = []
    for octave in (1.0, 2.0, 0.5):
        tempo = locked.tempo_bpm * octave
        if octave == 1 or low <= tempo <= high:
            placed = place(heard, 60 / tempo, locked.phase_s)
            found.append(Hypothesis(tempo, placed, _log_odds(heard.onsets, by_comb, tempo, placed)))
    return sorted(found, key=lambda each: -each.log_odds)


def confidence(found: list[Hypothesis]) -> float:
    """The probability of the first hypothesis among all."""
    return float(1 / sum(np.exp(other.log_odds - found[0].log_odds) for other in found))


def _log_odds(onsets: Bands, by_comb: Combed, tempo_bpm: float, placed: Placed) -> float:
    """Log odds of a tempo against its half and double.

    People tap a level that is itself divided, in two more often than in four.
    """
    half, quarters = filled(onsets, 60 / tempo_bpm, float(placed.by.at_s[placed.one]))
    return (
        by_comb.score(onsets, tempo_bpm, PRIOR_WEIGHT)
        + TOTAL_WEIGHT * placed.total
        - QUARTERS_WEIGHT * quarters
        - EMPTY_WEIGHT * max(0.0, EMPTY - half)
    )


def filled(onsets: Bands, beat_s: float, phase_s: float) -> tuple[float, float]:
    """How strong the middle of the beat is, and its quarters, beside the beat itself; swung ones as well."""
    folded = folded_beat(onsets, beat_s, phase_s)
    folded = np.maximum(0, folded - np.median(folded))
    strong = [
        float(folded[at % CELLS].max()) for at in (np.arange(round(a * CELLS), round(b * CELLS)) for a, b in SLOTS)
    ]
    whole, half, before, after = strong
    return min(FILLED, half / (whole + 1e-9)), min(FILLED, (before + after) / 2 / (whole + 1e-9))
