"""Rungs: steps of difficulty, rows of data in the file of their drill."""

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Annotated, Any, TypeVar

import numpy as np
from msgspec import Meta

from exercises.trial.trial import Help
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.score.arranging.song import PARTS
from synth.score.evened import evened
from synth.score.grooves import Groove, groove
from synth.score.metre import TEMPO_RANGE_BPM, check_tempo

# Help decreases as rungs rise.
VOICE_AND_SHEET = Help(sheet=True, voice=True)
SHEET = Help(sheet=True)
BARE = Help()
# What a column may hold that marking reads, where a file brings it.
Much = Annotated[float, Meta(gt=0, le=1000)]
Many = Annotated[int, Meta(ge=1, le=64)]


class Music(StrEnum):
    """What plays besides the drums, growing."""

    NONE = "none"
    BASS = "bass"
    CHORDS = "chords"
    ALL = "all"

    @property
    def parts(self) -> tuple[str, ...]:
        """Parts of the song."""
        return {"none": (), "bass": ("bass",), "chords": ("bass", "stab", "pad"), "all": PARTS}[self.value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """The columns common to all drills; a drill adds its own in a subclass.

    ``id`` names the rung among those of its drill, and stays when rungs move. ``tempo_bpm`` is the range of tempos,
    with ``any_tempo`` whatever the groove, so that seconds tell as little as can be; ``grooves`` are the patterns,
    ``phrase_bars`` the bars of a phrase, ``music`` what plays besides the drums. ``even``: the drums of both halves
    of the bar are alike, so that only music and phrase tell the one. ``new`` says in a few words what is new.
    ``ValueError`` for a wrong range, no groove or no ``new``.
    """

    id: str
    new: Template
    tempo_bpm: tuple[float, float]
    grooves: tuple[str, ...]
    help: Help = BARE
    phrase_bars: int = 4
    music: Music = Music.NONE
    even: bool = False
    any_tempo: bool = False

    def __post_init__(self) -> None:
        low, high = self.tempo_bpm
        if not TEMPO_RANGE_BPM[0] <= low <= high <= TEMPO_RANGE_BPM[1]:
            raise ValueError(f"tempo range {low:g} to {high:g} BPM: a rising range within {TEMPO_RANGE_BPM} expected")
        if not self.grooves or not self.new:
            raise ValueError("a rung names at least one groove, and says what is new")

    def to_json(self) -> dict[str, Any]:
        """The row as plain values."""
        return {name: list(value) if isinstance(value, tuple) else value for name, value in asdict(self).items()}

    def draw_groove(self, rng: np.random.Generator, wish: str | Groove | None = None) -> Groove:
        """Draw one of the rung's grooves, or take the requested one. Always consumes one number from ``rng``."""
        drawn = self.draw_name(rng)
        found = wish if isinstance(wish, Groove) else groove(wish if wish is not None else drawn)
        return evened(found) if self.even else found

    def draw_name(self, rng: np.random.Generator) -> str:
        """Draw the name of one of the rung's grooves."""
        return self.grooves[int(rng.integers(len(self.grooves)))]

    def draw_tempo(self, rng: np.random.Generator, groove: Groove, wish_bpm: float | None = None) -> float:
        """Draw a whole tempo for rung and groove, or take the requested one. Always consumes one number from ``rng``.

        Where rung and groove share no whole tempo, the rung's range is used.
        """
        low, high = (
            max(self.tempo_bpm[0], groove.tempo_range_bpm[0]),
            min(self.tempo_bpm[1], groove.tempo_range_bpm[1]),
        )
        if self.any_tempo or np.ceil(low) > np.floor(high):
            low, high = self.tempo_bpm
        drawn = float(rng.integers(int(np.ceil(low)), int(np.floor(high)) + 1))
        return drawn if wish_bpm is None else check_tempo(wish_bpm)


R = TypeVar("R", bound=Rung)


def pick_rung(rungs: tuple[R, ...], number: int, drill: str) -> R:
    """Rung ``number``, from 1. Raises ``Trouble`` where there is none."""
    if not 1 <= number <= len(rungs):
        raise Trouble(f"{drill} has rungs 1 to {len(rungs)}, not {number}.")
    return rungs[number - 1]
