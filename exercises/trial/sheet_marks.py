"""What of a trial's truth is marked on its count sheet, and what of the learner's answer beside it.

A drill makes the marks, the window paints them: a mark says where in the count it stands, in seconds, and never how
it looks.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from synth.base.words import Say, Template
from synth.score.metre import Count

YOURS = Template("sheet.yours", "your answer")
YOUR_ANSWER = Template("sheet.your_answer", "your answer: {answer}")
SILENCE = Template("sheet.silence", "silence")


class Shape(StrEnum):
    """A kind of mark, and where it stands."""

    RING = "ring"  # around the number of the beat at ``at_s``
    FLAG = "flag"  # before the beat at ``at_s``
    SHADE = "shade"  # behind the beats from ``at_s`` until ``until_s``
    ONE = "one"  # below the count, at ``at_s``: another record's one


@dataclass(frozen=True, slots=True)
class SheetMark:
    """A mark with the words beside it; ``own``: the learner's answer, not the truth. Times in s of the sound.

    ``ValueError`` for a shade without an end.
    """

    shape: Shape
    at_s: float
    say: Say | None = None
    own: bool = False
    until_s: float | None = None

    def __post_init__(self) -> None:
        if (self.until_s is None) == (self.shape is Shape.SHADE):
            raise ValueError(f"{self.shape} from {self.at_s} s until {self.until_s} s: an end for a shade alone")


@dataclass(frozen=True, slots=True)
class SheetMarks:
    """The marks of a sheet.

    ``count`` is what is written on it (None: the trial's). ``through``: bars are numbered from the first to the last
    instead of within their phrase. ``legend`` says what its marks are where their words do not.
    """

    marks: tuple[SheetMark, ...] = ()
    count: Count | None = None
    through: bool = False
    legend: Say | None = None


def continued(count: Count, beats: int, per_bar: int, phrase_bars: int) -> Count:
    """The count with ``beats`` more beats, each as long as its last one, in phrases of ``phrase_bars``."""
    if beats <= 0:
        return count
    period_s = count.end_s - float(count.beats_s[-1])
    at = int(count.beat_in_bar[-1]) + np.arange(beats, dtype=np.int64)
    bars = int(count.bar_in_phrase[-1]) - 1 + at // per_bar
    return Count(
        np.append(count.beats_s, count.end_s + period_s * np.arange(beats)),
        np.append(count.beat_in_bar, at % per_bar + 1),
        np.append(count.bar_number, count.bar_number[-1] + at // per_bar),
        np.append(count.bar_in_phrase, bars % phrase_bars + 1),
        np.append(count.phrase_number, count.phrase_number[-1] + bars // phrase_bars),
        count.end_s + period_s * beats,
    )


def whole_bars_s(count: Count) -> list[float]:
    """Times of the ones of the bars from 1 on: without a pick-up and a bar that began before the sound."""
    return [float(each) for each in count.beats_s[(count.beat_in_bar == 1) & (count.bar_number > 0)]]
