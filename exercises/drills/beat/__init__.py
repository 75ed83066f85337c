"""The beat: the learner taps every beat."""

import numpy as np

from exercises.drills.beat.rungs import RUNGS, BeatRung
from exercises.drills.beat.words import WORDS
from exercises.forms.tap_drill import TapDrill
from synth.base.arrays import Seconds
from synth.base.words import Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.turns import Signal

HOLES = frozenset({Signal.BEAT_WITHOUT_DRUMS.value, Signal.BAR_WITHOUT_DRUMS.value})


class Beat(TapDrill[BeatRung]):
    """Tap every beat."""

    id = "beat"
    place = 30
    ladder = 30
    title = Template("beat.title", "The beat")
    asks = Template("beat.asks", "Tap along with every beat, as you would nod your head.")
    rungs = RUNGS
    records = 1
    words = WORDS

    def signals(self, rung: BeatRung) -> tuple[str, ...] | None:
        """Without holes only fill and crash announce a turn."""
        return None if rung.holes else ("fill", "crash")

    def keeps(self, rung: BeatRung, arrangement: Arrangement) -> bool:
        """With holes, one lies among the targets."""
        first_s = self.targets_s(rung, arrangement)[0]
        return not rung.holes or any(
            turn.time_s > first_s and not HOLES.isdisjoint(turn.signals) for turn in arrangement.turns
        )

    def stretch(self, rung: BeatRung, rng: np.random.Generator, per_bar: int) -> tuple[int, int]:
        """Any beat of the first phrase as start, and a constant number of beats."""
        return int(rng.integers(rung.phrase_bars * per_bar)), (rung.listen_bars + rung.bars) * per_bar

    def targets_s(self, rung: BeatRung, arrangement: Arrangement) -> Seconds:
        """The beats after the bars for listening."""
        return arrangement.count.beats_s[rung.listen_bars * arrangement.metre.beats_per_bar :]


DRILL = Beat()
