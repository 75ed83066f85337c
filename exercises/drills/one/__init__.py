"""The one: the drums start on any beat of the bar, the learner taps only the downbeats."""

from dataclasses import dataclass

import numpy as np

from exercises.forms.pools import EARLY_OR_LATE, FOURS, HALF_TIMES, TAKING_TURNS
from exercises.forms.rungs import BARE, SHEET, VOICE_AND_SHEET, Music, Rung
from exercises.forms.tap_drill import TapDrill
from exercises.trial.verdict.tap_verdict import ByCue, TapWords
from synth.base.arrays import Seconds
from synth.base.words import Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.turns import Signal


@dataclass(frozen=True, slots=True, kw_only=True)
class OneRung(Rung):
    """``starts``: beats of the bar on which the drums may start; ``ones`` downbeats count after ``listen_bars``.

    ``signals`` of turns: no crash, which would mark the one by itself.
    """

    signals: tuple[str, ...] | None = (Signal.FILL,)
    starts: tuple[int, ...] = (1, 2, 3, 4)
    ones: int = 16
    listen_bars: int = 2


RUNGS = (
    OneRung(
        id="spoken",
        new=Template("one.rung.1", "kick and snare take turns; the sheet and a voice count along"),
        tempo_bpm=(92, 104),
        grooves=TAKING_TURNS,
        starts=(1, 3),
        help=VOICE_AND_SHEET,
        ones=8,
    ),
    OneRung(
        id="sheet",
        new=Template("one.rung.2", "the drums may start on any beat; the sheet counts along"),
        tempo_bpm=(92, 112),
        grooves=TAKING_TURNS,
        help=SHEET,
        ones=12,
    ),
    OneRung(
        id="bare",
        new=Template("one.rung.3", "without help"),
        tempo_bpm=(96, 120),
        grooves=TAKING_TURNS,
        help=BARE,
    ),
    OneRung(
        id="bass",
        new=Template("one.rung.5", "faster, with a bass"),
        tempo_bpm=(104, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        music=Music.BASS,
    ),
    OneRung(
        id="kick-on-every-beat",
        new=Template("one.rung.4", "a kick on every beat"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
    ),
    OneRung(
        id="early-or-late",
        new=Template("one.rung.6", "the second kick comes early or late"),
        tempo_bpm=(120, 132),
        grooves=EARLY_OR_LATE,
        music=Music.BASS,
        listen_bars=3,
    ),
    OneRung(
        id="half-time",
        new=Template("one.rung.7", "the backbeat stands on the three: half time, with bass and chords"),
        tempo_bpm=(120, 144),
        grooves=HALF_TIMES,
        music=Music.CHORDS,
        listen_bars=3,
    ),
    OneRung(
        id="any-pattern",
        new=Template("one.rung.8", "early kicks, late kicks and half time, slow or fast, in phrases of eight bars"),
        tempo_bpm=(84, 150),
        grooves=(*EARLY_OR_LATE, *HALF_TIMES),
        music=Music.CHORDS,
        phrase_bars=8,
    ),
    OneRung(
        id="one-bar",
        new=Template("one.rung.9", "a single bar to find the beat, in a whole song"),
        tempo_bpm=(84, 150),
        grooves=(*EARLY_OR_LATE, *HALF_TIMES),
        music=Music.ALL,
        phrase_bars=8,
        listen_bars=1,
    ),
    OneRung(
        id="alike",
        new=Template("one.rung.10", "the drums are alike on one and three: bass and chords show the one"),
        tempo_bpm=(96, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        music=Music.CHORDS,
        even=True,
        listen_bars=4,
    ),
)

AGAIN = Template("one.beat.0", "You were on {beat}. Listen for where the pattern starts again.")
ASTRAY = Template(
    "one.astray.plain", "Your taps were in time, but on changing beats. Count aloud, and tap only when you say 1."
)
ALIKE = Template(
    "one.beat.alike",
    "You were on {beat}. The drums are alike there: listen for the bass or the chords, which change on the one.",
)
WORDS = TapWords(
    had_all=Template("one.had_all", "You had the one every time: {targets} of {targets}."),
    had_most=Template("one.had_most", "You had the one: {hits} of {targets}."),
    stopped=Template("one.stopped", "You had the one: {hits} of {targets}. You stopped {n} bars before the end."),
    late_in=Template("one.late_in", "The first {n} went by before you found it."),
    lost=Template("one.lost", "You lost it for the last {n}. Keep counting, even where the music changes."),
    every_second=Template(
        "one.every_second", "You had the one of every second bar. Every bar has a one: tap each of them."
    ),
    every_beat=Template("one.every_beat", "You tapped every beat. Count them, and tap only when you say 1."),
    twice=Template("one.twice", "You tapped twice a bar, on {beats}. Tap only where the count starts."),
    other_beat={
        0: ByCue(AGAIN, AGAIN, ALIKE),
        2: ByCue(
            Template("one.beat.2", "You were on {beat}. The one comes one beat earlier, on the kick."),
            Template("one.beat.2.plain", "You were on {beat}. The one comes one beat earlier."),
            ALIKE,
        ),
        3: ByCue(Template("one.beat.3", "You were on {beat}. Start your count on the kick."), AGAIN, ALIKE),
        -1: ByCue(
            Template("one.beat.last", "You were on {beat}. Wait one beat more, for the kick."),
            Template("one.beat.last.plain", "You were on {beat}. Wait one beat more."),
            ALIKE,
        ),
    },
    only=Template("one.only", "Tap only the one."),
    moved=Template(
        "one.moved",
        "You started on {first} and ended on {second}. Keep counting; the one does not move.",
    ),
    astray=ByCue(
        Template(
            "one.astray",
            "Your taps were in time, but on changing beats. Count aloud, and let 1 fall on the kick.",
        ),
        ASTRAY,
        ASTRAY,
    ),
)


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
