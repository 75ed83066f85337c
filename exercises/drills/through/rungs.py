"""The rungs of ``through``: how long the silence lasts, and what is tapped in it."""

from dataclasses import dataclass
from enum import StrEnum

from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Many, Music, Rung
from synth.base.words import Template
from synth.score.arranging.turns import Signal


class Tapping(StrEnum):
    """What is tapped: the downbeat of the return, every downbeat from the pause on, or every beat."""

    RETURN = "return"
    ONES = "ones"
    BEATS = "beats"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroughRung(Rung):
    """``silent_bars`` have no drums; ``before_bars`` (fewest, most) precede them.

    ``any_beat``: the sound starts anywhere in the bar. ``voice_through``: the voice, if any, counts during the
    pause. Where only the return is tapped, the drums come ``back_beats`` after it, so that nobody can react to them,
    and with ``alone`` any other tap in the silence is one too many. ``after_beats`` sound then (None: two bars).
    ``signals`` of turns: no crash, which would mark the one by itself.
    """

    silent_bars: Many
    before_bars: tuple[int, int] = (4, 7)
    taps: Tapping = Tapping.RETURN
    any_beat: bool = False
    voice_through: bool = False
    back_beats: int = 1
    alone: bool = True
    after_beats: int | None = None
    signals: tuple[str, ...] = (Signal.FILL,)


RUNGS = (
    ThroughRung(
        id="spoken",
        new=Template("through.rung.1", "one silent bar; sheet and voice count on"),
        tempo_bpm=(84, 120),
        grooves=TAKING_TURNS,
        silent_bars=1,
        any_tempo=True,
        help=VOICE_AND_SHEET,
        voice_through=True,
        before_bars=(2, 2),
        after_beats=1,
    ),
    ThroughRung(
        id="sheet",
        new=Template("through.rung.2", "two silent bars; the voice stops with the drums, the sheet goes on"),
        tempo_bpm=(84, 120),
        grooves=TAKING_TURNS,
        silent_bars=2,
        any_tempo=True,
        help=VOICE_AND_SHEET,
    ),
    ThroughRung(
        id="kick-on-every-beat",
        new=Template("through.rung.3", "two silent bars, a kick on every beat before; the sheet goes on"),
        tempo_bpm=(96, 132),
        grooves=FOURS,
        silent_bars=2,
        any_tempo=True,
        help=SHEET,
    ),
    ThroughRung(
        id="bare",
        new=Template("through.rung.4", "two silent bars without help"),
        tempo_bpm=(88, 132),
        grooves=(*TAKING_TURNS, *FOURS),
        silent_bars=2,
        any_tempo=True,
    ),
    ThroughRung(
        id="four-bars",
        new=Template("through.rung.5", "four silent bars, a bass before and after the silence"),
        tempo_bpm=(92, 132),
        grooves=(*TAKING_TURNS, *FOURS),
        silent_bars=4,
        any_tempo=True,
        music=Music.BASS,
    ),
    ThroughRung(
        id="ones",
        new=Template("through.rung.6", "four silent bars: tap the one of each silent bar"),
        tempo_bpm=(100, 130),
        grooves=(*TAKING_TURNS, *FOURS, "rock"),
        silent_bars=4,
        music=Music.BASS,
        taps=Tapping.ONES,
        any_beat=True,
    ),
    ThroughRung(
        id="any-beat",
        new=Template("through.rung.7", "patterns of many kinds, with bass and chords"),
        tempo_bpm=(100, 134),
        grooves=(*TAKING_TURNS, *EARLY_OR_LATE),
        silent_bars=4,
        music=Music.CHORDS,
        taps=Tapping.ONES,
        any_beat=True,
    ),
    ThroughRung(
        id="return-of-six",
        new=Template("through.rung.12", "six silent bars in a whole song, and nothing but the return to tap"),
        tempo_bpm=(96, 134),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        silent_bars=6,
        any_tempo=True,
        music=Music.ALL,
        any_beat=True,
    ),
    ThroughRung(
        id="return-of-eight",
        new=Template("through.rung.10", "eight silent bars, and nothing but the return to tap"),
        tempo_bpm=(104, 134),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        silent_bars=8,
        any_tempo=True,
        music=Music.ALL,
        any_beat=True,
    ),
    ThroughRung(
        id="beats",
        new=Template("through.rung.8", "eight silent bars: tap every beat of the silence"),
        tempo_bpm=(104, 130),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        silent_bars=8,
        music=Music.CHORDS,
        taps=Tapping.BEATS,
        any_beat=True,
    ),
    ThroughRung(
        id="alike",
        new=Template("through.rung.11", "the drums are alike on one and three: bass and chords show the one"),
        tempo_bpm=(100, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        silent_bars=4,
        music=Music.CHORDS,
        even=True,
        taps=Tapping.ONES,
        any_beat=True,
    ),
)
