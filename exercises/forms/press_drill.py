"""Drills marked by one press, which may start a second record: its offset in bars, beats and milliseconds.

Conventions: late is positive, early negative. A press is split into whole beats and at most half a beat, as it is
heard: the second record is a beat off, and then not quite in time.
"""

import numpy as np

from exercises.forms.drill import Drill
from exercises.forms.rungs import R
from exercises.timing.offset import Offset, offset
from exercises.timing.window import window_s
from exercises.trial.result import Result
from exercises.trial.sheet_marks import Shape, SheetMark
from exercises.trial.trial import Answer, Kind, Trial
from exercises.trial.verdict.press_verdict import SILENT, PressWords, press_verdict
from synth.base.arrays import Seconds
from synth.base.words import Say, Template

# Score of a press on another downbeat, and on another beat.
ANOTHER_ONE, ANOTHER_BEAT = 0.5, 0.25
# A press later than this answers to what sounds on the target: nobody reacts to a sound in much less (85 ms in
# sprinters: Pain & Hibbs 2007, J. Sports Sci. 25, 79-86; from memory).
LATEST_S = 0.1

YOUR_RECORD, SHOULD = Template("press.your_record", "your record"), Template("press.should", "it should start here")


class PressDrill(Drill[R]):
    """A drill marked by its first press. Subclasses add question, rungs, ``build`` and ``words``.

    ``foreseen``: a press later than ``LATEST_S`` answers to a sound, and does not count where lags are known.
    """

    kind = Kind.PRESS
    words: PressWords
    silent = SILENT
    foreseen = True

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        if not uncertainty_ms >= 0:
            raise ValueError(f"uncertainty {uncertainty_ms} ms: 0 or more expected")
        if not answer.taps_s.size:
            return Result(trial.drill, trial.rung, trial.seed, right=False, score=0.0, verdict=(self.silent(),))
        press_s = float(answer.taps_s[0])
        late_s = nearest_late_s(trial.targets_s, press_s)
        close = self.right(trial, late_s)
        met = close and not (self.foreseen and answers_sound(late_s, uncertainty_ms, calibrated))
        shown = offset(late_s, trial.period_s, int(trial.count.beat_in_bar.max()))
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=met,
            score=ANOTHER_ONE if close and not met else self.score(trial, late_s, shown),
            verdict=self.verdict(trial, press_s, shown, uncertainty_ms, calibrated),
            figures={
                "off_bars": shown.bars,
                "off_beats": shown.beats,
                "off_ms": round(shown.ms, 3) + 0.0,
                "uncertainty_ms": round(uncertainty_ms, 3),
                # The target against which the press was marked.
                "target_s": round(press_s - late_s, 6),
            },
        )

    def right(self, trial: Trial, late_s: float) -> bool:
        """Whether a press ``late_s`` from the target counts."""
        return abs(late_s) <= window_s(trial.period_s)

    def score(self, trial: Trial, late_s: float, shown: Offset) -> float:
        """1 on the target, half on another downbeat, a quarter on another beat."""
        if self.right(trial, late_s):
            return 1.0
        if abs(shown.ms) > 1000 * window_s(trial.period_s):
            return 0.0
        return ANOTHER_BEAT if shown.beats else ANOTHER_ONE

    def verdict(
        self, trial: Trial, press_s: float, shown: Offset, uncertainty_ms: float, calibrated: bool
    ) -> tuple[Say, ...]:
        """Where the press fell, and advice."""
        return press_verdict(shown, self.words, trial.period_s, uncertainty_ms, calibrated)

    def chance(self, trial: Trial) -> float:
        """Share of the sound within the window of a target."""
        sounding_s = trial.count.end_s - float(trial.count.beats_s[0])
        return min(1.0, 2 * window_s(trial.period_s) * len(trial.targets_s) / sounding_s)


def entry_marks(trial: Trial, answer: Answer, result: Result) -> list[SheetMark]:
    """The ones of the record that a press started, and the beat on which a wrong one should have."""
    marks, target_s = [], result.figures.get("target_s")
    if answer.taps_s.size and not answer.lost:
        bar_s = trial.period_s * int(trial.count.beat_in_bar.max())
        ones_s = np.arange(float(answer.taps_s[0]), trial.count.end_s - trial.period_s / 2, bar_s).tolist()
        marks = [SheetMark(Shape.ONE, at_s, None if n else YOUR_RECORD(), own=True) for n, at_s in enumerate(ones_s)]
    if not result.right:
        should_s = target_s if isinstance(target_s, float) else float(trial.targets_s[0])
        marks.append(SheetMark(Shape.RING, should_s, SHOULD()))
    return marks


def answers_sound(late_s: float, uncertainty_ms: float, calibrated: bool) -> bool:
    """Whether a press ``late_s`` after its target is surely later than ``LATEST_S``; False where lags are unknown."""
    return calibrated and late_s > LATEST_S + uncertainty_ms / 1000


def nearest_late_s(targets_s: Seconds, press_s: float) -> float:
    """Seconds from the nearest target to a press, late positive."""
    late_s = press_s - targets_s
    return float(late_s[np.argmin(np.abs(late_s))])
