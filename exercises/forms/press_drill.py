"""Drills in which one press starts a second record: its offset in bars, beats and milliseconds.

Conventions: late is positive, early negative. A press is split into whole beats and at most half a beat, as it is
heard: the second record is a beat off, and then not quite in time.
"""

from dataclasses import dataclass

import numpy as np

from exercises.forms.drill import Drill
from exercises.forms.rungs import R
from exercises.timing.drift import HEARD_SHARE
from exercises.timing.offset import Offset, offset
from exercises.timing.window import window_s
from exercises.trial.trial import Answer, Kind, Result, Trial
from synth.base.arrays import Seconds
from synth.base.words import Say, Template

LATE, EARLY = Template("press.late", "late"), Template("press.early", "early")

ON = Template("press.on", "{on}.")
ON_MS = Template("press.on_ms", "{on}, {ms} ms {way}.")
OFF = Template("press.off", "You came in {off}.")
OFF_MS = Template("press.off_ms", "You came in {off}, then {ms} ms {way}.")
OFF_MORE = Template("press.off_more", "You came in {off}, and {ms} ms more.")
BETWEEN = Template("press.between", "Your press fell between two beats. Nod along first, and press with the nod.")
BETWEEN_OFF = Template(
    "press.between_off", "Your press fell between two beats, about {off}. Nod along first, and press with the nod."
)
CLOSE = Template("press.close", "Nobody will hear that from the floor.")
APART_LATE = Template(
    "press.apart_late", "The two kicks can be heard apart: press with the drum, not in answer to it."
)
APART_EARLY = Template("press.apart_early", "The two kicks can be heard apart: let the drum come to you.")
SILENT = Template(
    "press.silent", "No press came in. One press starts the second record: space bar, mouse button or a finger."
)

# Score of a press on another downbeat, and on another beat.
ANOTHER_ONE, ANOTHER_BEAT = 0.5, 0.25


@dataclass(frozen=True, slots=True)
class PressWords:
    """The sentences of a drill: ``on`` without its full stop, then advice for each kind of offset."""

    on: Template
    beat_late: Template
    beats_off: Template
    bars_off: Template


class PressDrill(Drill[R]):
    """A drill marked by its first press. Subclasses add question, rungs, ``build`` and ``words``."""

    kind = Kind.PRESS
    words: PressWords

    def mark(self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True) -> Result:
        if not uncertainty_ms >= 0:
            raise ValueError(f"uncertainty {uncertainty_ms} ms: 0 or more expected")
        if not answer.taps_s.size:
            return Result(trial.drill, trial.rung, trial.seed, right=False, score=0.0, verdict=(SILENT(),))
        press_s = float(answer.taps_s[0])
        late_s = nearest_late_s(trial.targets_s, press_s)
        shown = offset(late_s, trial.period_s, int(trial.count.beat_in_bar.max()))
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=abs(late_s) <= window_s(trial.period_s),
            score=self.score(late_s, shown, trial.period_s),
            verdict=self.verdict(shown, trial.period_s, uncertainty_ms, calibrated),
            figures={
                "off_bars": shown.bars,
                "off_beats": shown.beats,
                "off_ms": round(shown.ms, 3) + 0.0,
                "uncertainty_ms": round(uncertainty_ms, 3),
                # The target against which the press was marked.
                "target_s": round(press_s - late_s, 6),
            },
        )

    def score(self, late_s: float, shown: Offset, period_s: float) -> float:
        """1 on the target, half on another downbeat, a quarter on another beat."""
        if abs(late_s) <= window_s(period_s):
            return 1.0
        if abs(shown.ms) > 1000 * window_s(period_s):
            return 0.0
        return ANOTHER_BEAT if shown.beats else ANOTHER_ONE

    def verdict(self, shown: Offset, period_s: float, uncertainty_ms: float, calibrated: bool) -> tuple[Say, ...]:
        """Where the press fell, and advice. Milliseconds only when calibrated."""
        ms, way = round(abs(shown.ms)), LATE() if shown.ms > 0 else EARLY()
        told = calibrated and ms >= 1 and ms > uncertainty_ms
        whole = bool(shown.bars or shown.beats)
        if abs(shown.ms) > 1000 * window_s(period_s):
            return (BETWEEN_OFF(off=shown.words) if whole else BETWEEN(),)
        if not whole:
            if not told:
                return (ON(on=self.words.on()),)
            near = ms <= 1000 * HEARD_SHARE * period_s
            return ON_MS(on=self.words.on(), ms=ms, way=way), (
                CLOSE() if near else APART_LATE() if shown.ms > 0 else APART_EARLY()
            )
        if not told:
            first = OFF(off=shown.words)
        elif (shown.ms > 0) is (shown.bars + shown.beats > 0):
            first = OFF_MORE(off=shown.words, ms=ms)
        else:
            first = OFF_MS(off=shown.words, ms=ms, way=way)
        if (shown.bars, shown.beats) == (0, 1):
            return first, self.words.beat_late()
        return first, (self.words.beats_off() if shown.beats else self.words.bars_off())

    def chance(self, trial: Trial) -> float:
        """Share of the sound within the window of a target."""
        sounding_s = trial.count.end_s - float(trial.count.beats_s[0])
        return min(1.0, 2 * window_s(trial.period_s) * len(trial.targets_s) / sounding_s)


def nearest_late_s(targets_s: Seconds, press_s: float) -> float:
    """Seconds from the nearest target to a press, late positive."""
    late_s = press_s - targets_s
    return float(late_s[np.argmin(np.abs(late_s))])
