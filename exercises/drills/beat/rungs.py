"""The rungs of ``beat``: its grooves, how many beats count, and whether the drums leave some out."""

from dataclasses import dataclass

from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Music, Rung
from synth.base.words import Template


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
