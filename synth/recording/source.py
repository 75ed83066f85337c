"""A learner's recording as what plays in a trial."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from synth.base.arrays import Ints
from synth.base.draws import seeded
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.recording.grid import Grid
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.sequence import stretched
from synth.score.arranging.source import LEAST_LEFT
from synth.score.arranging.turns import PhraseTurn
from synth.score.form import Form
from synth.score.grooves import Groove
from synth.score.hits import DRUMS, Hits
from synth.score.metre import TEMPO_RANGE_BPM, Count, Metre
from synth.score.recorded import Recorded

# Salt of the random stream that chooses a place in the recording.
SALT = 18
# Two recordings are brought to one tempo within this share: more would be heard in their pitch (a semitone is 6 %).
MOST_STRETCH = 0.06

TOO_SHORT = Template("recording.too_short_for", "{title} is too short for this drill.")
NO_TEMPO = Template("recording.no_tempo_for", "{title} has {bpm} BPM. Drills take {low} to {high}.")
NO_INTRO = Template("recording.no_intro", "No intro is known of {title}.")
NO_DRUMS = Template("recording.no_drums", "{title} is a recording, and this takes single drums.")
NO_SECOND = Template("recording.no_second", "This takes a second record, within {percent} % of the tempo of {title}.")


@dataclass(frozen=True, slots=True)
class RecordingSource:
    """A recording with its grid, at its own tempo or at ``tempo_bpm``, and a second one to go with it.

    ``sound`` is the whole of its file. ``ValueError`` where the grid was refused.
    """

    sound: Recorded
    grid: Grid
    tempo_bpm: float = 0.0
    other: RecordingSource | None = None

    def __post_init__(self) -> None:
        if self.grid.refused is not None:
            raise ValueError("a recording without a grid plays in no trial")
        object.__setattr__(self, "tempo_bpm", self.tempo_bpm or self.grid.tempo_bpm)

    @property
    def metre(self) -> Metre:
        """Fours."""
        return Metre(self.grid.beats_per_bar, 4)

    @property
    def has_parts(self) -> bool:
        """No: a grid has phrases, and of all parts the intro alone."""
        return False

    def phrase_bars(self, wished: int) -> int:
        """Those wished for, if whole ones of them make its own phrases."""
        return wished if self.grid.phrase_bars % wished == 0 else self.grid.phrase_bars

    def turn_bars(self, wished: int) -> int:
        """Its own phrases: those that are heard to turn."""
        return self.grid.phrase_bars

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
        """As many bars of it as ``form`` has, from a phrase drawn by ``seed``.

        Where ``form`` begins with an intro, a part of its own: so many bars of it are left, or of a shorter one as
        many as are drawn. ``Trouble`` where it is too short or has no intro, and for a tempo that nobody taps.
        """
        low, high = TEMPO_RANGE_BPM
        if not low <= self.grid.tempo_bpm <= high:
            title, bpm = self.sound.title, f"{self.grid.tempo_bpm:.2f}"
            raise Trouble(NO_TEMPO(title=title, bpm=bpm, low=round(low), high=round(high)))
        form = Form.parse(form) if isinstance(form, str) else form
        whole = self.whole(phrase_bars)
        rng = seeded(SALT, seed)
        first_name, first_bars = form.sections[0]
        if first_name == "intro":
            return replace(self._from_intro(whole, first_bars, form.bars, rng), seed=seed)
        places = phrase_rows(whole.count)
        places = places[places + form.bars * self.metre.beats_per_bar <= len(whole.count)]
        if not places.size:
            raise Trouble(TOO_SHORT(title=self.sound.title))
        row = int(places[rng.integers(len(places))])
        return replace(whole.excerpt(row, form.bars * self.metre.beats_per_bar), intro_bars=0, seed=seed)

    def _from_intro(self, whole: Arrangement, left: int, bars: int, rng: np.random.Generator) -> Arrangement:
        intro, per_bar = self.grid.intro_bars or 0, self.metre.beats_per_bar
        if intro < LEAST_LEFT:
            raise Trouble(NO_INTRO(title=self.sound.title))
        drawn = int(rng.integers(LEAST_LEFT, intro + 1))
        left = left if LEAST_LEFT <= left <= intro else drawn
        row = int(np.argmax(whole.count.bar_number == 1)) + (intro - left) * per_bar
        if row + bars * per_bar > len(whole.count):
            raise Trouble(TOO_SHORT(title=self.sound.title))
        return replace(whole.excerpt(row, bars * per_bar), intro_bars=left)

    def at(self, tempo_bpm: float) -> RecordingSource:
        """Played faster or slower, and so higher or lower."""
        return replace(self, tempo_bpm=tempo_bpm)

    def second(self, names: tuple[str, ...], rng: np.random.Generator) -> RecordingSource:
        """The other recording, at this one's tempo."""
        rng.integers(len(names))  # as where grooves are drawn
        if self.other is None or not near(self.other.grid, self.tempo_bpm):
            raise Trouble(NO_SECOND(title=self.sound.title, percent=round(100 * MOST_STRETCH)))
        return self.other.at(self.tempo_bpm)

    def another(self, names: tuple[str, ...], rng: np.random.Generator) -> RecordingSource:
        """The same: elsewhere it may play something else."""
        rng.integers(len(names))  # as where grooves are drawn
        return self

    def drums(self) -> tuple[Groove, float]:
        """None: ``Trouble``."""
        raise Trouble(NO_DRUMS(title=self.sound.title))

    def whole(self, phrase_bars: int | None = None) -> Arrangement:
        """All of it that has a grid, in phrases of ``phrase_bars`` (``phrase_bars()``), in s of its file."""
        return _whole(self.sound, self.grid, self.tempo_bpm, self.phrase_bars(phrase_bars or self.grid.phrase_bars))


@lru_cache(maxsize=4)  # a trial takes several parts of one record, or of two
def _whole(sound: Recorded, grid: Grid, tempo_bpm: float, bars: int) -> Arrangement:
    """``RecordingSource.whole`` in phrases of ``bars``."""
    count = in_phrases(grid.count(), grid.phrase_bars, bars)
    own = Arrangement(
        count=count,
        hits=Hits.of([], [], [], DRUMS),
        sections=(),
        metre=Metre(grid.beats_per_bar, 4),
        tempo_bpm=grid.tempo_bpm,
        intro_bars=grid.intro_bars or 0,
        phrase_bars=bars,
        seed=0,
        groove="",
        turns=tuple(PhraseTurn(at_s, ()) for at_s in count.phrase_starts_s.tolist()),
        tail_s=0.0,
        recorded=replace(sound, uncertainty_ms=grid.uncertainty_ms),
    )
    return replace(stretched(own, grid.tempo_bpm / tempo_bpm), tempo_bpm=tempo_bpm)


def near(grid: Grid, tempo_bpm: float) -> bool:
    """Whether a recording can be brought to a tempo."""
    return grid.refused is None and abs(grid.tempo_bpm / tempo_bpm - 1) <= MOST_STRETCH


def of_file(
    path: str,
    grid: Grid,
    *,
    print: str,
    title: str = "",
    grid_version: int = 1,
    confirmed_by: str = "",
    other: RecordingSource | None = None,
) -> RecordingSource:
    """A file with its grid as a source, and another one to go with it; ``print`` is its id, 32 hex digits."""
    sound = Recorded(print, path, title, grid_version, 0.0, 0.0, grid.duration_s, confirmed_by=confirmed_by)
    return RecordingSource(sound, grid, other=other)


def phrase_rows(count: Count) -> Ints:
    """Rows of a count on which a whole phrase begins."""
    rows: Ints = np.flatnonzero((count.beat_in_bar == 1) & (count.bar_in_phrase == 1))
    return rows


def in_phrases(count: Count, own: int, bars: int) -> Count:
    """A count in phrases of ``own`` bars counted in those of ``bars``, whole ones of which make one."""
    inside = count.bar_in_phrase > 0
    before = count.bar_in_phrase - 1
    return replace(
        count,
        bar_in_phrase=np.where(inside, before % bars + 1, 0),
        phrase_number=np.where(inside, (count.phrase_number - 1) * (own // bars) + before // bars + 1, 0),
    )
