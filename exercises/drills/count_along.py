"""Count along: drums, count sheet and spoken count; the learner counts with them. Nothing is marked."""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.drill import Drill
from exercises.forms.pools import EARLY_OR_LATE, FOURS, HALF_TIMES, TAKING_TURNS
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.words import Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.metre import Count


@dataclass(frozen=True, slots=True, kw_only=True)
class CountRung(Rung):
    """``phrases`` sound, with ``voices`` alone (empty: all).

    The voice stops after ``spoken_phrases`` (None: never).
    """

    phrases: int = 4
    voices: tuple[str, ...] = ()
    spoken_phrases: int | None = None


RUNGS = (
    CountRung(
        id="kick-and-snare",
        new=Template("count_along.rung.1", "kick and snare alone, slowly"),
        tempo_bpm=(80, 92),
        grooves=TAKING_TURNS,
        help=VOICE_AND_SHEET,
        voices=("kick", "snare"),
    ),
    CountRung(
        id="all-drums",
        new=Template("count_along.rung.2", "all the drums"),
        tempo_bpm=(88, 104),
        grooves=TAKING_TURNS,
        help=VOICE_AND_SHEET,
    ),
    CountRung(
        id="kick-on-every-beat",
        new=Template("count_along.rung.3", "a kick on every beat"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        help=VOICE_AND_SHEET,
    ),
    CountRung(
        id="eight-bars",
        new=Template("count_along.rung.4", "phrases of eight bars, with a bass"),
        tempo_bpm=(92, 126),
        grooves=(*TAKING_TURNS, *FOURS),
        music=Music.BASS,
        help=VOICE_AND_SHEET,
        phrase_bars=8,
        phrases=2,
    ),
    CountRung(
        id="voice-stops",
        new=Template("count_along.rung.5", "after the first phrase you count on without the voice"),
        tempo_bpm=(92, 126),
        grooves=(*TAKING_TURNS, *FOURS),
        music=Music.BASS,
        help=VOICE_AND_SHEET,
        spoken_phrases=1,
    ),
    CountRung(
        id="early-or-late",
        new=Template(
            "count_along.rung.6", "the second kick comes early or late, with bass and chords; the sheet alone counts"
        ),
        tempo_bpm=(120, 132),
        grooves=EARLY_OR_LATE,
        music=Music.CHORDS,
        help=SHEET,
    ),
    CountRung(
        id="half-time",
        new=Template("count_along.rung.7", "the backbeat stands on the three: half time"),
        tempo_bpm=(120, 144),
        grooves=HALF_TIMES,
        music=Music.CHORDS,
        help=SHEET,
        phrase_bars=8,
        phrases=2,
    ),
    CountRung(
        id="odd-metres",
        new=Template("count_along.rung.8", "bars of three and of five, and six-eight, which is counted in two"),
        tempo_bpm=(60, 132),
        grooves=("waltz", "five-four", "six-eight"),
        music=Music.CHORDS,
        help=SHEET,
    ),
    CountRung(
        id="sixteen-bars",
        new=Template("count_along.rung.9", "phrases of sixteen bars, in a whole song and in your head"),
        tempo_bpm=(118, 136),
        grooves=(*FOURS, "techno", *EARLY_OR_LATE),
        music=Music.ALL,
        phrase_bars=16,
        phrases=2,
    ),
)

LISTENING = Template(
    "count_along.listening",
    "Nothing is marked here. Count aloud with the sheet, until the numbers come by themselves.",
)


class CountAlong(Drill[CountRung]):
    """Listen and count along."""

    id = "count-along"
    place = 10
    ladder = 10
    title = Template("count_along.title", "Count along")
    short = Template("count_along.short", "Count aloud with the sheet and the voice.")
    asks = Template(
        "count_along.asks", "Listen and count along aloud: the number of the bar on its one, then the beats."
    )
    kind = Kind.NONE
    rungs = RUNGS
    records = 1

    def build(self, rung: CountRung, rng: np.random.Generator, source: Source) -> Trial:
        record = source.record(
            Form((("verse", rung.phrases * rung.phrase_bars),)),
            phrase_bars=rung.phrase_bars,
            seed=int(rng.integers(2**31)),
            song=rung.music.parts,
        ).excerpt(0, lead_in_s=LEAD_IN_S)
        help = rung.help
        if rung.spoken_phrases is not None:
            beats = rung.spoken_phrases * rung.phrase_bars * source.metre.beats_per_bar
            help = replace(help, voice_beats=beats)
        return Trial(
            question=self.asks(),
            arrangement=record.only(*rung.voices) if rung.voices else record,
            period_s=60.0 / source.tempo_bpm,
            help=help,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial:
        """Counted as it should have been."""
        return replace(trial, arrangement=sound, period_s=60.0 / sound.tempo_bpm)

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        """Neither right nor wrong."""
        return Result(trial.drill, trial.rung, trial.seed, right=None, score=0.0, verdict=(LISTENING(),))


DRILL = CountAlong()
