"""The beat: the learner taps every beat."""

from dataclasses import dataclass

import numpy as np

from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Music, Rung
from exercises.forms.tap_drill import TapDrill
from exercises.trial.verdict.tap_verdict import TapWords
from synth.base.arrays import Seconds
from synth.base.words import Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.turns import Signal

HOLES = frozenset({Signal.BEAT_WITHOUT_DRUMS.value, Signal.BAR_WITHOUT_DRUMS.value})


@dataclass(frozen=True, slots=True, kw_only=True)
class BeatRung(Rung):
    """The beats of ``bars`` are targets, after ``listen_bars``. ``holes``: the drums pause at a turn."""

    listen_bars: int = 2
    bars: int = 8
    holes: bool = False


# No groove here is ambiguous in half or double time.
RUNGS = (
    BeatRung(
        id="spoken",
        new=Template("beat.rung.1", "a kick on every beat; the sheet and a voice count along"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        help=VOICE_AND_SHEET,
        bars=6,
    ),
    BeatRung(
        id="taking-turns",
        new=Template("beat.rung.2", "kick and snare take turns; the sheet counts along"),
        tempo_bpm=(96, 112),
        grooves=TAKING_TURNS,
        help=SHEET,
        bars=6,
    ),
    BeatRung(
        id="bare",
        new=Template("beat.rung.3", "without help"),
        tempo_bpm=(92, 126),
        grooves=(*TAKING_TURNS, *FOURS),
    ),
    BeatRung(
        id="fast-bass",
        new=Template("beat.rung.4", "faster, with more drums between the beats and a bass"),
        tempo_bpm=(116, 144),
        grooves=("disco", "techno", "rock", "garage-bounce"),
        music=Music.BASS,
    ),
    BeatRung(
        id="slow-chords",
        new=Template("beat.rung.6", "slower, with bass and chords, and more time between two beats to get lost in"),
        tempo_bpm=(80, 96),
        grooves=("backbeat", "soul", "hip-hop", "dembow", "slow-four"),
        music=Music.CHORDS,
    ),
    BeatRung(
        id="shuffle",
        new=Template("beat.rung.5", "the beat divides in three: a shuffle"),
        tempo_bpm=(88, 126),
        grooves=("shuffle",),
        music=Music.BASS,
    ),
    BeatRung(
        id="no-kick",
        new=Template("beat.rung.7", "beats without a kick or a snare"),
        tempo_bpm=(92, 136),
        grooves=(*EARLY_OR_LATE, "funk"),
        music=Music.CHORDS,
        listen_bars=3,
    ),
    BeatRung(
        id="holes",
        new=Template("beat.rung.8", "drums that leave out a beat or a bar where the phrase turns, in a whole song"),
        tempo_bpm=(92, 136),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE, "funk"),
        music=Music.ALL,
        bars=12,
        holes=True,
    ),
    BeatRung(
        id="odd-metres",
        new=Template("beat.rung.9", "bars of three, four or five beats, and little time to find the beat"),
        tempo_bpm=(100, 144),
        grooves=("waltz", "five-four", "broken-beat"),
        music=Music.ALL,
        listen_bars=1,
        bars=12,
        holes=True,
    ),
)

WORDS = TapWords(
    had_all=Template("beat.had_all", "You had every beat: {targets} of {targets}."),
    had_most=Template("beat.had_most", "You had the beat: {hits} of {targets}."),
    stopped=Template("beat.stopped", "You had the beat: {hits} of {targets}. You stopped {n} beats before the end."),
    late_in=Template("beat.late_in", "The first {n} beats went by before you were in."),
    lost=Template("beat.lost", "You lost it for the last {n} beats. Keep nodding, even where the music changes."),
    only=Template("beat.only", "Tap once on every beat."),
    # With all beats as targets no tap is on a wrong beat; half and double time have their own sentences.
    astray=Template(
        "beat.astray",
        "Your taps were in time, but some beats had no tap, or several. Tap once on every beat.",
    ),
)


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
