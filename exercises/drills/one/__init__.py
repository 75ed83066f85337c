"""The one: the drums start on any beat of the bar, the learner taps only the downbeats."""

import numpy as np

from exercises.drills.one.rungs import RUNGS, OneRung
from exercises.drills.one.words import WORDS
from exercises.forms.tap_drill import TapDrill
from synth.base.arrays import Seconds
from synth.base.words import Template
from synth.score.arranging.arrangement import Arrangement


class One(TapDrill[OneRung]):
    """Tap only the downbeats, wherever the drums start."""

    id = "one"
    place = 40
    ladder = 40
    title = Template("one.title", "The one")
    asks = Template("one.asks", "Tap only the one, the first beat of every bar.")
    rungs = RUNGS
    records = 1
    words = WORDS

    def signals(self, rung: OneRung) -> tuple[str, ...] | None:
        """Those of the rung."""
        return rung.signals

    def stretch(self, rung: OneRung, rng: np.random.Generator, per_bar: int) -> tuple[int, int]:
        """A start in any bar of the first phrase, and a constant number of beats."""
        starts = [beat for beat in rung.starts if beat <= per_bar]
        start = starts[int(rng.integers(len(starts)))]
        bar = int(rng.integers(rung.phrase_bars))
        return bar * per_bar + start - 1, (rung.listen_bars + rung.ones) * per_bar

    def targets_s(self, rung: OneRung, arrangement: Arrangement) -> Seconds:
        """The downbeats after the bars for listening."""
        count = arrangement.count
        listening = rung.listen_bars * arrangement.metre.beats_per_bar
        ones_s: Seconds = count.beats_s[listening:][count.beat_in_bar[listening:] == 1]
        return ones_s


DRILL = One()
