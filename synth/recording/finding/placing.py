"""Which of the onsets within a beat is the beat: the one from which bars and their ones do best."""

from dataclasses import dataclass

import numpy as np

from synth.base.arrays import Floats
from synth.recording.finding.downbeat import Eighths, eighths, every, scores
from synth.recording.finding.onsets import Bands, Heard
from synth.recording.finding.phase import attack
from synth.recording.finding.tempo import CELLS, folded_beat

# At most so many places of the beat are tried, none weaker than this share; how much strength weighs beside the one.
PLACES, PLACE_SHARE, PLACE_WEIGHT = 3, 0.6, 2.5
# In a shuffle the short note comes before the beat: a place so far after another one is less likely to be the beat.
SWUNG, SWING = (0.6, 0.73), 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """Beats at a place within the beat, and how well each eighth of the bar does as the one."""

    by: Eighths
    scores: Floats
    total: float

    @property
    def one(self) -> int:
        """The eighth that is the one."""
        return int(np.argmax(self.scores))

    @property
    def margin(self) -> float:
        """How much better it is than the next one, log odds."""
        second, best = np.sort(self.scores)[-2:]
        return float(best - second)


def places(onsets: Bands, beat_s: float, phase_s: float) -> list[tuple[float, float]]:
    """Times in s within a beat where beats may fall, and their strength from 0 to 1, the strongest first."""
    whole = folded_beat(onsets, beat_s, phase_s)
    half = CELLS // 2
    rise = np.maximum(whole, 0)
    both = rise[:half] + rise[half:]  # of the two halves either gives the same place
    top = float(both.max())
    found = [
        at for at in range(half) if both[at - 1] <= both[at] > both[(at + 1) % half] and both[at] > PLACE_SHARE * top
    ]
    found = sorted(found, key=lambda at: -float(both[at]))[:PLACES]
    return [
        (phase_s + (at + half * bool(whole[at + half] > whole[at])) / CELLS * beat_s, float(both[at]) / top)
        for at in found
    ]


def place(heard: Heard, beat_s: float, phase_s: float) -> Placed:
    """The place of the beats within the beat whose best one does best."""
    tried = []
    found_at = places(heard.onsets, beat_s, phase_s) or [(phase_s, 1.0)]
    low, high = SWUNG
    for at_s, strong in found_at:
        swung = any(low < (at_s - other_s) / beat_s % 1 < high for other_s, _ in found_at)
        beats_s = every(beat_s, at_s, heard.duration_s)
        by = eighths(heard, beat_s, at_s + attack(heard.attack, beats_s))
        found = scores(by)
        tried.append(Placed(by, found, float(found.max()) + PLACE_WEIGHT * strong - SWING * swung))
    return max(tried, key=lambda each: each.total)
