"""The rungs of ``turn``: how long its phrases may be, what announces their turns, and what misleads."""

from dataclasses import dataclass

from exercises.forms.pools import FOURS, MIXED
from exercises.forms.rungs import VOICE_AND_SHEET, Much, Music, Rung
from exercises.trial.trial import Help
from synth.base.words import Template
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure

FALSE, SILENT = Departure.FALSE_FILL, Departure.SILENT_TURN


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnRung(Rung):
    """``lengths``: possible bars of a phrase; ``total_bars`` sound for any of them.

    ``signals`` announce the turns (None: any), ``traps`` are false fills, false and silent turns, ``cold``: the sound
    may begin in mid-phrase. A press counts within ``window_beats`` of the turn: less than a fill is long.
    ``heard_traps``: all of them are heard, a silent turn among those that count.
    """

    lengths: tuple[int, ...]
    total_bars: int
    signals: tuple[str, ...] | None = None
    traps: tuple[Departure, ...] = ()
    cold: bool = False
    window_beats: Much = 1.5
    heard_traps: bool = True


ALL = (4, 8, 16)
# Nothing on the turn itself: what announces it comes before.
AHEAD = (Signal.FILL, Signal.BEAT_WITHOUT_DRUMS)
RUNGS = (
    TurnRung(
        id="spoken",
        new=Template("turn.rung.1", "phrases of four or eight bars, which a voice counts"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        lengths=(4, 8),
        help=Help(voice=True),
        total_bars=18,
        signals=AHEAD,
    ),
    TurnRung(
        id="signs",
        new=Template("turn.rung.2", "without the voice"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        lengths=(4, 8),
        total_bars=18,
        signals=AHEAD,
    ),
    TurnRung(
        id="false-fill",
        new=Template("turn.rung.4", "one fill comes in mid-phrase, where nothing turns"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        lengths=(4, 8),
        total_bars=18,
        signals=AHEAD,
        traps=(FALSE,),
    ),
    TurnRung(
        id="six-too",
        new=Template("turn.rung.10", "four, six or eight bars, on any groove"),
        tempo_bpm=(118, 130),
        grooves=MIXED,
        lengths=(4, 6, 8),
        total_bars=18,
        signals=AHEAD,
        traps=(FALSE,),
    ),
    TurnRung(
        id="twelve-too",
        new=Template("turn.rung.11", "six, eight or twelve bars"),
        tempo_bpm=(120, 132),
        grooves=MIXED,
        lengths=(6, 8, 12),
        total_bars=26,
        signals=AHEAD,
        traps=(FALSE,),
        window_beats=1.25,
    ),
    TurnRung(
        id="sixteen",
        new=Template("turn.rung.6", "four, eight or sixteen bars"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        lengths=ALL,
        total_bars=34,
        signals=AHEAD,
        traps=(FALSE,),
        window_beats=1.25,
    ),
    TurnRung(
        id="false-turn",
        new=Template("turn.rung.7", "any sign may announce the turn, and one crash misleads; with bass and chords"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        lengths=ALL,
        total_bars=34,
        traps=(Departure.FALSE_TURN,),
        music=Music.ALL,
        window_beats=1.25,
    ),
    TurnRung(
        id="silent",
        new=Template("turn.rung.8", "one turn without a sign, found by counting alone"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        lengths=ALL,
        total_bars=34,
        traps=(SILENT,),
        window_beats=1.0,
    ),
    TurnRung(
        id="all",
        new=Template("turn.rung.9", "a false fill, a silent turn, and a start anywhere"),
        tempo_bpm=(122, 138),
        grooves=(*MIXED, "broken-beat", "two-step"),
        lengths=ALL,
        total_bars=52,
        traps=(FALSE, SILENT),
        cold=True,
        music=Music.ALL,
        window_beats=1.0,
    ),
)

INTRODUCTION = TurnRung(
    id="introduction",
    new=Template("turn.introduction", "phrases of four bars, which sheet and voice count; nothing is marked"),
    tempo_bpm=(118, 126),
    grooves=FOURS,
    help=VOICE_AND_SHEET,
    lengths=(4,),
    total_bars=10,
    signals=(Signal.FILL, Signal.CRASH),
)
