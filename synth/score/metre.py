"""Metre, tempo, and the count: times and numbers of beats, bars and phrases.

Conventions: times are float64 seconds; tempo is in felt beats a minute (the dotted quarter in 6/8); beats, bars
and phrases are numbered from one; bar 0 is the pick-up before the first full bar.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Seconds

# BPM. Below 40 a beat exceeds the 1.5 s within which taps synchronise with a sound; above 240 it is shorter than
# the 250 ms that a hand can follow (Repp 2006, Adv. Cogn. Psychol. 2, 163-181).
TEMPO_RANGE_BPM = (40.0, 240.0)


# Columns of a count that hold numbers.
NUMBERS = ("beat_in_bar", "bar_number", "bar_in_phrase", "phrase_number")


def check_tempo(tempo_bpm: float) -> float:
    """Return the tempo as a float. Raises ``ValueError`` outside ``TEMPO_RANGE_BPM``."""
    low, high = TEMPO_RANGE_BPM
    tempo = float(tempo_bpm)
    if not low <= tempo <= high:
        slip = " Is this beats a second?" if 0.5 <= tempo <= 4 else ""
        raise ValueError(f"tempo {tempo:g} BPM is outside {low:g} to {high:g}.{slip}")
    return tempo


def to_frames(onset_s: npt.ArrayLike, sample_rate_hz: int) -> Ints:
    """Convert seconds to frame numbers, rounded to nearest. The only such conversion in the program."""
    return np.rint(np.asarray(onset_s, dtype=np.float64) * sample_rate_hz).astype(np.int64)


@dataclass(frozen=True, slots=True)
class Metre:
    """A time signature and its felt beat: three eighths in compound metres (6/8, 9/8, 12/8), so 6/8 has two beats.

    ``ValueError`` where either figure is out of range.
    """

    numerator: int = 4
    denominator: int = 4

    def __post_init__(self) -> None:
        if not 1 <= self.numerator <= 32:
            raise ValueError(f"metre {self}: 1 to 32 beats a bar expected")
        if self.denominator not in (1, 2, 4, 8, 16, 32):
            raise ValueError(f"metre {self}: the lower figure is 1, 2, 4, 8, 16 or 32")

    @classmethod
    def parse(cls, text: str) -> "Metre":
        """Parse ``"6/8"``. Raises ``ValueError`` for any other text."""
        above, stroke, below = text.strip().partition("/")
        if not (stroke and above.strip().isdecimal() and below.strip().isdecimal()):
            raise ValueError(f"metre {text!r}: a time signature such as 4/4 expected")
        return cls(int(above), int(below))

    def __str__(self) -> str:
        return f"{self.numerator}/{self.denominator}"

    @property
    def compound(self) -> bool:
        """Whether the felt beat divides in three."""
        return self.denominator >= 8 and self.numerator > 3 and self.numerator % 3 == 0

    @property
    def beats_per_bar(self) -> int:
        """Felt beats in a bar: 4 in 4/4, 2 in 6/8."""
        return self.numerator // 3 if self.compound else self.numerator

    @property
    def quarters_per_beat(self) -> float:
        """Length of a felt beat in quarter notes: 1 in 4/4, 1.5 in 6/8, 0.5 in 7/8."""
        return (12 if self.compound else 4) / self.denominator


def bar_s(tempo_bpm: float, metre: Metre | None = None) -> float:
    """Length of a bar in seconds: 240 / BPM in 4/4."""
    return (metre or Metre()).beats_per_bar * 60.0 / tempo_bpm


@dataclass(frozen=True, slots=True, eq=False)
class Count:
    """Ground truth of counting, one row a beat; all arrays (n,) and read-only.

    ``beats_s`` strictly increasing seconds; ``beat_in_bar``, ``bar_number``, ``bar_in_phrase`` and ``phrase_number``
    from one; ``end_s`` is the time of the beat after the last. ``ValueError`` for wrong shapes or unsorted beats.
    """

    beats_s: Seconds
    beat_in_bar: Ints
    bar_number: Ints
    bar_in_phrase: Ints
    phrase_number: Ints
    end_s: float

    def __post_init__(self) -> None:
        n = len(self.beats_s)
        self.beats_s.setflags(write=False)
        for name in NUMBERS:
            numbers = getattr(self, name)
            if numbers.shape != (n,):
                raise ValueError(f"{name} has shape {numbers.shape}, ({n},) expected")
            numbers.setflags(write=False)
        if n and (np.count_nonzero(self.beats_s[1:] <= self.beats_s[:-1]) or self.end_s <= self.beats_s[-1]):
            raise ValueError("beats must increase strictly and end before end_s")

    def __len__(self) -> int:
        return len(self.beats_s)

    @property
    def ones_s(self) -> Seconds:
        """Times of the first beats of the bars."""
        ones_s: Seconds = self.beats_s[self.beat_in_bar == 1]
        return ones_s

    @property
    def phrase_starts_s(self) -> Seconds:
        """Times of the first beats of the phrases."""
        starts_s: Seconds = self.beats_s[(self.beat_in_bar == 1) & (self.bar_in_phrase == 1)]
        return starts_s

    @property
    def turns_s(self) -> Seconds:
        """Times at which a phrase begins after another one: not with the first beat."""
        starts_s = self.phrase_starts_s
        turns_s: Seconds = starts_s[starts_s > self.beats_s[0] + 1e-6] if len(self) else starts_s
        return turns_s

    def row_at(self, at_s: float) -> int | None:
        """The row of the beat that sounds at a time; None before the first and from ``end_s`` on."""
        if not self.beats_s[0] <= at_s < self.end_s:
            return None
        return int(np.searchsorted(self.beats_s, at_s, side="right")) - 1

    def text(self) -> str:
        """One line a beat: seconds, a tab, bar.beat (``12.500000<TAB>7.2``)."""
        rows = zip(self.beats_s.tolist(), self.bar_number.tolist(), self.beat_in_bar.tolist(), strict=True)
        return "".join(f"{beat_s:.6f}\t{bar}.{beat}\n" for beat_s, bar, beat in rows)

    def shifted(self, by_s: float) -> "Count":
        """Delay the count by ``by_s`` seconds."""
        return Count(
            self.beats_s + by_s,
            self.beat_in_bar,
            self.bar_number,
            self.bar_in_phrase,
            self.phrase_number,
            self.end_s + by_s,
        )

    def excerpt(self, first: int, beats: int | None = None) -> "Count":
        """Take ``beats`` rows (default: all that follow) from row ``first`` on; times and numbers are kept."""
        last = len(self) if beats is None else first + beats
        if not 0 <= first < last <= len(self):
            raise ValueError(f"beats {first} to {last} of a count of {len(self)}")
        end_s = self.end_s if last == len(self) else float(self.beats_s[last])
        rows = slice(first, last)
        return Count(
            self.beats_s[rows],
            self.beat_in_bar[rows],
            self.bar_number[rows],
            self.bar_in_phrase[rows],
            self.phrase_number[rows],
            end_s,
        )


def steady_count(tempo_bpm: float, phrases: Sequence[int], metre: Metre | None = None, start_s: float = 0.0) -> Count:
    """The count at a constant tempo: ``phrases`` lists the bars of each phrase. ``ValueError`` where there is none.

    >>> steady_count(120, [8]).end_s
    16.0
    """
    tempo = check_tempo(tempo_bpm)
    if not phrases or min(phrases) < 1:
        raise ValueError(f"phrases {list(phrases)}: at least one phrase of at least one bar expected")
    per_bar = (metre or Metre()).beats_per_bar
    phrase = np.arange(len(phrases)).repeat(phrases)
    bar = np.arange(len(phrase))
    first_bar = np.array([0, *accumulate(phrases)])[phrase]
    beats = len(bar) * per_bar
    beat = np.arange(beats)
    return Count(
        np.asarray(start_s + beat * (60.0 / tempo), dtype=np.float64),
        beat % per_bar + 1,
        (bar + 1).repeat(per_bar),
        (bar - first_bar + 1).repeat(per_bar),
        (phrase + 1).repeat(per_bar),
        start_s + beats * (60.0 / tempo),
    )
