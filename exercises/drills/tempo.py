"""Tempo: tap along, then give the tempo in BPM."""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.pools import FOURS, TAKING_TURNS
from exercises.forms.rungs import Much, Rung, pick_rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.forms.told_drill import ToldDrill
from exercises.trial.habit import Habit, Pattern
from exercises.trial.replay import Version, both
from exercises.trial.result import TapMarks
from exercises.trial.trial import Answer, Kind, Part, Trial
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.sequence import cut, delayed, stretched
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.grooves import Groove
from synth.score.metre import Count, check_tempo

# Constant duration in seconds. Twenty would be easy to count and multiply by three.
SOUND_S = 20.0
# Seconds before the taps count, to find the beat.
LISTEN_S = 4.0
# Beats of each tempo that are heard after a wrong answer, and the tempos that can be.
COMPARED_BEATS, LEAST_BPM, MOST_BPM = 12, 30.0, 360.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TempoRung(Rung):
    """``tolerance_percent``: largest error of the tempo that is named.

    Naming is another skill than telling two tempos apart. Of tempos sung from memory 72 % lie within 8 % of the
    record's, and 40 % within 4 % (Levitin & Cook 1996, Percept. Psychophys. 58, 927-935; from memory): the first
    rungs allow more, the last one as little as that.
    """

    tolerance_percent: Much

    def draw_tempo(self, rng: np.random.Generator, groove: Groove, wish_bpm: float | None = None) -> float:
        """Any whole tempo of the rung, independent of the groove: the pattern must not be a cue."""
        low, high = self.tempo_bpm
        drawn = float(rng.integers(int(low), int(high) + 1))
        return drawn if wish_bpm is None else check_tempo(wish_bpm)


PLAIN = (*FOURS, *TAKING_TURNS)
BUSY = (*PLAIN, "electro", "rock", "funk")
# So wide that no single tempo named every time is right often.
WIDE_BPM = (66, 178)
RUNGS = (
    TempoRung(
        id="within-12",
        new=Template("tempo.rung.1", "a kick on every beat, within 12 %"),
        tempo_bpm=WIDE_BPM,
        grooves=FOURS,
        tolerance_percent=12,
    ),
    TempoRung(
        id="within-10",
        new=Template("tempo.rung.2", "within 10 %"),
        tempo_bpm=WIDE_BPM,
        grooves=FOURS,
        tolerance_percent=10,
    ),
    TempoRung(
        id="taking-turns",
        new=Template("tempo.rung.3", "kick and snare take turns; within 10 %"),
        tempo_bpm=WIDE_BPM,
        grooves=TAKING_TURNS,
        tolerance_percent=10,
    ),
    TempoRung(
        id="within-8",
        new=Template("tempo.rung.4", "a kick on every beat or a backbeat, within 8 %"),
        tempo_bpm=WIDE_BPM,
        grooves=PLAIN,
        tolerance_percent=8,
    ),
    TempoRung(
        id="busier",
        new=Template("tempo.rung.6", "busier patterns"),
        tempo_bpm=WIDE_BPM,
        grooves=BUSY,
        tolerance_percent=8,
    ),
    TempoRung(
        id="within-6",
        new=Template("tempo.rung.5", "within 6 %"),
        tempo_bpm=WIDE_BPM,
        grooves=BUSY,
        tolerance_percent=6,
    ),
    TempoRung(
        id="within-5",
        new=Template("tempo.rung.7", "within 5 %"),
        tempo_bpm=WIDE_BPM,
        grooves=BUSY,
        tolerance_percent=5,
    ),
    TempoRung(
        id="within-4",
        new=Template("tempo.rung.8", "within 4 %: few people name a tempo more nearly"),
        tempo_bpm=WIDE_BPM,
        grooves=BUSY,
        tolerance_percent=4,
    ),
)

WITHIN = Template("tempo.within", "within {percent} %")
AT_TEMPO = Template("tempo.at_tempo", "{tempo} BPM")
NO_TEMPO = Template("tempo.no_tempo", "{given} BPM: a tempo is more than 0.")
RIGHT = Template("tempo.right", "It was {tempo} BPM.")
NEAR = Template("tempo.near", "You said {given}, it was {tempo} BPM.")
HALF = Template("tempo.half", "You said {given}, which is half: count every beat, and it makes {tempo} BPM.")
DOUBLE = Template("tempo.double", "You said {given}, which is double: count only the beat, and it makes {tempo} BPM.")
OCTAVE = Template(
    "tempo.octave", "You said {given}, and {tempo} BPM is the same beat twice as slow or as fast: both may be felt."
)
FASTER = Template(
    "tempo.faster",
    "You said {given}; it was {percent} % faster, {tempo} BPM. Count the beats of ten seconds, and multiply by six.",
)
SLOWER = Template(
    "tempo.slower",
    "You said {given}; it was {percent} % slower, {tempo} BPM. Count the beats of ten seconds, and multiply by six.",
)


class Tempo(ToldDrill[TempoRung]):
    """Tap the beat, then give the tempo in BPM."""

    id = "tempo"
    place = 110
    ladder = 150
    title = Template("tempo.title", "The tempo")
    short = Template("tempo.short", "Tap every beat, then say how many a minute.")
    asks = Template("tempo.asks", "Tap every beat. When the music stops, say how many beats a minute it had.")
    gives = Template("tempo.gives", "BPM")
    rungs = RUNGS
    records = 1
    title_tells = True
    marked_by = ("tolerance_percent",)

    def on_record(self, rung: TempoRung) -> Say:
        """How near an answer must be."""
        return WITHIN(percent=rung.tolerance_percent)

    def build(self, rung: TempoRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar = source.metre.beats_per_bar
        phrases = 1 + int((SOUND_S + 1) * source.tempo_bpm / 60 / (per_bar * rung.phrase_bars))
        record = source.record(
            Form((("verse", phrases * rung.phrase_bars),)),
            phrase_bars=rung.phrase_bars,
            seed=int(rng.integers(2**31)),
        )
        arrangement = cut(delayed(record, LEAD_IN_S), LEAD_IN_S + SOUND_S)
        beats_s = arrangement.count.beats_s
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            targets_s=beats_s[beats_s >= LEAD_IN_S + LISTEN_S],
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
            expected=source.tempo_bpm,
            then=Kind.NUMBER,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial:
        """With the beats and the tempo of the other count."""
        beats_s = sound.count.beats_s
        targets_s = beats_s[beats_s >= LEAD_IN_S + LISTEN_S]
        bpm = sound.tempo_bpm
        return replace(trial, arrangement=sound, targets_s=targets_s, period_s=60.0 / bpm, expected=bpm)

    def answers(self, trial: Trial) -> tuple[str | float, ...]:
        """The whole tempos of the rung."""
        low, high = pick_rung(self.rungs, trial.rung, self.id).tempo_bpm
        return tuple(float(tempo_bpm) for tempo_bpm in range(round(low), round(high) + 1))

    def value_score(self, trial: Trial, given: str | float) -> float:
        """1 within the tolerance, 0.5 for half or double within it, else 0. Raises ``Trouble`` unless positive.

        Half and double are right where either may be felt.
        """
        if float(given) <= 0:
            raise Trouble(NO_TEMPO(given=f"{given:g}"))
        if self._within(trial, given, 1):
            return 1.0
        octave = self._within(trial, given, 0.5) or self._within(trial, given, 2)
        return float(octave) if trial.any_octave else 0.5 * octave

    def _within(self, trial: Trial, given: str | float, times: float) -> bool:
        tempo_bpm = times * _tempo_bpm(trial)
        tolerance = self.rung_of(trial).tolerance_percent / 100
        return abs(float(given) - tempo_bpm) <= tolerance * tempo_bpm + 1e-9

    def value_words(self, trial: Trial, given: str | float, score: float, marks: TapMarks, shown: Habit) -> Say:
        """Right or near, half or double, else the difference."""
        tempo, said = round(_tempo_bpm(trial), 1), f"{float(given):g}"
        words = {"given": said, "tempo": f"{tempo:g}"}
        if score == 1.0:
            if not self._within(trial, given, 1):
                return OCTAVE(**words)
            return RIGHT(tempo=words["tempo"]) if said == words["tempo"] else NEAR(**words)
        if score:
            return (HALF if float(given) < tempo else DOUBLE)(**words)
        if shown.pattern is not Pattern.TARGETS:  # what to do is said of the taps, from which the tempo comes
            return NEAR(**words)
        percent = f"{abs(tempo / float(given) - 1) * 100:.0f}"
        return (FASTER if tempo > float(given) else SLOWER)(percent=percent, **words)

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """The tempo that it was and the one that was named, some beats of each."""
        tempo_bpm, said_bpm = _tempo_bpm(trial), float(str(said))
        if self._within(trial, said_bpm, 1) or not LEAST_BPM <= said_bpm <= MOST_BPM:
            return ()
        some = record.excerpt(0, min(COMPARED_BEATS, len(trial.count)))

        def at(bpm: float) -> tuple[Part]:
            return (Part(stretched(some, tempo_bpm / bpm), trial.kit_seed),)

        was, took = ((AT_TEMPO(tempo=f"{bpm:g}"), bpm) for bpm in (tempo_bpm, said_bpm))
        return both(at, was, took)

    def figures(self, trial: Trial, answer: Answer) -> dict[str, float | str | None]:
        """Tempo of the taps from their median interval."""
        gaps_s = np.diff(answer.taps_s)
        gap_s = float(np.median(gaps_s)) if len(gaps_s) else 0.0
        return {"tapped_bpm": round(60 / gap_s, 2) if gap_s > 0 else None}


def _tempo_bpm(trial: Trial) -> float:
    return float(str(trial.expected))


DRILL = Tempo()
