"""Drills in which the sound stops and the learner says where: nothing but the drums tells the place.

Place and length are drawn apart from each other: the place evenly over a bar or a phrase, the number of beats that
sound evenly over just as many neighbours. So every place goes with every length, and where the sound begins follows
from the two. The last beat sounds to its end and not a sample longer; no hit is struck and nothing rings after it.
"""

from abc import abstractmethod
from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.drill import promised
from exercises.forms.rungs import Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.trial import Choice, Help, Kind, Trial
from synth.base.words import Say
from synth.score.arrangement import Arrangement, arrange
from synth.score.form import Form
from synth.score.grooves import Groove

# Turns that leave no hole in the drums: a hole before the stop would leave open which beat was the last.
SIGNALS = ("fill", "crash")


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRung(Rung):
    """``listen_bars``: the fewest that sound. ``signals``: what tells a turn; ``false_fill``: one turns nothing."""

    listen_bars: int = 3
    signals: tuple[str, ...] = SIGNALS
    false_fill: bool = False


class StopDrill(ChoiceDrill[StopRung]):
    """A subclass says what is asked: after how many beats the answer comes round again, and what it is."""

    @abstractmethod
    def cycle(self, rung: StopRung, per_bar: int) -> int:
        """Beats after which the answer is the same again."""

    @abstractmethod
    def truth(self, bar_in_phrase: int, beat_in_bar: int) -> str:
        """The right answer."""

    def question(self, rung: StopRung) -> Say:
        """The question, the same whatever the truth."""
        return self.asks()

    def choices(self, per_bar: int) -> tuple[Choice, ...]:
        """What there is to choose from; nothing where the answer is a place in the count."""
        return ()

    def help(self, rung: StopRung, per_bar: int) -> Help:
        """The rung's help; the voice always falls silent while every stop is still to come."""
        most = (rung.listen_bars - 1) * per_bar
        return replace(rung.help, sheet=False, voice_beats=min(rung.help.voice_beats or most, most))

    def build(
        self, number: int, rung: StopRung, seed: int, rng: np.random.Generator, groove: Groove, tempo_bpm: float
    ) -> Trial:
        per_bar = groove.metre.beats_per_bar
        phrase, cycle = rung.phrase_bars * per_bar, self.cycle(rung, per_bar)
        place = int(rng.integers(cycle))
        beats = rung.listen_bars * per_bar + int(rng.integers(cycle))
        # The bar of the phrase, where it is not asked for, and as many phrases before as the length needs.
        last = place + cycle * int(rng.integers(phrase // cycle))
        last += phrase * max(0, -(-(beats - 1 - last) // phrase))
        # A record has no false fill in its first phrase.
        last += phrase * rung.false_fill

        def sound(record_seed: int) -> Arrangement:
            record = arrange(
                groove,
                tempo_bpm=tempo_bpm,
                # A phrase more than sounds: the end of the record, which has a fill of its own, is never near.
                form=Form((("verse", (last // phrase + 2) * rung.phrase_bars),)),
                phrase_bars=rung.phrase_bars,
                seed=record_seed,
                signals=rung.signals,
                exceptions=("false fill",) if rung.false_fill else (),
            )
            return replace(record.excerpt(last - beats + 1, beats, lead_in_s=LEAD_IN_S), tail_s=0.0)

        def misleads(sound: Arrangement) -> bool:
            return not rung.false_fill or any(odd.start_s > LEAD_IN_S + 1e-6 for odd in sound.exceptions)

        arrangement = promised(rng, sound, misleads)
        count = arrangement.count
        return Trial(
            drill=self.id,
            rung=number,
            seed=seed,
            kind=self.kind,
            question=self.question(rung),
            arrangement=arrangement,
            kit_seed=0,
            targets_s=np.empty(0),
            period_s=60.0 / tempo_bpm,
            help=self.help(rung, per_bar),
            choices=self.choices(per_bar) if self.kind is Kind.CHOICE else (),
            expected=self.truth(int(count.bar_in_phrase[-1]), int(count.beat_in_bar[-1])),
        )
