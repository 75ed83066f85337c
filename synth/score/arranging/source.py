"""What plays in a trial: a groove at a tempo, or one of a learner's recordings (``synth.recording.source``)."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Protocol, Self

import numpy as np

from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.form import Form
from synth.score.grooves import Groove, groove
from synth.score.metre import Metre

# Fewest bars that are left of an intro, where it has not as many as are wished for.
LEAST_LEFT = 2


class Source(Protocol):
    """What a drill asks of either. ``tempo_bpm`` is the tempo at which it plays."""

    @property
    def metre(self) -> Metre:
        """How it is counted."""

    @property
    def tempo_bpm(self) -> float:
        """Beats a minute."""

    @property
    def has_parts(self) -> bool:
        """Whether its parts are known (a break, a chorus, the outro), and not its phrases alone."""

    def phrase_bars(self, wished: int) -> int:
        """Bars of a phrase that can be counted in it: those wished for, or its own."""

    def turn_bars(self, wished: int) -> int:
        """Bars from one turn that is heard to the next: those wished for, or its own."""

    def record(
        self,
        form: Form | str,
        *,
        phrase_bars: int,
        seed: int,
        song: Collection[str] | bool = (),
        signals: Sequence[str] | None = None,
        exceptions: Sequence[str] = (),
    ) -> Arrangement:
        """Whole phrases, as many bars as ``form`` has, drawn by ``seed``; with an intro if that comes first.

        Song, signals and exceptions are those of music that is made (``arrange``). Raises ``Trouble`` where a
        recording is too short, has no intro, or a tempo that nobody taps.
        """

    def at(self, tempo_bpm: float) -> Self:
        """The same at another tempo."""

    def second(self, names: tuple[str, ...], rng: np.random.Generator) -> "Source":
        """Another one at the same tempo, of the grooves ``names``. ``Trouble`` where there is none."""

    def another(self, names: tuple[str, ...], rng: np.random.Generator) -> Self:
        """The same with another pattern: one of the grooves ``names``, or what it plays elsewhere."""

    def drums(self) -> tuple[Groove, float]:
        """Groove and tempo, for what is made of single drums. ``Trouble`` for a recording."""


@dataclass(frozen=True, slots=True)
class GrooveSource:
    """A groove, of which ``arrange`` makes records."""

    groove: Groove
    tempo_bpm: float

    @property
    def metre(self) -> Metre:
        """The groove's."""
        return self.groove.metre

    @property
    def has_parts(self) -> bool:
        """Yes: those of the form."""
        return True

    def phrase_bars(self, wished: int) -> int:
        """Any."""
        return wished

    def turn_bars(self, wished: int) -> int:
        """Any."""
        return wished

    def record(
        self,
        form: Form | str,
        *,
        phrase_bars: int,
        seed: int,
        song: Collection[str] | bool = (),
        signals: Sequence[str] | None = None,
        exceptions: Sequence[str] = (),
    ) -> Arrangement:
        """``arrange`` of the groove."""
        return arrange(
            self.groove,
            tempo_bpm=self.tempo_bpm,
            form=form,
            phrase_bars=phrase_bars,
            seed=seed,
            song=song,
            signals=signals,
            exceptions=exceptions,
        )

    def at(self, tempo_bpm: float) -> "GrooveSource":
        """The groove at another tempo."""
        return replace(self, tempo_bpm=tempo_bpm)

    def second(self, names: tuple[str, ...], rng: np.random.Generator) -> "GrooveSource":
        """One of the grooves ``names``, or the same where its metre is another. Takes one number from ``rng``."""
        drawn = groove(names[int(rng.integers(len(names)))])
        return replace(self, groove=drawn if drawn.metre == self.metre else self.groove)

    def another(self, names: tuple[str, ...], rng: np.random.Generator) -> "GrooveSource":
        """One of the grooves ``names``. Takes one number from ``rng``."""
        return replace(self, groove=groove(names[int(rng.integers(len(names)))]))

    def drums(self) -> tuple[Groove, float]:
        """The groove and its tempo."""
        return self.groove, self.tempo_bpm
