"""Stopped beat: the drums stop; the learner names the last beat of the bar."""

from exercises.forms.pools import EARLY_OR_LATE, FOURS, HALF_TIMES, TAKING_TURNS
from exercises.forms.rungs import Music
from exercises.forms.stop_drill import StopDrill, StopRung
from exercises.trial.trial import Choice, Help, Kind, Trial
from exercises.trial.verdict.tap_verdict import ByCue, beat_name
from synth.base.words import Say, Template

# The voice counts the first two bars only. The sheet would show the end.
TWO_BARS_SPOKEN = Help(voice=True, voice_beats=8)
ONE_BAR_SPOKEN = Help(voice=True, voice_beats=4)

RUNGS = (
    StopRung(
        id="spoken",
        new=Template("last_beat.rung.1", "kick and snare take turns; a voice counts the first two bars"),
        tempo_bpm=(84, 96),
        grooves=TAKING_TURNS,
        help=TWO_BARS_SPOKEN,
    ),
    StopRung(
        id="one-bar-spoken",
        new=Template("last_beat.rung.2", "the voice counts one bar only"),
        tempo_bpm=(88, 108),
        grooves=(*TAKING_TURNS, "rock"),
        help=ONE_BAR_SPOKEN,
    ),
    StopRung(
        id="bare",
        new=Template("last_beat.rung.3", "no voice: find the one yourself"),
        tempo_bpm=(88, 112),
        grooves=TAKING_TURNS,
    ),
    StopRung(
        id="kick-on-every-beat",
        new=Template("last_beat.rung.4", "a kick on every beat"),
        tempo_bpm=(116, 126),
        grooves=FOURS,
        listen_bars=4,
    ),
    StopRung(
        id="early-or-late",
        new=Template("last_beat.rung.5", "the second kick may come early or late, with a bass"),
        tempo_bpm=(100, 132),
        grooves=(*EARLY_OR_LATE, *TAKING_TURNS, *FOURS),
        music=Music.BASS,
        listen_bars=4,
    ),
    StopRung(
        id="false-fill",
        new=Template("last_beat.rung.6", "one fill comes in mid-phrase, where nothing turns"),
        tempo_bpm=(92, 132),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        music=Music.BASS,
        listen_bars=4,
        false_fill=True,
    ),
    StopRung(
        id="half-time",
        new=Template("last_beat.rung.7", "the backbeat may stand on the three: half time, with bass and chords"),
        tempo_bpm=(104, 144),
        grooves=(*HALF_TIMES, *TAKING_TURNS, *EARLY_OR_LATE),
        music=Music.CHORDS,
        listen_bars=4,
    ),
    StopRung(
        id="fast",
        new=Template("last_beat.rung.9", "fast, in a whole song, and only two bars to find the one"),
        tempo_bpm=(126, 176),
        grooves=("techno", "drum-and-bass", "rock", "two-step", "half-time-drive"),
        music=Music.ALL,
        listen_bars=2,
    ),
    StopRung(
        id="odd-metres",
        new=Template("last_beat.rung.8", "bars of three, four or five beats"),
        tempo_bpm=(90, 140),
        grooves=("waltz", "backbeat", "five-four"),
        music=Music.CHORDS,
        listen_bars=4,
    ),
    StopRung(
        id="alike",
        new=Template("last_beat.rung.10", "the drums are alike on one and three: bass and chords show the one"),
        tempo_bpm=(96, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        music=Music.CHORDS,
        even=True,
        listen_bars=5,
    ),
)

INTRODUCTION = StopRung(
    id="introduction",
    new=Template("last_beat.introduction", "a voice counts to the end; nothing is marked"),
    tempo_bpm=(84, 92),
    grooves=TAKING_TURNS,
    help=Help(voice=True),
    voice_through=True,
)

YES = Template("last_beat.yes", "It stopped on {beat}.")
ON = Template(
    "last_beat.on",
    "It stopped on {beat}; {next} would have come next. Name the last beat you heard, not the beat to come.",
)
BACK = Template(
    "last_beat.back", "It stopped on {beat}, one beat after your answer. Count until the last beat you hear."
)
TURNED_ROUND = ByCue(
    Template(
        "last_beat.turned_round",
        "It stopped on {beat}. You were half a bar off: start your count on the kick.",
    ),
    Template(
        "last_beat.turned_round.pattern",
        "It stopped on {beat}. You were half a bar off: start your count where the pattern starts again.",
    ),
    Template(
        "last_beat.turned_round.music",
        "It stopped on {beat}. You were half a bar off: start your count where the bass or the chords change.",
    ),
)
OFF_PLAIN = Template(
    "last_beat.off.plain", "It stopped on {beat}, not on {given}. Count aloud from the first one on."
)
OFF = ByCue(
    Template("last_beat.off", "It stopped on {beat}, not on {given}. Count aloud from the first kick on."),
    OFF_PLAIN,
    OFF_PLAIN,
)


class StoppedBeat(StopDrill):
    """Which beat was the last?"""

    id = "stopped-beat"
    place = 35
    ladder = 60
    title = Template("last_beat.title", "The stopped beat")
    asks = Template("last_beat.asks", "The music stops. On which beat of the bar did it stop?")
    kind = Kind.CHOICE
    rungs = RUNGS
    records = 1
    introduction = INTRODUCTION

    def cycle(self, rung: StopRung, per_bar: int) -> int:
        return per_bar

    def truth(self, bar_in_phrase: int, beat_in_bar: int) -> str:
        return str(beat_in_bar)

    def choices(self, per_bar: int) -> tuple[Choice, ...]:
        return tuple(Choice(str(beat), beat_name(beat)) for beat in range(1, per_bar + 1))

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        truth, said, per_bar = int(str(trial.expected)), int(given), len(trial.choices)
        beat, on, one_cues = beat_name(truth), (said - truth) % per_bar, trial.tells_the_one()
        if on == 0:
            return (YES(beat=beat),)
        if 2 * on == per_bar:
            return (TURNED_ROUND.of(one_cues, [per_bar // 2 + 1])(beat=beat),)
        if on == 1:
            return (ON(beat=beat, next=beat_name(said)),)
        if on == per_bar - 1:
            return (BACK(beat=beat),)
        return (OFF.of(one_cues)(beat=beat, given=beat_name(said)),)


DRILL = StoppedBeat()
