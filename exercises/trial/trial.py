"""A trial (one piece of listening with one question), the learner's answer, and the marked result.

Conventions: times are float64 seconds from the first frame of the trial's sound; figures named ``_ms`` are
milliseconds; early is negative, late is positive. A trial follows from (drill, rung, seed, version) alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from exercises.timing.drift import Drift
from synth.base.arrays import Ints, Samples, Seconds
from synth.base.words import Say
from synth.score.metre import Count

if TYPE_CHECKING:
    from synth.score.arrangement import Arrangement
    from synth.score.truth import Truth
    from synth.sound.kit import Kit

# Raise it when making changes so that a trial of the same drill, rung and seed would be another. Not for marking:
# what was kept is then marked anew (``exercises.logbook.remark``), which takes trials of this version alone.
VERSION = 2

NO_TAPS = np.empty(0)
NO_TAPS.setflags(write=False)


class Kind(StrEnum):
    """What the learner does: the window chooses its controls by it."""

    TAPS = "taps"  # taps along, many
    PRESS = "press"  # presses at an instant: once, or as each instant comes
    CHOICE = "choice"  # picks one of ``Trial.choices``
    NUMBER = "number"  # gives a number
    POSITION = "position"  # gives bar and beat: "3.2" is the two of the third bar
    NONE = "none"  # listens; there is no mark


@dataclass(frozen=True, slots=True)
class Help:
    """What stands by the learner while the trial sounds: the count sheet, the counting voice.

    ``voice_beats``: the voice speaks so many beats from the start on, then falls silent (None: it never does).
    """

    sheet: bool = False
    voice: bool = False
    voice_beats: int | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to choose: ``key`` is what an answer holds, ``say`` what the learner reads."""

    key: str
    say: Say


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """A further record in a trial: it starts ``start_s`` after the trial does, at a level of its own."""

    arrangement: Arrangement
    kit_seed: int
    start_s: float = 0.0
    level_db: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """One piece of listening with one question.

    ``targets_s`` (n,) are the instants that count, sorted; ``period_s`` is the beat. ``expected`` is the key of
    the right choice, the right number or the right position; None where taps alone are marked. ``then`` is a
    second question, asked when the sound is over ("now state the tempo"). ``beside`` sounds along with the
    arrangement; ``entry`` is the record that the learner's press starts. ``groove`` is the arrangement's,
    ``contrast`` how far its kit's low drum stands from the sharp ones (see ``Kit``). A trial read from a file carries
    its truth in ``written`` and has no arrangement: it can be marked, not heard.
    """

    drill: str
    rung: int
    seed: int
    kind: Kind
    question: Say
    arrangement: Arrangement | None
    kit_seed: int
    targets_s: Seconds
    period_s: float
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

    def __post_init__(self) -> None:
        targets_s = np.array(self.targets_s, dtype=np.float64)
        if targets_s.ndim != 1 or np.any(np.diff(targets_s) <= 0):
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
        """The truth of the count, seconds from the first frame of the sound."""
        return self.truth().count if self.arrangement is None else self.arrangement.count

    @property
    def duration_s(self) -> float:
        """Length of the sound, ring of the last hit included."""
        return self.truth().count.end_s if self.arrangement is None else self.arrangement.duration_s

    def truth(self, sample_rate_hz: int = 48_000) -> Truth:
        """The truth of the arrangement (as it was written, where the trial was read from a file)."""
        if self.arrangement is not None:
            return self.arrangement.truth(sample_rate_hz)
        assert self.written is not None
        return self.written

    def samples(self, sample_rate_hz: int = 48_000, *, way: str = "bars") -> Samples:
        """The sound, (frames, 2), float32 within [-1, 1]; ``ValueError`` for a trial that was read from a file.

        Where a voice helps, it counts in this ``way``, "bars" or "letters".
        """
        from synth.sound.mixdown import Layer, mixdown_together

        if self.arrangement is None:
            raise ValueError("a trial read from a file has no sound: make it again from drill, rung and seed")
        drums = kit(self.kit_seed, sample_rate_hz, self.contrast)
        spoken = way if self.help.voice else None
        first = Layer(self.arrangement, drums, spoken=spoken, spoken_beats=self.help.voice_beats)
        others = [
            Layer(each.arrangement, kit(each.kit_seed, sample_rate_hz), each.start_s, each.level_db)
            for each in self.beside
        ]
        return mixdown_together([first, *others])

    def blend(self, press_s: float, sample_rate_hz: int = 48_000, *, bars_before: int = 2) -> Samples:
        """What the press brought about: the record, and over it the ``entry``, whose first beat falls on the press.

        Begins ``bars_before`` bars before the beat nearest to the press and ends with the entry. ``ValueError`` where
        no record enters.
        """
        from synth.sound.mixdown import Layer, mixdown_together

        if self.arrangement is None or self.entry is None:
            raise ValueError("no second record enters this trial, or it was read from a file")
        count, per_bar = self.count, self.arrangement.metre.beats_per_bar
        press_s = min(press_s, float(count.beats_s[-1]))
        row = max(0, int(np.argmin(np.abs(count.beats_s - press_s))) - bars_before * per_bar)
        # A press before the first beat: the entry is heard alone until the record begins.
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
        """Enough to mark the trial without making it again: the keys of the truth, then question and targets.

        ``seed`` and ``version`` are those of the trial.
        """
        return self.truth(sample_rate_hz).to_json() | {
            "drill": self.drill,
            "rung": self.rung,
            "seed": self.seed,
            "version": self.version,
            "kind": self.kind.value,
            "then": self.then.value,
            "question": self.question.to_json(),
            "choices": [{"key": choice.key, **choice.say.to_json()} for choice in self.choices],
            "expected": self.expected,
            "targets_s": self.targets_s.tolist(),
            "period_s": self.period_s,
            "help": {"sheet": self.help.sheet, "voice": self.help.voice, "voice_beats": self.help.voice_beats},
            "groove": self.groove,
            "kit_seed": self.kit_seed,
            "contrast": self.contrast,
        }


@lru_cache(maxsize=8)
def kit(seed: int, sample_rate_hz: int, contrast: float = 1.0) -> Kit:
    """The kit of a seed, kept: its drums are rendered once for many trials."""
    from synth.sound.kit import Kit

    return Kit(seed, sample_rate_hz, contrast)


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What the learner did: taps (n,) in seconds from the start of the sound, sorted; or a value, or both."""

    taps_s: Seconds = field(default_factory=lambda: NO_TAPS)
    value: str | float | None = None

    def __post_init__(self) -> None:
        taps_s = np.array(self.taps_s, dtype=np.float64)
        if taps_s.ndim != 1 or not np.all(np.isfinite(taps_s)):
            raise ValueError("taps: one row of finite seconds expected")
        if np.any(np.diff(taps_s) < 0):
            raise ValueError("taps must be sorted by time")
        taps_s.setflags(write=False)
        object.__setattr__(self, "taps_s", taps_s)


@dataclass(frozen=True, slots=True, eq=False)
class TapMarks:
    """How a row of taps lay on its targets. Figures that the taps cannot give are None.

    ``targets``, ``hits``, ``missed`` and ``extra`` are counts. ``pairs`` (hits, 2) holds target index and tap
    index (among all taps of the answer); ``errors_ms`` (hits,) goes with it. ``bias_ms`` is the mean error,
    ``spread_ms`` its SD (n - 1), ``bias_ci95_ms`` the 95 % interval of the bias by Student's t. ``window_ms``:
    how far from its target a tap still counts. ``beat_tapped``: beat of the bar -> share of the taps nearest to it.
    ``counted`` are the taps that count at all, from one index up to another (None: all of them). ``drift`` is the
    line through the errors.
    """

    targets: int
    hits: int
    missed: int
    extra: int
    bias_ms: float | None
    spread_ms: float | None
    bias_ci95_ms: tuple[float, float] | None
    uncertainty_ms: float
    window_ms: float
    errors_ms: Seconds
    beat_tapped: Mapping[int, float]
    pairs: Ints
    counted: tuple[int, int] | None = None
    drift: Drift | None = None

    def to_json(self) -> dict[str, Any]:
        """The figures under their own names, rounded to a thousandth of a millisecond."""
        ci = self.bias_ci95_ms
        return {
            "targets": self.targets,
            "hits": self.hits,
            "missed": self.missed,
            "extra": self.extra,
            "bias_ms": _rounded(self.bias_ms),
            "spread_ms": _rounded(self.spread_ms),
            "bias_ci95_ms": None if ci is None else [_rounded(ci[0]), _rounded(ci[1])],
            "uncertainty_ms": round(self.uncertainty_ms, 3),
            "window_ms": round(self.window_ms, 3),
            "errors_ms": (np.round(self.errors_ms, 3) + 0.0).tolist(),
            "beat_tapped": {str(beat): round(share, 4) for beat, share in self.beat_tapped.items()},
        }


@dataclass(frozen=True, slots=True, eq=False)
class Result:
    """A marked answer. ``right`` is None where there is nothing to be right about; ``score`` is 0 to 1.

    ``figures`` holds what a drill adds of its own (bars, beats and ms off; variances), under names with units.
    """

    drill: str
    rung: int
    seed: int
    right: bool | None
    score: float
    verdict: tuple[Say, ...]
    taps: TapMarks | None = None
    given: str | float | None = None
    expected: str | float | None = None
    figures: Mapping[str, float | str | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not 0.0 <= self.score <= 1.0:
            raise ValueError(f"score {self.score}: 0 to 1 expected")

    @property
    def text(self) -> str:
        """The verdict in English."""
        return " ".join(map(str, self.verdict))

    def to_json(self) -> dict[str, Any]:
        """Flat: the figures of the taps, then what was given and expected, then the verdict in English."""
        data: dict[str, Any] = {"drill": self.drill, "rung": self.rung, "seed": self.seed}
        data |= {"right": self.right, "score": round(self.score, 4)}
        if self.taps is not None:
            data |= self.taps.to_json()
        if self.given is not None or self.expected is not None:
            data |= {"given": self.given, "expected": self.expected}
        return data | dict(self.figures) | {"verdict": self.text}

    def to_record(self) -> dict[str, Any]:
        """What the logbook keeps: without the rows that the stored taps give again, the verdict translatable."""
        data = self.to_json()
        for name in ("drill", "rung", "seed", "errors_ms"):
            data.pop(name, None)
        return data | {"verdict": [say.to_json() for say in self.verdict]}


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 3) + 0.0  # which leaves no minus before a zero
