"""A trial (a sound with one question), and the learner's answer.

Conventions: times are float64 seconds from the first frame of the trial's sound; names in ``_ms`` are milliseconds;
early is negative, late is positive. A trial is determined by (drill, rung, seed, version).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import numpy as np

from exercises.trial.versions import VERSION
from synth.base.arrays import Ints, Samples, Seconds
from synth.base.words import Say
from synth.score.metre import Count
from synth.score.recorded import Recorded

if TYPE_CHECKING:
    from synth.score.arranging.arrangement import Arrangement
    from synth.score.arranging.cues import Cue
    from synth.score.arranging.truth import Truth
    from synth.sound.kit import Kit
    from synth.sound.mixdown import Layer

# The value of an answer that says that the count was lost, in every drill.
LOST_COUNT = "lost"

# A column of a rung that marking reads.
Rule = bool | int | float | str

NO_TAPS = np.empty(0)
NO_TAPS.setflags(write=False)


class Kind(StrEnum):
    """What the learner does; selects the controls of the window."""

    TAPS = "taps"  # taps along with the sound
    PRESS = "press"  # presses once, or at each target
    CHOICE = "choice"  # selects one of ``Trial.choices``
    NUMBER = "number"  # enters a number
    POSITION = "position"  # enters bar and beat: "3.2" is beat two of bar three
    NONE = "none"  # listens; nothing is marked


@dataclass(frozen=True, slots=True)
class Help:
    """Help while the trial sounds: count sheet, spoken count.

    ``voice_beats``: the voice counts so many beats from the start (None: all).
    """

    sheet: bool = False
    voice: bool = False
    voice_beats: int | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """A choice: its ``key`` in an answer, and its words."""

    key: str
    say: Say


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A second record in a trial, starting ``start_s`` seconds after it, at ``level_db``.

    ``Drill.make`` sets ``kit_seed``.
    """

    arrangement: Arrangement
    kit_seed: int = 0
    start_s: float = 0.0
    level_db: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """One sound with one question.

    ``targets_s`` (n,) are the target times, sorted; ``period_s`` is the beat in seconds. ``Drill.make`` sets
    ``drill``, ``rung``, ``seed`` and ``kind``. ``expected`` is the key of the right choice, the right number or the
    right position; None where only taps are marked. ``then`` is a second question after the sound. ``beside`` plays
    together with the arrangement; the learner's press starts ``entry``. ``groove`` is the arrangement's,
    ``contrast`` that of its kit (see ``Kit``). A trial read from a file has its truth in ``written`` and no
    arrangement: it can be marked, not heard. ``rules`` are the columns of its rung that marking reads, as they were
    when it was made; ``tempo_wish`` and ``groove_wish`` are what was asked of ``Drill.make``; ``rests`` are the
    rows of the count without a drum and ``one_cues`` what ``tells_the_one``, where there is no arrangement.
    ``others`` are the ``counts_beside`` of one that was kept, ``heard_in`` is its ``recorded``, ``second_in`` its
    ``second_recorded``.
    ``ValueError`` for targets or a period out of range.
    """

    question: Say
    arrangement: Arrangement | None
    period_s: float
    targets_s: Seconds = field(default_factory=lambda: NO_TAPS)
    drill: str = ""
    rung: int = 0
    seed: int = 0
    kind: Kind = Kind.NONE
    kit_seed: int = 0
    help: Help = Help()
    choices: tuple[Choice, ...] = ()
    expected: str | float | None = None
    then: Kind = Kind.NONE
    beside: tuple[Part, ...] = ()
    entry: Part | None = None
    written: Truth | None = None
    groove: str = ""
    contrast: float = 1.0
    version: int = VERSION
    rules: Mapping[str, Rule] = field(default_factory=dict)
    tempo_wish: float | None = None
    groove_wish: str | None = None
    rests: Ints = field(default_factory=lambda: np.empty(0, dtype=np.int64))
    one_cues: tuple[Cue, ...] | None = None
    others: tuple[Count, ...] = ()
    heard_in: Recorded | None = None
    second_in: Recorded | None = None

    def __post_init__(self) -> None:
        targets_s = np.array(self.targets_s, dtype=np.float64)
        if targets_s.ndim != 1 or np.count_nonzero(targets_s[1:] <= targets_s[:-1]):
            raise ValueError(f"targets of shape {targets_s.shape}: one row, increasing strictly, expected")
        targets_s.setflags(write=False)
        object.__setattr__(self, "targets_s", targets_s)
        if not 0.1 <= self.period_s <= 3.0:
            raise ValueError(f"period_s: a beat of {self.period_s} s: seconds expected, is this milliseconds or BPM?")
        if self.arrangement is None and self.kind in (Kind.TAPS, Kind.PRESS) and not targets_s.size:
            raise ValueError("targets_s is empty: a trial that is answered by taps has at least one target")
        if self.arrangement is None and self.written is None:
            raise ValueError("a trial needs an arrangement, or the truth that was written of one")
        if self.arrangement is not None:
            object.__setattr__(self, "groove", self.arrangement.groove)

    @property
    def count(self) -> Count:
        """Ground truth of the count."""
        return self.truth().count if self.arrangement is None else self.arrangement.count

    @property
    def duration_s(self) -> float:
        """Length of the sound in seconds, decay of the last hit included."""
        return self.truth().count.end_s if self.arrangement is None else self.arrangement.duration_s

    def truth(self, sample_rate_hz: int = 48_000) -> Truth:
        """Ground truth of the sound (as read, where the trial comes from a file)."""
        if self.arrangement is not None:
            return self.arrangement.truth(sample_rate_hz)
        assert self.written is not None
        return self.written

    @property
    def counts_beside(self) -> tuple[Count, ...]:
        """Counts of the records that play together with the first, in its time."""
        if self.others:
            return self.others
        return tuple(part.arrangement.count.shifted(part.start_s) for part in self.beside)

    @property
    def recorded(self) -> Recorded | None:
        """The learner's recording that plays in it."""
        return self.heard_in if self.arrangement is None else self.arrangement.recorded

    @property
    def second_recorded(self) -> Recorded | None:
        """The recording that plays beside the first, in its time, or that the learner starts."""
        parts = [part for part in (*self.beside, self.entry) if part is not None]
        if not parts:
            return self.second_in
        found = parts[0].arrangement.recorded
        return found and found.moved(parts[0].start_s)

    @property
    def any_octave(self) -> bool:
        """Whether half or double of its tempo may be felt as well: people differ about real music."""
        return self.recorded is not None

    def rest_rows(self) -> Ints:
        """Rows of the count in whose beat no drum begins; of a recording those in its silences alone."""
        if self.arrangement is None:
            return self.rests
        if self.recorded is not None:
            silences = [each for stretch in self.recorded.stretches for each in stretch.silences]
            edges_s = np.array(silences).reshape(-1, 2, 1)
            silent = (edges_s[:, 0] <= self.count.beats_s) & (self.count.beats_s < edges_s[:, 1])
            return np.flatnonzero(silent.any(axis=0))
        from synth.score.arranging.arrangement import EARLIEST_S

        hits, count = self.arrangement.hits, self.count
        drums_s = np.sort(hits.grid_s[(hits.pitch == 0) & (hits.duration_s == 0)])
        before = np.searchsorted(drums_s, np.append(count.beats_s, count.end_s) - EARLIEST_S)
        return np.flatnonzero(np.diff(before) == 0)

    def tells_the_one(self) -> tuple[Cue, ...] | None:
        """By what the one is told from the second beat of the bar, from the third, ...; None where nobody knows."""
        if self.arrangement is None or self.recorded is not None:
            return self.one_cues
        from synth.score.arranging.cues import cues

        return cues(self.arrangement)

    def samples(self, sample_rate_hz: int = 48_000, *, way: str = "bars", language: str = "en") -> Samples:
        """The sound, (frames, 2), float32 within [-1, 1]; ``ValueError`` for a trial read from a file.

        ``way`` of the spoken count: "bars" or "letters"; ``language`` of its voice: "en" or "es".
        """
        from synth.sound.mixdown import mixdown_together

        return mixdown_together(self.layers(sample_rate_hz, way=way, language=language))

    def layers(self, sample_rate_hz: int, *, way: str = "bars", language: str = "en") -> list[Layer]:
        """What sounds together, as in ``samples``."""
        from synth.sound.mixdown import Layer

        if self.arrangement is None:
            raise ValueError("a trial read from a file has no sound: make it again from drill, rung and seed")
        drums = kit(self.kit_seed, sample_rate_hz, self.contrast)
        spoken = way if self.help.voice else None
        first = Layer(self.arrangement, drums, spoken=spoken, spoken_beats=self.help.voice_beats, language=language)
        others = [
            Layer(each.arrangement, kit(each.kit_seed, sample_rate_hz), each.start_s, each.level_db)
            for each in self.beside
        ]
        return [first, *others]

    def blend(self, press_s: float, sample_rate_hz: int = 48_000, *, bars_before: int = 2) -> Samples:
        """The record with ``entry`` started by a press at ``press_s``, as samples (frames, 2).

        Starts ``bars_before`` bars before the beat nearest to the press and ends with the entry. ``ValueError``
        without an entry.
        """
        from synth.sound.mixdown import Layer, mixdown_together

        if self.arrangement is None or self.entry is None:
            raise ValueError("no second record enters this trial, or it was read from a file")
        count, per_bar = self.count, self.arrangement.metre.beats_per_bar
        press_s = min(press_s, float(count.beats_s[-1]))
        row = max(0, int(np.argmin(np.abs(count.beats_s - press_s))) - bars_before * per_bar)
        # With a press before the first beat the entry is heard alone until the record starts.
        lead_in_s = max(0.0, float(count.beats_s[row]) - press_s)
        beats = min(len(count) - row, bars_before * per_bar + len(self.entry.arrangement.count))
        under = self.arrangement.excerpt(row, beats, lead_in_s=lead_in_s)
        first_beat_s = float(self.entry.arrangement.count.beats_s[0])
        start_s = press_s - float(count.beats_s[row]) + lead_in_s - first_beat_s
        return mixdown_together(
            [
                Layer(under, kit(self.kit_seed, sample_rate_hz, self.contrast)),
                Layer(
                    self.entry.arrangement,
                    kit(self.entry.kit_seed, sample_rate_hz),
                    max(0.0, start_s),
                    self.entry.level_db,
                ),
            ]
        )

    def to_json(self, sample_rate_hz: int = 48_000) -> dict[str, Any]:
        """Everything needed to mark the trial: the keys of the truth, then question and targets.

        ``seed`` and ``version`` are those of the trial.
        """
        same = ("drill", "rung", "seed", "version", "expected", "period_s", "groove", "kit_seed", "contrast")
        heard = [asdict(each) for each in (() if self.recorded is None else self.recorded.stretches)]
        for each in heard:
            del each["path"], each["then"]
        return self.truth(sample_rate_hz).to_json() | {
            **{name: getattr(self, name) for name in (*same, "tempo_wish", "groove_wish")},
            "rules": dict(self.rules),
            "rests": self.rest_rows().tolist(),
            "one_cues": None if (told := self.tells_the_one()) is None else [cue.value for cue in told],
            "kind": self.kind.value,
            "then": self.then.value,
            "question": self.question.to_json(),
            "choices": [{"key": choice.key, **choice.say.to_json()} for choice in self.choices],
            "targets_s": self.targets_s.tolist(),
            "help": asdict(self.help),
            **({"recorded": heard[0] | {"then": heard[1:]}} if heard else {}),
        }


def kit(seed: int, sample_rate_hz: int, contrast: float = 1.0) -> Kit:
    """The kit of a seed, cached across trials."""
    from synth.sound.pool import POOL

    return POOL.kit(seed, sample_rate_hz, contrast)


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """Taps (n,) in sorted seconds from the start of the sound, or a value (or ``LOST_COUNT``), or both.

    ``ValueError`` for taps that are not one sorted, finite row.
    """

    taps_s: Seconds = field(default_factory=lambda: NO_TAPS)
    value: str | float | None = None

    def __post_init__(self) -> None:
        taps_s = np.array(self.taps_s, dtype=np.float64)
        if taps_s.ndim != 1 or not np.isfinite(taps_s).all():
            raise ValueError("taps: one row of finite seconds expected")
        if (taps_s[1:] < taps_s[:-1]).any():
            raise ValueError("taps must be sorted by time")
        taps_s.setflags(write=False)
        object.__setattr__(self, "taps_s", taps_s)

    @property
    def lost(self) -> bool:
        """Whether the learner said that they had lost the count."""
        return self.value == LOST_COUNT
