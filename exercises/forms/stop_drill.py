"""Drills in which the sound stops and the learner says where.

Position and length are drawn independently: the position uniformly over a bar or a phrase, the number of beats
uniformly over as many neighbouring values. So every position occurs with every length, and the start follows from
both. The last beat sounds to its end; no hit follows and nothing rings on.
"""

from abc import abstractmethod
from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.drill import promised
from exercises.forms.rungs import Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.result import Result
from exercises.trial.sheet_marks import SILENCE, YOURS, Shape, SheetMark, SheetMarks, continued
from exercises.trial.trial import Answer, Choice, Help, Kind, Trial
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.metre import Count

LAST = Template("stop.last", "the last beat")
# Turn signals that leave no gap in the drums: a gap before the stop would hide which beat was the last.
SIGNALS = ("fill", "crash")


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRung(Rung):
    """``listen_bars``: fewest that sound. ``signals`` of turns; ``false_fill``: one fill is not at a turn.

    ``voice_through``: the voice, if any, counts to the end.
    """

    listen_bars: int = 3
    signals: tuple[str, ...] = SIGNALS
    false_fill: bool = False
    voice_through: bool = False


class StopDrill(ChoiceDrill[StopRung]):
    """Subclasses give the period of the answer in beats, and the answer."""

    ends_on_answer = True

    @abstractmethod
    def cycle(self, rung: StopRung, per_bar: int) -> int:
        """Beats after which the answer repeats."""

    @abstractmethod
    def truth(self, bar_in_phrase: int, beat_in_bar: int) -> str:
        """The right answer."""

    def question(self, rung: StopRung) -> Say:
        """The question, independent of the truth."""
        return self.asks()

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The last beat, and the nearest beat of the learner's answer, in the silence if it lies there."""
        count, per_bar = trial.count, trial.truth().metre.beats_per_bar
        last, end_s = len(count) - 1, count.end_s
        marks = [SheetMark(Shape.RING, float(count.beats_s[last]), LAST())]
        if result.mistaken is None:
            return SheetMarks(tuple(marks))
        phrase_bars = trial.truth().phrase_bars
        bars = 1 if self.kind is Kind.CHOICE else phrase_bars
        on = continued(count, bars * per_bar // 2, per_bar, phrase_bars)
        places = zip(on.bar_in_phrase.tolist(), on.beat_in_bar.tolist(), strict=True)
        rows = [row for row, place in enumerate(places) if self.truth(*place) == str(result.given)]
        if not rows:
            return SheetMarks(tuple(marks))
        row = min(rows, key=lambda each: abs(each - last))
        marks.append(SheetMark(Shape.RING, float(on.beats_s[row]), YOURS(), own=True))
        if row > last:
            count = on.excerpt(0, row + 1)
            marks.append(SheetMark(Shape.SHADE, end_s, SILENCE(), until_s=count.end_s))
        return SheetMarks(tuple(marks), count)

    def choices(self, per_bar: int) -> tuple[Choice, ...]:
        """The choices; empty where the answer is a position."""
        return ()

    def help(self, rung: StopRung, per_bar: int) -> Help:
        """The rung's help; the voice stops before the first possible stop, if it does not count to the end."""
        if rung.voice_through:
            return replace(rung.help, sheet=False)
        most = (rung.listen_bars - 1) * per_bar
        return replace(rung.help, sheet=False, voice_beats=min(rung.help.voice_beats or most, most))

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial:
        """With the answer that the other count gives."""
        last = self.truth(int(sound.count.bar_in_phrase[-1]), int(sound.count.beat_in_bar[-1]))
        return replace(trial, arrangement=sound, expected=last, period_s=60.0 / sound.tempo_bpm)

    def build(self, rung: StopRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar = source.metre.beats_per_bar
        phrase, cycle = rung.phrase_bars * per_bar, self.cycle(rung, per_bar)
        place = int(rng.integers(cycle))
        beats = rung.listen_bars * per_bar + int(rng.integers(cycle))
        # Bar of the phrase where it is not asked for, plus as many phrases as the length needs.
        last = place + cycle * int(rng.integers(phrase // cycle))
        last += phrase * max(0, -(-(beats - 1 - last) // phrase))
        # The first phrase of a record has no false fill.
        last += phrase * rung.false_fill

        def sound(record_seed: int) -> Arrangement:
            record = source.record(
                # One phrase more than sounds, away from the fill at the end of the record.
                Form((("verse", (last // phrase + 2) * rung.phrase_bars),)),
                phrase_bars=rung.phrase_bars,
                seed=record_seed,
                song=rung.music.parts,
                signals=rung.signals,
                exceptions=("false fill",) if rung.false_fill else (),
            )
            return replace(record.excerpt(last - beats + 1, beats, lead_in_s=LEAD_IN_S), tail_s=0.0)

        def misleads(sound: Arrangement) -> bool:
            return not rung.false_fill or any(odd.start_s > LEAD_IN_S + 1e-6 for odd in sound.exceptions)

        arrangement = promised(rng, sound, misleads)
        count = arrangement.count
        return Trial(
            question=self.question(rung),
            arrangement=arrangement,
            period_s=60.0 / source.tempo_bpm,
            help=self.help(rung, per_bar),
            choices=self.choices(per_bar) if self.kind is Kind.CHOICE else (),
            expected=self.truth(int(count.bar_in_phrase[-1]), int(count.beat_in_bar[-1])),
        )
