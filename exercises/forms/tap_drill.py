"""Drills answered by taps: the trial is an excerpt, its targets are beats of the count."""

from abc import abstractmethod
from dataclasses import replace

import numpy as np

from exercises.forms.drill import Drill, promised
from exercises.forms.rungs import R
from exercises.trial.habit import Habit, Pattern, habit
from exercises.trial.marking import counted_taps, mark_taps, tap_score
from exercises.trial.result import Result, TapMarks
from exercises.trial.trial import Answer, Kind, Trial
from exercises.trial.verdict.tap_verdict import TapWords, tap_verdict, tapped_bar_s
from synth.base.arrays import Seconds
from synth.base.words import Say
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.metre import Count

# Seconds of silence before the first drum, the same in every trial.
LEAD_IN_S = 1.0


class TapDrill(Drill[R]):
    """A drill answered by taps. Subclasses add question, rungs and ``words``, ``stretch`` and ``targets_s``."""

    kind = Kind.TAPS
    words: TapWords

    @abstractmethod
    def stretch(self, rung: R, rng: np.random.Generator, per_bar: int) -> tuple[int, int]:
        """First beat (from 0) of the excerpt within the record, and its length in beats."""

    @abstractmethod
    def targets_s(self, rung: R, arrangement: Arrangement) -> Seconds:
        """Target times from the excerpt's count."""

    def record(self, rung: R, source: Source, bars: int, seed: int) -> Arrangement:
        """The record from which the excerpt is cut: whole phrases, ``bars`` long."""
        return source.record(
            Form((("verse", bars),)),
            phrase_bars=rung.phrase_bars,
            seed=seed,
            song=rung.music.parts,
            signals=self.signals(rung),
        )

    def signals(self, rung: R) -> tuple[str, ...] | None:
        """Signals of the record's turns; None for all."""
        return None

    def keeps(self, rung: R, arrangement: Arrangement) -> bool:
        """Whether the excerpt has what the rung promises; else another record is drawn."""
        return True

    def question(self, rung: R, arrangement: Arrangement) -> Say:
        """What the learner reads before the trial."""
        return self.asks()

    def build(self, rung: R, rng: np.random.Generator, source: Source) -> Trial:
        per_bar = source.metre.beats_per_bar
        first, beats = self.stretch(rung, rng, per_bar)
        phrases = -(-(first + beats) // (per_bar * rung.phrase_bars))

        def sound(record_seed: int) -> Arrangement:
            record = self.record(rung, source, phrases * rung.phrase_bars, record_seed)
            return record.excerpt(first, beats, lead_in_s=LEAD_IN_S)

        arrangement = promised(rng, sound, lambda each: self.keeps(rung, each))
        return Trial(
            question=self.question(rung, arrangement),
            arrangement=arrangement,
            targets_s=self.targets_s(rung, arrangement),
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the targets of the other count."""
        targets_s = self.targets_s(self.rung_of(trial), sound)
        if not targets_s.size:
            return None
        return replace(trial, arrangement=sound, targets_s=targets_s, period_s=60.0 / sound.tempo_bpm)

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        marks = mark_taps(trial.targets_s, answer.taps_s, trial.count, trial.period_s, uncertainty_ms)
        counted = counted_taps(trial.targets_s, answer.taps_s, trial.count, trial.period_s)
        shown = habit(trial.targets_s, answer.taps_s[counted], trial.count, trial.period_s, marks)
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=self.right(shown),
            score=tap_score(marks),
            verdict=tap_verdict(
                marks,
                shown,
                self.words,
                trial.period_s,
                calibrated,
                before=counted.start,
                after=answer.taps_s.size - counted.stop,
                one_cues=trial.tells_the_one(),
            ),
            taps=marks,
            figures={"drift_ms_per_bar": _drift_ms(marks, shown, trial.period_s)},
        )

    def right(self, shown: Habit) -> bool:
        """Whether the taps count as what was asked."""
        return shown.pattern is Pattern.TARGETS


def _drift_ms(marks: TapMarks, shown: Habit, period_s: float) -> float | None:
    """Drift in ms per bar; None for too few taps."""
    found = shown.drift or marks.drift
    return None if found is None else round(found.ms_per(tapped_bar_s(marks, period_s)), 3) + 0.0
