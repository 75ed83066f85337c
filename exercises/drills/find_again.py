"""Find the count again: the drums break off and return anywhere. Press on a one, and say which bar it begins."""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.drill import Drill, promised
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.press_drill import LATEST_S, answers_sound, nearest_late_s
from exercises.forms.rungs import Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.offset import Offset, offset
from exercises.timing.window import window_s
from exercises.trial.answers import parse_value
from exercises.trial.result import Result
from exercises.trial.sheet_marks import YOURS, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Help, Kind, Trial
from synth.base.arrays import Ints, Seconds
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.sequence import followed_by
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure
from synth.score.metre import Count

# Bars before the drums break off, and seconds of silence: no beats, so that nobody counts through.
BEFORE_BARS = 2
PAUSE_S = (1.2, 2.4)
# Score of a right answer to the last one that sounds; that to the first one after the return is 1.
LATEST_SCORE = 0.5

CLEAR = (Signal.FILL, Signal.CRASH)


@dataclass(frozen=True, slots=True, kw_only=True)
class FindAgainRung(Rung):
    """``returns``: beats of the bar on which the drums may return; ``more_bars`` sound beyond a phrase."""

    returns: tuple[int, ...] = (1, 2, 3, 4)
    more_bars: int = 4
    signals: tuple[Signal, ...] | None = CLEAR
    exceptions: tuple[Departure, ...] = ()


RUNGS = (
    FindAgainRung(
        id="spoken",
        new=Template("find_again.rung.1", "the drums return on the one of a bar; a voice counts until the silence"),
        tempo_bpm=(92, 106),
        grooves=TAKING_TURNS,
        help=Help(voice=True, voice_beats=4 * BEFORE_BARS),
        returns=(1,),
    ),
    FindAgainRung(
        id="one-or-three",
        new=Template("find_again.rung.2", "the drums return on the one or the three"),
        tempo_bpm=(92, 112),
        grooves=TAKING_TURNS,
        returns=(1, 3),
    ),
    FindAgainRung(
        id="any-beat",
        new=Template("find_again.rung.3", "the drums return on any beat"),
        tempo_bpm=(92, 116),
        grooves=(*TAKING_TURNS, "rock"),
    ),
    FindAgainRung(
        id="kick-on-every-beat",
        new=Template("find_again.rung.4", "a kick on every beat; the drums return on any beat"),
        tempo_bpm=(116, 126),
        grooves=FOURS,
    ),
    FindAgainRung(
        id="eight-bars",
        new=Template("find_again.rung.5", "phrases of eight bars, with a bass"),
        tempo_bpm=(112, 128),
        grooves=(*FOURS, *TAKING_TURNS),
        phrase_bars=8,
        music=Music.BASS,
    ),
    FindAgainRung(
        id="any-sign",
        new=Template("find_again.rung.6", "any sign may announce the turn, in phrases of eight bars"),
        tempo_bpm=(112, 130),
        grooves=(*FOURS, *EARLY_OR_LATE),
        phrase_bars=8,
        music=Music.CHORDS,
        signals=None,
    ),
    FindAgainRung(
        id="false-fill",
        new=Template("find_again.rung.7", "one fill comes in mid-phrase, in phrases of eight bars"),
        tempo_bpm=(112, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        phrase_bars=8,
        music=Music.CHORDS,
        exceptions=(Departure.FALSE_FILL,),
    ),
    FindAgainRung(
        id="alike",
        new=Template("find_again.rung.8", "the drums are alike on one and three: bass and chords show the one"),
        tempo_bpm=(112, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        phrase_bars=8,
        music=Music.CHORDS,
        even=True,
        signals=None,
    ),
)

ASKS = Template(
    "find_again.asks.rung",
    "The drums stop and return somewhere else in a phrase of {bars} bars. As soon as you know where you are, "
    "press on the one of a bar; then say which bar it was. The sooner, the better.",
)
BAR = Template("find_again.bar", "bar {n}")
SILENT = Template(
    "find_again.silent", "No press came in. Wait for the turn: it is bar 1. Count from there, and press."
)
BEFORE = Template("find_again.before", "You pressed before the drums came back. Press once they have returned.")
OFF_THE_ONE = Template(
    "find_again.off_the_one",
    "You pressed {off}: that was not a one. Find the beat that starts the bar, then the bar.",
)
BETWEEN = Template(
    "find_again.between", "Your press fell between two beats. Nod along first, and press with the nod."
)
AT_ONCE = Template("find_again.at_once", "It was bar {bar}, found at the first one after the drums came back.")
FOUND_ONE = Template("find_again.found.one", "It was bar {bar}, found one bar after the drums came back.")
FOUND = Template("find_again.found.many", "It was bar {bar}, found {n} bars after the drums came back.")
WAS = Template("find_again.was", "It was bar {bar}, not bar {said}.")
HALF = Template("find_again.half", "That is half a phrase off. The larger change is the turn of the phrase: bar 1.")
COUNT_ON = Template(
    "find_again.count_on", "Wait for the turn of the phrase: its bar is 1. Count the bars from there."
)
ANSWERED = Template(
    "find_again.answered",
    "You pressed after the one, in answer to the drum. Count on, and press with the one itself.",
)

CAME_BACK = Template("find_again.came_back", "the drums came back")


class FindAgain(Drill[FindAgainRung]):
    """Find one and bar after the count was lost."""

    id = "find-again"
    place = 95
    ladder = 95
    title = Template("find_again.title", "Find the count again")
    short = Template("find_again.short", "The drums return anywhere: say which bar it is.")
    asks = Template(
        "find_again.asks", "The drums stop and return anywhere. Press on a one, then say which bar it begins."
    )
    kind = Kind.PRESS
    rungs = RUNGS

    def build(self, rung: FindAgainRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar, phrase = source.metre.beats_per_bar, rung.phrase_bars
        returns = [beat for beat in rung.returns if beat <= per_bar]
        beat, bar = returns[int(rng.integers(len(returns)))], int(rng.integers(phrase))
        pause_s = float(rng.uniform(*PAUSE_S))
        beats = (phrase + rung.more_bars) * per_bar

        def sound(record_seed: int) -> Arrangement:
            record = source.record(
                f"verse:{4 * phrase}",
                phrase_bars=phrase,
                seed=record_seed,
                song=rung.music.parts,
                signals=rung.signals,
                exceptions=rung.exceptions,
            )
            # Broken off on a beat, without a turn; the first phrase of a record has no false fill.
            before = record.excerpt(0, BEFORE_BARS * per_bar, lead_in_s=LEAD_IN_S)
            return followed_by(before, record.excerpt((phrase + bar) * per_bar + beat - 1, beats), pause_s)

        def misleads(sound: Arrangement) -> bool:
            return not rung.exceptions or any(
                odd.start_s > _returns_s(sound.count) + 1e-6 for odd in sound.exceptions
            )

        arrangement = promised(rng, sound, misleads)
        ones_s, bars = _ones(arrangement.count)
        return Trial(
            question=ASKS(bars=phrase),
            arrangement=arrangement,
            targets_s=ones_s,
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
            then=Kind.CHOICE,
            choices=tuple(Choice(str(n), BAR(n=n)) for n in range(1, phrase + 1)),
            expected=str(bars[0]),
        )

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        """The first press after the return decides which bar is the right answer."""
        if answer.value is None:
            raise Trouble(
                "no answer was given: after the press this trial asks for one, such as a line 'answer: ...'"
            )
        given, count = parse_value(trial, str(answer.value)), trial.count
        presses_s = self.presses_s(trial, answer)
        result = Result(trial.drill, trial.rung, trial.seed, right=False, score=0.0, verdict=(SILENT(),), given=given)
        if not presses_s.size:
            return replace(result, verdict=(BEFORE(),)) if answer.taps_s.size else result
        press_s = float(presses_s[0])
        late_s = nearest_late_s(trial.targets_s, press_s)
        shown = offset(late_s, trial.period_s, int(count.beat_in_bar.max()))
        waited = int(np.abs(trial.targets_s - press_s).argmin())
        expected = str((int(str(trial.expected)) - 1 + waited) % trial.truth().phrase_bars + 1)
        on_one = abs(late_s) <= window_s(trial.period_s)
        if on_one and answers_sound(late_s, uncertainty_ms, calibrated):
            return replace(result, verdict=(ANSWERED(),), expected=expected)
        right = on_one and given == expected
        soon = 1 - (1 - LATEST_SCORE) * waited / max(1, len(trial.targets_s) - 1)
        return replace(
            result,
            right=right,
            score=soon if right else 0.0,
            verdict=_verdict(trial, shown, on_one, waited, int(expected), int(str(given))),
            expected=expected,
            figures={"off_beats": shown.beats, "off_ms": round(shown.ms, 3) + 0.0, "bars_waited": waited},
        )

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """Where the drums came back, the one that was asked about, and the bar that the learner named."""
        count, ones_s = trial.count, trial.targets_s
        presses_s = self.presses_s(trial, answer)
        asked = int(np.abs(ones_s - presses_s[0]).argmin()) if presses_s.size else 0
        marks = [
            SheetMark(Shape.FLAG, _returns_s(count), CAME_BACK()),
            SheetMark(Shape.RING, float(ones_s[asked]), BAR(n=result.expected or trial.expected)),
        ]
        if result.mistaken not in (None, result.expected):
            named_s = ones_s[_ones(count)[1] == int(str(result.given))]
            nearest = np.abs(named_s - ones_s[asked]).argmin() if named_s.size else None
            marks += [] if nearest is None else [SheetMark(Shape.RING, float(named_s[nearest]), YOURS(), own=True)]
        return SheetMarks(tuple(marks))

    def presses_s(self, trial: Trial, answer: Answer) -> Seconds:
        """The presses from a bar before the first one on."""
        first_s = trial.targets_s[0] - trial.period_s * trial.count.beat_in_bar.max()
        return answer.taps_s[int(np.searchsorted(answer.taps_s, first_s)) :]

    def chance(self, trial: Trial) -> float:
        """A press at random meets a one, and a bar at random is the right one."""
        sounding_s = trial.count.end_s - float(trial.count.beats_s[0])
        window = window_s(trial.period_s)
        return (window + min(window, LATEST_S)) * len(trial.targets_s) / sounding_s / len(trial.choices)


def _returns_s(count: Count) -> float:
    """When the drums return: the first beat after the pause."""
    return float(count.beats_s[1 + int(np.diff(count.beats_s).argmax())])


def _ones(count: Count) -> tuple[Seconds, Ints]:
    """Times of the ones after the return, and their bars of the phrase."""
    rows = (count.beats_s > _returns_s(count) - 1e-6) & (count.beat_in_bar == 1)
    return count.beats_s[rows], count.bar_in_phrase[rows]


def _verdict(trial: Trial, shown: Offset, on_one: bool, waited: int, bar: int, said: int) -> tuple[Say, ...]:
    if not on_one:
        whole = bool(shown.bars or shown.beats)
        return (OFF_THE_ONE(off=shown.words) if whole else BETWEEN(),)
    if said == bar:
        return ((AT_ONCE, FOUND_ONE)[waited](bar=bar) if waited < 2 else FOUND(bar=bar, n=waited),)
    half = 2 * abs(said - bar) == trial.truth().phrase_bars
    return WAS(bar=bar, said=said), HALF() if half else COUNT_ON()


DRILL = FindAgain()
