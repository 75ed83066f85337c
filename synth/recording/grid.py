"""The grid of a recording: tempo, the one, phrases, intro, how sure they are, or why there is none."""

from dataclasses import dataclass

import numpy as np

from synth.base.arrays import Seconds
from synth.base.words import Say
from synth.score.metre import Count

# Beats further than so many s from steady ones wander.
STEADY_S = 0.012
# Uncertainty of beats in ms where the attack is the same throughout: what annotated songs leave, attacks and all.
LEAST_UNCERTAINTY_MS = 3.0
# Probability of the octave below which a person is asked.
ASKED_BELOW = 0.7


@dataclass(frozen=True, slots=True)
class Grid:
    """Beats of one tempo over a recording; times in s from the first frame that its decoder gives.

    ``one_s`` is the first one that sounds, the start of bar 1; ``phrase_first`` the bars from there to the first
    whole phrase, ``intro_bars`` those until the recording is as full as usual (None: it never is). The grid holds
    until ``steady_until_s``; ``start_s`` is the first sound. ``uncertainty_ms`` is that of its beats. Confidences
    lie from 0 to 1, that of the octave is the probability that neither half nor double is meant; ``sure`` says that
    they are wide enough to go without a person. ``refused`` says why there is no grid: the other figures then mean
    nothing.
    """

    tempo_bpm: float
    one_s: float
    start_s: float
    steady_until_s: float
    duration_s: float
    phrase_bars: int
    phrase_first: int
    intro_bars: int | None
    uncertainty_ms: float
    tempo_confidence: float
    one_confidence: float
    phrase_confidence: float
    sure: bool
    beats_per_bar: int = 4
    refused: Say | None = None
    octave_confidence: float = 1.0

    @classmethod
    def none(cls, why: Say, duration_s: float) -> "Grid":
        """No grid, and why."""
        return cls(0.0, 0.0, 0.0, 0.0, duration_s, 4, 0, None, 0.0, 0.0, 0.0, 0.0, False, refused=why)

    @property
    def asks_octave(self) -> bool:
        """Whether a person is to say if half or double of the tempo is meant."""
        return self.octave_confidence < ASKED_BELOW

    @property
    def beat_s(self) -> float:
        """Seconds of a beat."""
        return 60 / self.tempo_bpm

    def count(self) -> Count:
        """Beats, bars and phrases from the first sound until the grid ends; bar 0 is what sounds before bar 1.

        Raises ``ValueError`` if the grid was refused.
        """
        if self.refused is not None:
            raise ValueError("this recording has no grid")
        per_bar, beat_s = self.beats_per_bar, self.beat_s
        before = max(0, int((self.one_s - max(self.start_s, 0.0)) / beat_s + 0.1))
        after = max(1, int(np.ceil((self.steady_until_s - self.one_s) / beat_s - 0.5)))
        number = np.arange(-before, after)
        beats_s: Seconds = np.maximum(0, self.one_s + number.astype(np.float64) * beat_s)
        bar = number // per_bar
        in_phrase = bar - self.phrase_first
        whole = number >= 0
        first = 1 if self.phrase_first % self.phrase_bars == 0 else 2
        return Count(
            beats_s,
            number % per_bar + 1,
            np.where(whole, bar + 1, 0),
            np.where(whole, in_phrase % self.phrase_bars + 1, 0),
            np.where(whole, in_phrase // self.phrase_bars + first, 0),
            self.one_s + after * beat_s,
        )
