"""A stretch of a recording with its count over it: clicks, or the voice."""

from dataclasses import dataclass, replace

import numpy as np

from synth.base.arrays import Samples
from synth.recording.grid import Grid
from synth.recording.source import RecordingSource
from synth.score.arrangement import Arrangement
from synth.score.hits import BLOCKS, DRUMS, Hits
from synth.score.recorded import Recorded
from synth.sound.pool import POOL

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
    from synth.sound import mixdown  # imported here: the first screen needs no mix

    record, kit = counted(sound, grid, stretch), POOL.kit(0, sample_rate_hz)
    music = replace(record, hits=Hits.of([], [], [], DRUMS))
    if counting.way is not None:
        layer = mixdown.Layer(music, kit, level_db=BELOW_DB, spoken=counting.way, language=counting.language)
        return mixdown.mixdown_together([layer])
    clicks = replace(record, recorded=None)
    return mixdown.mixdown_together([mixdown.Layer(music, kit, level_db=BELOW_DB), mixdown.Layer(clicks, kit)])
