"""Hits: onset, voice and velocity of every sound of a record."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Seconds

# Voice names; ``synth.sound.kit`` synthesises them.

DRUMS = (
    *("kick", "snare", "clap", "rim", "closed_hat", "open_hat", "pedal_hat", "ride", "crash"),
    *("high_tom", "mid_tom", "low_tom", "shaker", "tambourine", "conga", "cowbell"),
)
SHARP_DRUMS = ("snare", "clap", "rim")
HATS = ("closed_hat", "open_hat", "ride")

# Riser and reversed crash last ``duration_s`` and end on the turn; impact and down-sweep begin on it.
SWEEPS = ("riser", "down_sweep", "impact", "reversed_crash")

# A chord is several hits with one onset.
PITCHED = ("bass", "stab", "pad", "pluck", "voice")

# No sound of its own: the record darkens for ``duration_s`` and opens on the turn.
FILTER = "filter"

# The learner's own taps, in no record: one that met its target, one that did not.
BLOCKS = ("high_block", "low_block")

VOICE_NAMES = (*DRUMS, *SWEEPS, *PITCHED, FILTER, *BLOCKS)
INDEX = {name: at for at, name in enumerate(VOICE_NAMES)}

Floats = npt.NDArray[np.float32]
Shorts = npt.NDArray[np.int16]

TAKES = 3
# Steps of one or two through the takes, without a period that a bar could have.
ROUND_ROBIN = np.cumsum(np.append(0, np.random.default_rng(0).integers(1, TAKES, 4099))) % TAKES


def _round_robin(voice: Shorts) -> Shorts:
    """Number of the take of every hit, counted for each voice by itself."""
    takes = np.empty(len(voice), dtype=np.int16)
    together = voice.argsort(kind="stable")
    sounding, place = voice[together], np.arange(len(voice))
    begins = np.zeros_like(place)
    begins[1:] = place[1:] * (sounding[1:] != sounding[:-1])
    takes[together] = ROUND_ROBIN[(place - np.maximum.accumulate(begins)) % len(ROUND_ROBIN)]
    return takes


@dataclass(frozen=True, slots=True, eq=False)
class Hits:
    """One row a hit, sorted by onset; all arrays (n,) and read-only.

    ``onset_s`` seconds from 0; ``voice`` int16 index into ``voices``; ``velocity`` float32 0 to 1; ``pitch`` int16
    MIDI note, 0 for drums; ``duration_s`` length of a pitched or sweeping voice, 0 where the voice decays by itself.
    ``shift_s`` is how late a hit is against the grid (negative: early): its place in the count is ``grid_s``. Pitch,
    duration and shift default to 0. ``take`` int16 is the number of the take that is played: by default the voice's
    hits walk through ``ROUND_ROBIN``, so that no two in a row are one recording. ``ValueError`` for unsorted onsets,
    wrong shapes or an unknown voice index.
    """

    onset_s: Seconds
    voice: Shorts
    velocity: Floats
    voices: tuple[str, ...]
    pitch: Shorts = field(default_factory=lambda: np.empty(0, np.int16))
    duration_s: Seconds = field(default_factory=lambda: np.empty(0))
    take: Shorts = field(default_factory=lambda: np.empty(0, np.int16))
    shift_s: Seconds = field(default_factory=lambda: np.empty(0))

    def __post_init__(self) -> None:
        n = len(self.onset_s)
        for name in ("pitch", "duration_s", "shift_s"):
            if n and not len(getattr(self, name)):
                object.__setattr__(self, name, np.zeros(n, dtype=getattr(self, name).dtype))
        if n and not len(self.take):
            object.__setattr__(self, "take", _round_robin(self.voice))
        for name in ("onset_s", "voice", "velocity", "pitch", "duration_s", "take", "shift_s"):
            array = getattr(self, name)
            if array.shape != (n,):
                raise ValueError(f"{name} has shape {array.shape}, ({n},) expected")
            array.setflags(write=False)
        if n and (self.onset_s[0] < 0 or np.count_nonzero(self.onset_s[1:] < self.onset_s[:-1])):
            raise ValueError("hits must be sorted by onset and not begin before 0 s")
        if np.count_nonzero((self.voice < 0) | (self.voice >= len(self.voices))):
            raise ValueError(f"voice index outside the {len(self.voices)} voices")

    def __len__(self) -> int:
        return len(self.onset_s)

    @property
    def grid_s(self) -> Seconds:
        """Places on the grid in seconds, (n,): not sorted."""
        grid_s: Seconds = self.onset_s - self.shift_s
        return grid_s

    @classmethod
    def of(
        cls,
        onset_s: npt.ArrayLike,
        voice: npt.ArrayLike,
        velocity: npt.ArrayLike,
        voices: tuple[str, ...],
        pitch: npt.ArrayLike = (),
        duration_s: npt.ArrayLike = (),
        take: npt.ArrayLike = (),
        shift_s: npt.ArrayLike = (),
    ) -> "Hits":
        """Build hits from columns in any order and type, sorted by onset, then voice."""
        onset = np.asarray(onset_s, dtype=np.float64)
        index = np.asarray(voice, dtype=np.int16)
        order = np.lexsort((index, onset))
        notes = np.asarray(pitch, dtype=np.int16)
        long_s = np.asarray(duration_s, dtype=np.float64)
        takes = np.asarray(take, dtype=np.int16)
        late_s = np.asarray(shift_s, dtype=np.float64)
        return cls(
            onset[order],
            index[order],
            np.asarray(velocity, dtype=np.float32)[order],
            voices,
            notes[order] if len(notes) else notes,
            long_s[order] if len(long_s) else long_s,
            takes[order] if len(takes) else takes,
            late_s[order] if len(late_s) else late_s,
        )

    def to_json(self) -> dict[str, Any]:
        """Columns for JSON: what sounds, where it is heard and where it stands on the grid."""
        return {
            "voice": [self.voices[voice] for voice in self.voice.tolist()],
            **{name: getattr(self, name).tolist() for name in ("onset_s", "grid_s", "velocity", "pitch")},
        }

    def only(self, *names: str) -> "Hits":
        """Keep the hits of some voices."""
        wanted = [self.voices.index(name) for name in names if name in self.voices]
        return self.where(np.isin(self.voice, wanted))

    def where(self, mask: npt.NDArray[np.bool_]) -> "Hits":
        """Keep the hits where ``mask`` (n,) is true."""
        return Hits(
            self.onset_s[mask],
            self.voice[mask],
            self.velocity[mask],
            self.voices,
            self.pitch[mask],
            self.duration_s[mask],
            self.take[mask],
            self.shift_s[mask],
        )
