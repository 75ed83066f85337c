"""What is heard of a recording: a stretch with its count over it, by clicks or voice, or a drum intro in front."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from synth.base.arrays import Samples
from synth.recording.grid import Grid
from synth.recording.source import RecordingSource
from synth.recording.teaching import with_intro
from synth.score.arranging.arrangement import Arrangement
from synth.score.hits import BLOCKS, DRUMS, Hits
from synth.score.recorded import Recorded
from synth.sound.pool import POOL

if TYPE_CHECKING:
    from synth.sound.mixdown import Layer

# The recording below what counts over it, in dB; and the accents of the blocks.
BELOW_DB = -4.0
LOUD, SOFT = 1.0, 0.8


@dataclass(frozen=True, slots=True)
class Stretch:
    """What is heard of a recording: from ``from_s`` until ``until_s`` of its file; below 0 s it is silent."""

    from_s: float
    until_s: float

    @property
    def long_s(self) -> float:
        """Its length."""
        return self.until_s - self.from_s


@dataclass(frozen=True, slots=True)
class Counting:
    """How it is counted: by the voice in a language, "bars" or "letters", or by clicks (``way`` None)."""

    way: str | None = None
    language: str = "en"


def counted(sound: Recorded, grid: Grid, stretch: Stretch) -> Arrangement:
    """The stretch with the count of ``grid``: a high block on the beats, a low one on the ones."""
    whole = RecordingSource(sound, grid).whole()
    beats_s = whole.count.beats_s
    rows = np.flatnonzero((beats_s >= stretch.from_s) & (beats_s < stretch.until_s))
    if not rows.size:
        rows = np.array([min(len(beats_s) - 1, int(np.searchsorted(beats_s, stretch.from_s)))])
    count = whole.count.excerpt(int(rows[0]), len(rows)).shifted(-stretch.from_s)
    ones = (count.beat_in_bar == 1) & (count.bar_number > 0)
    heard = (count.beats_s >= 0) & (count.beats_s < stretch.long_s)
    hits = Hits.of(
        count.beats_s[heard],
        np.where(ones, BLOCKS.index("low_block"), BLOCKS.index("high_block"))[heard],
        np.where(ones, LOUD, SOFT)[heard],
        BLOCKS,
    )
    return replace(
        whole,
        count=count,
        hits=hits,
        turns=(),
        tail_s=stretch.long_s - count.end_s,
        recorded=replace(sound, from_s=stretch.from_s, start_s=0.0, end_s=stretch.long_s),
    )


def heard(sound: Recorded, grid: Grid, stretch: Stretch, counting: Counting, sample_rate_hz: int) -> Samples:
    """The sound of a stretch, float32 (frames, 2). ``Trouble`` where the file cannot be read."""
    from synth.sound.mixdown import mixdown_together  # imported here: the first screen needs no mix

    return mixdown_together(counted_layers(sound, grid, stretch, counting, sample_rate_hz))


def heard_behind(
    sound: Recorded, grid: Grid, intro: int, bars: int, counting: Counting, sample_rate_hz: int
) -> Samples:
    """The sound of ``intro`` bars of drums and the first ``bars`` bars of a recording. ``Trouble`` as above."""
    from synth.sound.mixdown import mixdown_together

    return mixdown_together(intro_layers(sound, grid, intro, counting, sample_rate_hz, bars))


def counted_layers(
    sound: Recorded, grid: Grid, stretch: Stretch, counting: Counting, sample_rate_hz: int
) -> list[Layer]:
    """A stretch and what counts over it."""
    from synth.sound.mixdown import Layer

    record, kit = counted(sound, grid, stretch), POOL.kit(0, sample_rate_hz)
    music = replace(record, hits=Hits.of([], [], [], DRUMS))
    if counting.way is not None:
        return [Layer(music, kit, level_db=BELOW_DB, spoken=counting.way, language=counting.language)]
    return [Layer(music, kit, level_db=BELOW_DB), Layer(replace(record, recorded=None), kit)]


def intro_layers(
    sound: Recorded, grid: Grid, intro: int, counting: Counting, sample_rate_hz: int, bars: int | None = None
) -> list[Layer]:
    """``intro`` bars of drums, then ``bars`` bars of a recording, or all of it: counted by the voice, or not at all.

    The drums stand for the clicks. ``Trouble`` for a tempo that no groove is played at.
    """
    from synth.sound.mixdown import Layer

    record = with_intro(RecordingSource(sound, grid), intro)
    if bars is not None:
        beats = (intro + bars) * grid.beats_per_bar
        record = record.excerpt(0, min(beats, len(record.count)), lead_in_s=float(record.count.beats_s[0]))
    return [Layer(record, POOL.kit(0, sample_rate_hz), spoken=counting.way, language=counting.language)]
