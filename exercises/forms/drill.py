"""The form of a drill: make a trial from rung and seed, mark an answer, say it in words.

A drill is one file in ``exercises/drills`` that ends in ``DRILL = ...``. Most derive from ``TapDrill`` or
``ChoiceDrill``, which leave only the question, the rungs and the truth to write.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable
from typing import Generic

import numpy as np

from exercises.forms.rungs import R, pick_rung
from exercises.trial.trial import Answer, Kind, Result, Trial
from synth.base.words import Template
from synth.score.arrangement import Arrangement
from synth.score.grooves import Groove

# So many records are looked through for one that keeps its promise; of the rarest kind one in four does.
MOST_RECORDS = 200


class Drill(ABC, Generic[R]):
    """A kind of trial.

    ``id`` is its name in commands and in the logbook, ``place`` where it stands on the ladder (lower comes
    earlier), ``title`` its short name, ``asks`` what the learner is to do, in one sentence. ``gives`` names a
    number that is asked for, ``gives_about`` is a usual one that tells nothing.
    """

    id: str
    place: int
    title: Template
    asks: Template
    gives: Template = Template("drill.gives", "Answer")
    gives_about: int = 1
    kind: Kind
    rungs: tuple[R, ...]

    def make(
        self, rung: int, seed: int, *, tempo_bpm: float | None = None, groove: str | Groove | None = None
    ) -> Trial:
        """The trial of that rung and seed; a wish for tempo or groove leaves everything else as it was.

        ``Trouble`` for a rung or groove that does not exist, ``ValueError`` for a tempo out of range.
        """
        row = pick_rung(self.rungs, rung, self.id)
        if seed < 0:
            raise ValueError(f"seed {seed}: 0 or more expected")
        rng = np.random.default_rng([self.place, rung, seed])
        chosen = row.draw_groove(rng, groove)
        return self.build(rung, row, seed, rng, chosen, row.draw_tempo(rng, chosen, tempo_bpm))

    @abstractmethod
    def build(
        self, number: int, rung: R, seed: int, rng: np.random.Generator, groove: Groove, tempo_bpm: float
    ) -> Trial:
        """The trial, everything that is left to chance taken from ``rng``."""

    @abstractmethod
    def mark(self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True) -> Result:
        """The marked result. ``Trouble`` where the answer is none (nothing given, of the wrong kind)."""

    def answers(self, trial: Trial) -> tuple[str | float, ...]:
        """Everything that somebody who hears nothing could say: the choices, or every beat of a phrase.

        A drill that asks for a number gives its own. Empty where taps alone answer.
        """
        if trial.choices:
            return tuple(choice.key for choice in trial.choices)
        if Kind.POSITION in (trial.kind, trial.then):
            bars, beats = trial.truth().phrase_bars, int(trial.count.beat_in_bar.max())
            return tuple(f"{bar}.{beat}" for bar in range(1, bars + 1) for beat in range(1, beats + 1))
        return ()

    def chance(self, trial: Trial) -> float:
        """Share of trials that come out right for someone who hears nothing."""
        return 0.0


def promised(
    rng: np.random.Generator, sound: Callable[[int], Arrangement], keeps: Callable[[Arrangement], bool]
) -> Arrangement:
    """The sound of the first seed from ``rng`` that ``keeps`` what its rung promises.

    Where a record puts its exceptions and how its phrases turn is its own affair: what a rung promises may come after
    the end of the sound, or not at all. The last of many where none keeps it.
    """
    for _ in range(MOST_RECORDS):
        found = sound(int(rng.integers(2**31)))
        if keeps(found):
            break
    return found
