"""Stopped bar: the drums stop; the learner names bar of the phrase and beat."""

from exercises.forms.pools import EARLY_OR_LATE, FOURS, HALF_TIMES, TAKING_TURNS
from exercises.forms.rungs import Music
from exercises.forms.stop_drill import StopDrill, StopRung
from exercises.trial.trial import Help, Kind, Trial
from exercises.trial.verdict.tap_verdict import beat_name
from synth.base.words import Say, Template, plural

# Two bars more than a phrase: for any start a turn is heard, with at least two bars before it.
PHRASE_AND_TWO = 2

RUNGS = (
    StopRung(
        id="spoken",
        new=Template("last_bar.rung.1", "phrases of four bars; a voice counts the first four bars"),
        tempo_bpm=(84, 100),
        grooves=TAKING_TURNS,
        listen_bars=4 + PHRASE_AND_TWO,
        help=Help(voice=True, voice_beats=16),
    ),
    StopRung(
        id="two-bars-spoken",
        new=Template("last_bar.rung.2", "the voice counts the first two bars only"),
        tempo_bpm=(88, 108),
        grooves=(*TAKING_TURNS, "rock"),
        listen_bars=4 + PHRASE_AND_TWO,
        help=Help(voice=True, voice_beats=8),
    ),
    StopRung(
        id="bare",
        new=Template("last_bar.rung.3", "no voice: hear the phrase turn yourself"),
        tempo_bpm=(88, 112),
        grooves=(*TAKING_TURNS, "funk"),
        listen_bars=4 + PHRASE_AND_TWO,
    ),
    StopRung(
        id="kick-on-every-beat",
        new=Template("last_bar.rung.4", "a kick on every beat"),
        tempo_bpm=(116, 126),
        grooves=FOURS,
        listen_bars=4 + PHRASE_AND_TWO,
    ),
    StopRung(
        id="eight-bars",
        new=Template("last_bar.rung.5", "phrases of eight bars, with a bass"),
        tempo_bpm=(96, 126),
        grooves=(*TAKING_TURNS, *FOURS),
        music=Music.BASS,
        phrase_bars=8,
        listen_bars=8 + PHRASE_AND_TWO,
    ),
    StopRung(
        id="early-or-late",
        new=Template("last_bar.rung.6", "the second kick comes early or late"),
        tempo_bpm=(120, 134),
        grooves=EARLY_OR_LATE,
        music=Music.BASS,
        phrase_bars=8,
        listen_bars=8 + PHRASE_AND_TWO,
    ),
    StopRung(
        id="false-fill",
        new=Template("last_bar.rung.7", "one fill comes in mid-phrase, where nothing turns; with bass and chords"),
        tempo_bpm=(100, 130),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        music=Music.CHORDS,
        phrase_bars=8,
        listen_bars=8 + PHRASE_AND_TWO,
        false_fill=True,
    ),
    StopRung(
        id="sixteen-bars",
        new=Template("last_bar.rung.9", "phrases of sixteen bars, in a whole song"),
        tempo_bpm=(118, 140),
        grooves=(*FOURS, "techno", *EARLY_OR_LATE),
        music=Music.ALL,
        phrase_bars=16,
        listen_bars=16 + PHRASE_AND_TWO,
    ),
    StopRung(
        id="half-time",
        new=Template("last_bar.rung.8", "half time, where a bar seems twice as long"),
        tempo_bpm=(124, 146),
        grooves=HALF_TIMES,
        music=Music.CHORDS,
        phrase_bars=8,
        listen_bars=8 + PHRASE_AND_TWO,
    ),
    StopRung(
        id="alike",
        new=Template("last_bar.rung.10", "the drums are alike on one and three: bass and chords show the one"),
        tempo_bpm=(96, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        music=Music.CHORDS,
        even=True,
        phrase_bars=8,
        listen_bars=8 + PHRASE_AND_TWO,
    ),
)

ASKS = Template(
    "last_bar.asks", "A phrase has {bars} bars. The music stops: which bar of the phrase was it, and which beat?"
)
YES = Template("last_bar.yes", "It stopped in bar {bar}, on {beat}.")
WAS = Template("last_bar.was", "It stopped in bar {bar}, on {beat}.")
HALF_PHRASE = Template(
    "last_bar.half_phrase",
    "You had the right beat, half a phrase off. Listen for what changes where the phrase turns.",
)
ONE_BAR_ON = Template(
    "last_bar.one_bar_on", "You had the right beat, one bar on. Count a bar only when its one has sounded."
)
BARS_ON = Template(
    "last_bar.bars_on", "You had the right beat, {n} bars on. Begin again with 1 where the phrase turns."
)
ONE_BAR_BACK = Template(
    "last_bar.one_bar_back", "You had the right beat, one bar back. Say the number of the bar aloud on every one."
)
BARS_BACK = Template(
    "last_bar.bars_back", "You had the right beat, {n} bars back. Begin again with 1 where the phrase turns."
)
RIGHT_BAR = Template(
    "last_bar.right_bar", "You had the right bar, but {given} for the beat. Count on until the last beat you hear."
)
ONE_BEAT_ON = Template(
    "last_bar.one_beat_on", "You were one beat on. Name the last beat you heard, not the beat to come."
)
ONE_BEAT_BACK = Template("last_bar.one_beat_back", "You were one beat back. Count until the last beat you hear.")
NEITHER = Template("last_bar.neither", "Say the number of the bar on every one: 1 2 3 4, 2 2 3 4, 3 2 3 4.")

# Partial credit: one beat off, any beat of the right bar, the right beat one bar off; the right beat in another bar.
ONE_OFF, BEAT_ALONE = 0.5, 0.25


class StoppedBar(StopDrill):
    """Which bar of the phrase, which beat?"""

    id = "stopped-bar"
    place = 50
    ladder = 90
    title = Template("last_bar.title", "The stopped bar")
    short = Template("last_bar.short", "Say in which bar, and on which beat, the music stopped.")
    asks = Template(
        "last_bar.asks.the_drums_stop_which", "The music stops. Which bar of the phrase was it, and which beat?"
    )
    kind = Kind.POSITION
    rungs = RUNGS
    records = 1

    def cycle(self, rung: StopRung, per_bar: int) -> int:
        return rung.phrase_bars * per_bar

    def truth(self, bar_in_phrase: int, beat_in_bar: int) -> str:
        return f"{bar_in_phrase}.{beat_in_bar}"

    def question(self, rung: StopRung) -> Say:
        return ASKS(bars=rung.phrase_bars)

    def score(self, trial: Trial, given: str | float) -> float:
        bars_on, beats_on, one_beat = self._off(trial, given)
        if not bars_on and not beats_on:
            return 1.0
        if abs(one_beat) == 1 or not bars_on or (abs(bars_on) == 1 and not beats_on):
            return ONE_OFF
        return BEAT_ALONE if not beats_on else 0.0

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        bar, beat = _place(str(trial.expected))
        if score == 1.0:
            return (YES(bar=bar, beat=beat_name(beat)),)
        bars_on, beats_on, one_beat = self._off(trial, given)
        if not beats_on and 2 * abs(bars_on) == trial.truth().phrase_bars:
            advice = HALF_PHRASE()
        elif not beats_on and bars_on > 0:
            advice = plural(bars_on, ONE_BAR_ON, BARS_ON)
        elif not beats_on:
            advice = plural(-bars_on, ONE_BAR_BACK, BARS_BACK)
        elif abs(one_beat) == 1:
            advice = ONE_BEAT_ON() if one_beat > 0 else ONE_BEAT_BACK()
        elif not bars_on:
            advice = RIGHT_BAR(given=beat_name(_place(str(given))[1]))
        else:
            advice = NEITHER()
        return WAS(bar=bar, beat=beat_name(beat)), advice

    def _off(self, trial: Trial, given: str | float) -> tuple[int, int, int]:
        """Bars off the shorter way round the phrase (negative: back), beats off in the bar, beats off in total."""
        (bar, beat), (said_bar, said_beat) = _place(str(trial.expected)), _place(str(given))
        bars, per_bar = trial.truth().phrase_bars, int(trial.count.beat_in_bar.max())
        beats = bars * per_bar
        on = (said_bar - bar) * per_bar + said_beat - beat
        return (
            (said_bar - bar + (bars - 1) // 2) % bars - (bars - 1) // 2 if said_bar <= bars else said_bar - bar,
            said_beat - beat,
            (on + beats // 2) % beats - beats // 2 if said_bar <= bars else on,
        )


def _place(text: str) -> tuple[int, int]:
    bar, _, beat = text.partition(".")
    return int(bar), int(beat)


DRILL = StoppedBar()
