"""The description of one instrument of the kit."""

from collections.abc import Callable
from dataclasses import dataclass

from numpy.random import Generator

from synth.base.arrays import Samples
from synth.sound.kit.stroke import Stroke

Strike = Callable[[Stroke], Samples]
Note = Callable[[Generator, int, float, float], Samples]


@dataclass(frozen=True, slots=True)
class Voice:
    """One instrument.

    ``render(stroke)`` of a struck voice, or ``sing(rng, rate, pitch, duration_s)`` of a sustained one, returns
    float32 samples, mono (frames,) or stereo (frames, 2), varied by the generators. ``pitch`` is a MIDI note.
    ``level_db`` is the K-weighted level of the loudest 100 ms relative to the snare; ``pan`` is -1 (left) to 1.
    ``chokes`` names the voices that this one silences. Voices of one ``family`` draw the same random numbers: the
    three hats are one pair of cymbals. ``room_db`` is its share in the kit's room (None: it outlasts that) and
    ``low_hz`` where its microphone is cut off. One that ``ducks`` gives way to the kick where the record does so. Of
    its own strokes the last ``rings`` sound at once (0: all). ``depth`` is 1 for the deep drum of the beat, -1 for
    the sharp ones, 0 for the rest (see ``Kit.contrast``).
    """

    name: str
    render: Strike | None = None
    sing: Note | None = None
    level_db: float = 0.0
    pan: float = 0.0
    chokes: tuple[str, ...] = ()
    family: str = ""
    room_db: float | None = 0.0
    low_hz: float = 0.0
    ducks: bool = False
    rings: int = 0
    depth: int = 0
    default_s: float = 1.0

    def __post_init__(self) -> None:
        if (self.render is None) == (self.sing is None):
            raise ValueError(f"voice {self.name}: either render or sing is expected")
        if not -1 <= self.pan <= 1:
            raise ValueError(f"voice {self.name}: pan {self.pan} is outside -1 to 1")
