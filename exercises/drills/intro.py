"""The intro: how many bars until the song enters?"""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.pools import FOURS, MIXED
from exercises.forms.rungs import Rung, pick_rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.result import Result
from exercises.trial.sheet_marks import YOUR_ANSWER, Shape, SheetMark, SheetMarks, whole_bars_s
from exercises.trial.trial import Answer, Help, Kind, Trial
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import LEAST_LEFT, Source
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure
from synth.score.form import Form
from synth.score.metre import Count


@dataclass(frozen=True, slots=True, kw_only=True)
class IntroRung(Rung):
    """``lengths``: possible bars of the intro; ``exceptions`` depart from whole phrases."""

    lengths: tuple[int, ...]
    signals: tuple[str, ...] | None = None
    exceptions: tuple[Departure, ...] = ()

    @property
    def total_bars(self) -> int:
        """Bars that sound for any intro: the longest one and four bars of the song."""
        return max(self.lengths) + 4


CLEAR = (Signal.FILL, Signal.CRASH)
# Neighbouring lengths in a wide range of tempos: seconds do not tell them apart, and no round number is likelier.
RUNGS = (
    IntroRung(
        id="spoken",
        new=Template("intro.rung.1", "4 to 8 bars, which a voice counts in fours"),
        tempo_bpm=(92, 140),
        any_tempo=True,
        grooves=FOURS,
        lengths=(4, 5, 6, 7, 8),
        help=Help(voice=True),
        signals=CLEAR,
    ),
    IntroRung(
        id="bare",
        new=Template("intro.rung.2", "4 to 8 bars, without the voice"),
        tempo_bpm=(92, 140),
        any_tempo=True,
        grooves=FOURS,
        lengths=(4, 5, 6, 7, 8),
        signals=CLEAR,
    ),
    IntroRung(
        id="more-lengths",
        new=Template("intro.rung.3", "5 to 12 bars"),
        tempo_bpm=(94, 140),
        any_tempo=True,
        grooves=MIXED,
        lengths=tuple(range(5, 13)),
        signals=CLEAR,
    ),
    IntroRung(
        id="any-sign",
        new=Template("intro.rung.5", "8 to 16 bars, any sign of a turn"),
        tempo_bpm=(94, 140),
        any_tempo=True,
        grooves=MIXED,
        lengths=tuple(range(8, 17)),
    ),
    IntroRung(
        id="hints",
        new=Template("intro.rung.6", "bass, chords or a voice may be heard early, alone and softly"),
        tempo_bpm=(94, 140),
        any_tempo=True,
        grooves=MIXED,
        lengths=tuple(range(8, 17)),
        phrase_bars=8,
        exceptions=(Departure.TEASE,),
    ),
    IntroRung(
        id="two-off",
        new=Template("intro.rung.7", "12 to 24 bars"),
        tempo_bpm=(100, 144),
        any_tempo=True,
        grooves=MIXED,
        lengths=tuple(range(12, 25)),
        phrase_bars=8,
        exceptions=(Departure.TEASE,),
    ),
    IntroRung(
        id="odd",
        new=Template("intro.rung.8", "12 to 24 bars, and beats before the first one"),
        tempo_bpm=(100, 144),
        any_tempo=True,
        grooves=(*MIXED, "broken-beat", "half-time"),
        lengths=tuple(range(12, 25)),
        phrase_bars=8,
        exceptions=(Departure.PICK_UP, Departure.TEASE),
    ),
    IntroRung(
        id="any-length",
        new=Template("intro.rung.9", "any length from 12 to 32 bars"),
        tempo_bpm=(106, 144),
        any_tempo=True,
        grooves=(*MIXED, "broken-beat", "half-time"),
        lengths=tuple(range(12, 33)),
        exceptions=(Departure.PICK_UP, Departure.TEASE),
    ),
)

ASKS_TEASED = Template(
    "intro.asks.teased",
    "Drums begin, with a hint of the song here and there; then it comes in, with bass and chords together. "
    "How many bars was the intro?",
)
ASKS_LEFT = Template(
    "intro.asks.left",
    "The intro is on its way; then the song comes in. How many bars are left until then, with the one that begins?",
)
LEAST = Template("intro.least", "{given} bars: an intro has at least one bar.")
RIGHT = Template("intro.right", "The intro was {n} bars long.")
RIGHT_LEFT = Template("intro.right_left", "{n} bars were left of the intro.")
WRONG = Template("intro.wrong", "You said {given}; the intro was {n} bars long.")
WRONG_LEFT = Template("intro.wrong_left", "You said {given}; {n} bars were left of the intro.")
PHRASE_SHORT = Template(
    "intro.phrase_short", "That is one phrase short: the song comes in later, with bass and chords."
)
PHRASE_LONG = Template("intro.phrase_long", "That is one phrase too many: the song had come in already.")
ONE_SHORT = Template(
    "intro.one_short", "That is one bar short: say the number of the bar on its first beat, from 1 on."
)
ONE_LONG = Template(
    "intro.one_long", "That is one bar too many: the bar in which the song comes in is no longer the intro."
)
AT_TEASE = Template(
    "intro.at_tease", "That was only a hint, one part alone: the song comes in with bass and chords together."
)
HALF = Template("intro.half", "That is half of it: give every bar a number of its own.")
DOUBLE = Template("intro.double", "That is twice as much: give every bar one number only.")
BEATS = Template("intro.beats", "That is the number of beats: give every bar one number, as in 1 2 3 4, 2 2 3 4.")
SOME_SHORT = Template("intro.some_short", "That is {off} bars short: put up a finger for every phrase.")
SONG_IN, HINT = Template("intro.song_in", "the song came in"), Template("intro.hint", "only a hint")
SOME_LONG = Template("intro.some_long", "That is {off} bars too many: the intro ends where bass and chords come in.")
# Of a recording nobody knows what comes in.
LATE_LEFT = Template("intro.late_left", "That is {off} bars too many: the song had come in already.")


class Intro(ChoiceDrill[IntroRung]):
    """How many bars long is the intro? The total length is constant. Of a recording's: how many bars are left?"""

    id = "intro"
    place = 80
    ladder = 80
    title = Template("intro.title", "The intro")
    short = Template("intro.short", "Count the bars until the song comes in.")
    asks = Template(
        "intro.asks", "Drums alone begin; then the song comes in, with bass and chords. How many bars was the intro?"
    )
    gives = Template("intro.gives", "Bars")
    kind = Kind.NUMBER
    rungs = RUNGS
    records = 1
    asks_on_record = ASKS_LEFT

    def build(self, rung: IntroRung, rng: np.random.Generator, source: Source) -> Trial:
        bars = rung.lengths[int(rng.integers(len(rung.lengths)))]
        record = source.record(
            Form((("intro", bars), ("verse", rung.total_bars - bars + 4))),
            phrase_bars=rung.phrase_bars,
            seed=int(rng.integers(2**31)),
            song=True,
            exceptions=rung.exceptions,
            signals=rung.signals,
        )
        # From the first beat of all: the pick-up does not change the length.
        per_bar = source.metre.beats_per_bar
        beats = rung.total_bars * per_bar + (per_bar - 1 if Departure.PICK_UP in rung.exceptions else 0)
        arrangement = record.excerpt(0, beats, lead_in_s=LEAD_IN_S)
        return Trial(
            question=self._question(rung, arrangement),
            arrangement=arrangement,
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
            expected=arrangement.intro_bars,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the bars that are left by the other count, if by it the sound begins with a bar of the intro."""
        count, left = sound.count, sound.intro_bars + 1 - int(sound.count.bar_number[0])
        whole = count.beat_in_bar[0] == 1 and 1 <= count.bar_number[0] <= sound.intro_bars
        if not whole or left * sound.metre.beats_per_bar >= len(count):
            return None
        sound = replace(sound, intro_bars=left)
        return replace(trial, arrangement=sound, expected=left, period_s=60.0 / sound.tempo_bpm)

    def _question(self, rung: IntroRung, arrangement: Arrangement) -> Say:
        """What is asked: of the whole intro, or of what is left of that of a recording."""
        if arrangement.recorded is not None:
            return ASKS_LEFT()
        return ASKS_TEASED() if Departure.TEASE in rung.exceptions else self.asks()

    def answers(self, trial: Trial) -> tuple[str | float, ...]:
        """The lengths of the rung, equally likely; of a record, whose intro may be shorter, fewer bars as well."""
        lengths = pick_rung(self.rungs, trial.rung, self.id).lengths
        return tuple(map(float, lengths if trial.recorded is None else range(LEAST_LEFT, max(lengths) + 1)))

    def score(self, trial: Trial, given: str | float) -> float:
        """1 for the right number, else 0. Raises ``Trouble`` below one bar."""
        if float(given) < 1:
            raise Trouble(LEAST(given=f"{given:g}"))
        return float(given == trial.expected)

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        """Right, or the likely cause: a phrase, a bar, half or twice, the beats."""
        n, phrase, recorded = int(float(str(trial.expected))), trial.truth().phrase_bars, trial.recorded is not None
        if score == 1.0:
            return ((RIGHT_LEFT if recorded else RIGHT)(n=n),)
        off = float(given) - n
        shown = f"{float(given):g}"
        per_bar = int(trial.count.beat_in_bar.max())
        if abs(off) == 1:
            why = ONE_SHORT() if off < 0 else ONE_LONG()
        elif float(given) in _teased_after(trial):
            why = AT_TEASE()
        elif float(given) == per_bar * n:
            why = BEATS()
        elif abs(off) == phrase and not recorded:
            why = PHRASE_SHORT() if off < 0 else PHRASE_LONG()
        elif float(given) in (n / 2, 2 * n):
            why = HALF() if off < 0 else DOUBLE()
        else:
            why = (SOME_SHORT if off < 0 else LATE_LEFT if recorded else SOME_LONG)(off=f"{abs(off):g}")
        return (WRONG_LEFT if recorded else WRONG)(given=shown, n=n), why

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """Where the song came in, hints of it, and where the learner heard it; the bars numbered through."""
        ones_s = whole_bars_s(trial.count)
        marks = [SheetMark(Shape.FLAG, ones_s[int(float(str(trial.expected)))], SONG_IN())]
        marks += [SheetMark(Shape.FLAG, ones_s[bars], HINT()) for bars in sorted(_teased_after(trial)) if bars]
        if result.mistaken is not None:
            bars = float(str(result.mistaken))
            if bars in range(len(ones_s)):
                marks.append(SheetMark(Shape.FLAG, ones_s[int(bars)], YOUR_ANSWER(answer=f"{bars:g}"), own=True))
        return SheetMarks(tuple(marks), through=True)


def _teased_after(trial: Trial) -> set[int]:
    """Bars of the intro before each tease."""
    count = trial.count
    one_s = float(count.ones_s[count.bar_number[count.beat_in_bar == 1] > 0][0])
    bar_s = trial.period_s * int(count.beat_in_bar.max())
    teases = [odd for odd in trial.truth().exceptions if odd.kind == Departure.TEASE]
    return {round((odd.start_s - one_s) / bar_s) for odd in teases}


DRILL = Intro()
