"""Rows: hits in beats, before they are given a time."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from synth.base.draws import Draws
from synth.score.grooves import LONGEST_SHIFT_MS
from synth.score.hits import INDEX, VOICE_NAMES, Hits
from synth.score.metre import Metre
from synth.score.microtiming import drawn_shifts_s

# (n, 6): beats from the start of the bar, voice index, velocity, shift in seconds, MIDI note, duration in beats
Rows = npt.NDArray[np.float64]
BEAT, VOICE, VELOCITY, SHIFT, PITCH, DURATION = range(6)
# Beats from the start of the bar, voice, velocity, MIDI note, duration in beats.
Note = tuple[float, str, float, float, float]


def rows(hits: Sequence[tuple[float, str, float]], pitch: float = 0.0, duration_beats: float = 0.0) -> Rows:
    """Build rows from (beats, voice, velocity)."""
    return notes([(beat, voice, velocity, pitch, duration_beats) for beat, voice, velocity in hits])


def notes(hits: Sequence[Note]) -> Rows:
    """Build rows from notes, read-only."""
    made = np.array(
        [(beat, INDEX[voice], velocity, 0.0, pitch, duration) for beat, voice, velocity, pitch, duration in hits],
        dtype=np.float64,
    ).reshape(-1, 6)
    made.setflags(write=False)
    return made


def cells(metre: Metre, words: Sequence[str]) -> list[tuple[float, str]]:
    """Beats and letters of a pattern whose words are beats of four sixteenths, ``.`` a rest.

    In compound metres, whose beat has three parts, the last letter of a word is dropped.
    """
    parts = 3 if metre.compound else 4
    return [
        (beat + place / parts, letter)
        for beat, word in enumerate(words)
        for place, letter in enumerate(word[:parts])
        if letter != "."
    ]


class Sheet:
    """Collects rows bar by bar."""

    def __init__(self) -> None:
        self._blocks: list[Rows] = []
        self._starts: list[float] = []
        self._levels: list[float] = []

    def add(self, start_beat: float, block: Rows, level: float = 1.0) -> None:
        """Add rows whose beats count from ``start_beat``, their velocities times ``level``."""
        if len(block):
            self._blocks.append(block)
            self._starts.append(start_beat)
            self._levels.append(level)

    def hits(self, beat_s: float, touch: Draws, family: str, timing: Draws) -> Hits:
        """Convert everything to seconds.

        ``touch`` draws the velocities, SD 4 %, and ``timing`` the shifts of a played ``family`` of grooves.
        """
        if not self._blocks:
            return Hits.of([], [], [], VOICE_NAMES)
        table, lengths = np.concatenate(self._blocks), [len(block) for block in self._blocks]
        starts, levels = np.repeat([self._starts, self._levels], lengths, axis=1)
        beats = table[:, BEAT] + starts
        velocity = table[:, VELOCITY] * levels * (1 + 0.04 * touch().standard_normal(len(table)))
        grid_s, longest_s = beats * beat_s, LONGEST_SHIFT_MS / 1000
        shift_s = table[:, SHIFT] + drawn_shifts_s(beats, table[:, VOICE], family, timing)
        onset_s = np.maximum(grid_s + shift_s.clip(-longest_s, longest_s), 0.0)
        return Hits.of(
            onset_s,
            table[:, VOICE],
            velocity.clip(0.05, 1.0),
            VOICE_NAMES,
            table[:, PITCH],
            table[:, DURATION] * beat_s,
            shift_s=onset_s - grid_s,
        )
