"""The rungs of ``one``: where the drums may start, and how many ones count."""

from dataclasses import dataclass

from exercises.forms.pools import EARLY_OR_LATE, FOURS, HALF_TIMES, TAKING_TURNS
from exercises.forms.rungs import BARE, SHEET, VOICE_AND_SHEET, Music, Rung
from synth.base.words import Template
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
