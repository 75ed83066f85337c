"""Before the turn: press some bars before a phrase turns."""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.drill import promised
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.press_drill import PressDrill
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Music, Rung
from exercises.forms.signs import turn_marks
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.offset import Offset
from exercises.trial.result import Result
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Trial
from exercises.trial.verdict.press_verdict import PressWords
from synth.base.words import Say, Template, plural
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure
from synth.score.metre import Count

LOUD_TURNS = (Signal.FILL, Signal.CRASH)


# The sound begins in one of so many bars before the first turn.
EARLIEST_BARS = 4
# Turns that are heard, the last of them to press for.
TURNS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeTurnRung(Rung):
    """``before_bars``: how many bars before the second turn to press; the first is for finding the count.

    The sound begins on one of the beats ``starts`` of a bar; ``signals`` announce the turns (None: any).
    """

    before_bars: int
    signals: tuple[str, ...] | None = LOUD_TURNS
    exceptions: tuple[Departure, ...] = ()
    starts: tuple[int, ...] = (1, 2, 3, 4)


RUNGS = (
    BeforeTurnRung(
        id="spoken",
        new=Template(
            "before_turn.rung.1", "four bars before the turn, in phrases of eight; sheet and voice count along"
        ),
        tempo_bpm=(116, 124),
        grooves=FOURS,
        help=VOICE_AND_SHEET,
        phrase_bars=8,
        before_bars=4,
        starts=(1,),
    ),
    BeforeTurnRung(
        id="sheet",
        new=Template("before_turn.rung.2", "four bars before the turn, in phrases of eight; the sheet counts along"),
        tempo_bpm=(116, 126),
        grooves=FOURS,
        help=SHEET,
        phrase_bars=8,
        before_bars=4,
        starts=(1, 3),
    ),
    BeforeTurnRung(
        id="bare",
        new=Template("before_turn.rung.3", "four bars before the turn, in phrases of eight, without help"),
        tempo_bpm=(116, 128),
        grooves=FOURS,
        phrase_bars=8,
        before_bars=4,
    ),
    BeforeTurnRung(
        id="two-bars",
        new=Template("before_turn.rung.4", "two bars before the turn, in phrases of eight"),
        tempo_bpm=(116, 128),
        grooves=(*FOURS, *TAKING_TURNS),
        phrase_bars=8,
        before_bars=2,
    ),
    BeforeTurnRung(
        id="one-bar",
        new=Template("before_turn.rung.5", "one bar before the turn, in phrases of eight, with bass and chords"),
        tempo_bpm=(112, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        phrase_bars=8,
        before_bars=1,
        music=Music.ALL,
        signals=None,
    ),
    BeforeTurnRung(
        id="false-fill",
        new=Template(
            "before_turn.rung.6", "two bars before the turn; one fill comes in mid-phrase, where nothing turns"
        ),
        tempo_bpm=(112, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        phrase_bars=8,
        before_bars=2,
        exceptions=(Departure.FALSE_FILL,),
    ),
    BeforeTurnRung(
        id="sixteen",
        new=Template("before_turn.rung.7", "four bars before the turn, in phrases of sixteen, with bass and chords"),
        tempo_bpm=(116, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        phrase_bars=16,
        before_bars=4,
        music=Music.ALL,
        signals=None,
    ),
    BeforeTurnRung(
        id="sixteen-one-bar",
        new=Template(
            "before_turn.rung.8", "one bar before the turn, in phrases of sixteen; one fill comes in mid-phrase"
        ),
        tempo_bpm=(116, 136),
        grooves=(*FOURS, *EARLY_OR_LATE, "techno"),
        phrase_bars=16,
        before_bars=1,
        signals=None,
        exceptions=(Departure.FALSE_FILL,),
    ),
)

ONE_BAR, BARS = Template("before_turn.one_bar", "one bar"), Template("before_turn.bars", "{n} bars")
ASKS = Template(
    "before_turn.asks.rung",
    "Press once, {before} before the second turn: with the one of that bar. A phrase has {phrase} bars.",
)
ON_THE_TURN = Template(
    "before_turn.on_the_turn", "You pressed as the phrase turned. Count its bars, and press {before} earlier."
)

ASKED_FOR = Template("before_turn.asked_for", "{before} before")


class BeforeTurn(PressDrill[BeforeTurnRung]):
    """Press some bars before a phrase turns."""

    id = "before-turn"
    place = 75
    ladder = 75
    title = Template("before_turn.title", "Before the turn")
    asks = Template("before_turn.asks", "Press once, some bars before the phrase turns.")
    rungs = RUNGS
    records = 1
    silent = Template("before_turn.silent", "No press came in. Press once: space bar, mouse button or a finger.")
    words = PressWords(
        on=Template("before_turn.on", "You pressed as many bars before the turn as was asked"),
        beat_late=Template("before_turn.beat_late", "Press with the one, not after it."),
        beats_off=Template(
            "before_turn.beats_off",
            "That was not a one. Find the beat that starts the bar first, then count the bars.",
        ),
        bars_off=Template(
            "before_turn.bars_off", "That was a one, but of another bar. Say the number of every bar on its one."
        ),
        close=Template("before_turn.close", "That is together with the beat."),
        apart_late=Template("before_turn.apart_late", "Press with the beat, not in answer to it."),
        apart_early=Template("before_turn.apart_early", "Let the beat come to you."),
    )

    def build(self, rung: BeforeTurnRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar, phrase = source.metre.beats_per_bar, rung.phrase_bars
        starts = [beat for beat in rung.starts if beat <= per_bar]
        beat, bar = starts[int(rng.integers(len(starts)))], 1 + int(rng.integers(EARLIEST_BARS))
        # The first phrase of a record has no false fill.
        first = (2 * phrase - bar) * per_bar + beat - 1
        beats = (EARLIEST_BARS + phrase) * per_bar + 1
        bars = 4 * phrase

        def sound(record_seed: int) -> Arrangement:
            return source.record(
                f"verse:{bars}",
                phrase_bars=phrase,
                seed=record_seed,
                song=rung.music.parts,
                exceptions=rung.exceptions,
                signals=rung.signals,
            ).excerpt(first, beats, lead_in_s=LEAD_IN_S)

        def misleads(sound: Arrangement) -> bool:
            last_s = float(sound.count.turns_s[1])
            return not rung.exceptions or any(LEAD_IN_S + 1e-6 < odd.start_s < last_s for odd in sound.exceptions)

        period_s = 60.0 / source.tempo_bpm
        arrangement = promised(rng, sound, misleads)
        return Trial(
            question=ASKS(before=_bars(rung.before_bars), phrase=phrase),
            arrangement=arrangement,
            targets_s=arrangement.count.turns_s[1:2] - rung.before_bars * per_bar * period_s,
            period_s=period_s,
            help=rung.help,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """As many bars before the second turn of the other count, if its phrases are as long as was said."""
        turns_s, period_s = sound.count.turns_s, 60.0 / sound.tempo_bpm
        if len(turns_s) < TURNS or sound.phrase_bars != trial.question.values["phrase"]:
            return None
        per_bar = sound.metre.beats_per_bar
        before = round(float(trial.count.turns_s[1] - trial.targets_s[0]) / (trial.period_s * per_bar))
        target_s = float(turns_s[1]) - before * per_bar * period_s
        if target_s < sound.count.beats_s[0]:
            return None
        return replace(trial, arrangement=sound, targets_s=np.array([target_s]), period_s=period_s)

    def verdict(
        self, trial: Trial, press_s: float, shown: Offset, uncertainty_ms: float, calibrated: bool
    ) -> tuple[Say, ...]:
        told = PressDrill.verdict(self, trial, press_s, shown, uncertainty_ms, calibrated)
        from_turn_s = np.abs(trial.count.phrase_starts_s - press_s)
        if (shown.bars or shown.beats) and from_turn_s.min() < trial.period_s / 2:
            return (ON_THE_TURN(before=trial.question.values["before"]),)
        return told

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The turns with their signs, and the one to press on."""
        asked = ASKED_FOR(before=trial.question.values["before"])
        return SheetMarks((*turn_marks(trial), SheetMark(Shape.RING, float(trial.targets_s[0]), asked)))


def _bars(n: int) -> Say:
    return plural(n, ONE_BAR, BARS)


DRILL = BeforeTurn()
