"""The outro: press as the song goes and the outro begins."""

from dataclasses import dataclass

import numpy as np

from exercises.forms.drill import promised
from exercises.forms.pools import EARLY_OR_LATE, FOURS
from exercises.forms.press_drill import PressDrill
from exercises.forms.rungs import Much, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.offset import Offset
from exercises.trial.result import Result
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Help, Trial
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure
from synth.score.form import Form

# Bars of the outro that are always heard.
OUTRO_BARS = 2
# Beats before the outro from which on a press foresees it.
EARLIEST_BEATS = 0.5

CLEAR = (Signal.FILL, Signal.CRASH)
BREAK = (("verse", 16), ("break", 4))


@dataclass(frozen=True, slots=True, kw_only=True)
class OutroRung(Rung):
    """``before``: parts with their bars, then ``last`` with one of ``lengths``; at least ``heard_bars`` are heard.

    The outro begins on one of ``later_bars`` + 1 bars, the same for every length. A press counts up to
    ``within_beats`` after that.
    """

    before: tuple[tuple[str, int], ...] = (("verse", 16),)
    last: str = "chorus"
    lengths: tuple[int, ...] = (4, 8, 12)
    heard_bars: int = 6
    later_bars: int = 5
    within_beats: Much
    signals: tuple[Signal, ...] | None = None
    exceptions: tuple[Departure, ...] = ()


RUNGS = (
    OutroRung(
        id="spoken",
        new=Template("outro.rung.1", "a voice counts, a fill or a crash announces the outro, and a press has a bar"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        help=Help(voice=True),
        within_beats=4.0,
        signals=CLEAR,
    ),
    OutroRung(
        id="signs",
        new=Template("outro.rung.2", "without the voice; a fill or a crash announces the outro"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        within_beats=4.0,
        signals=CLEAR,
    ),
    OutroRung(
        id="two-beats",
        new=Template("outro.rung.3", "two beats to press"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        within_beats=2.0,
        signals=CLEAR,
    ),
    OutroRung(
        id="break",
        new=Template("outro.rung.4", "a break comes first, from which the song returns"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        before=BREAK,
        last="drop",
        lengths=(4, 8),
        heard_bars=13,
        within_beats=2.0,
        signals=CLEAR,
    ),
    OutroRung(
        id="any-sign",
        new=Template("outro.rung.5", "any sign may announce the turns"),
        tempo_bpm=(116, 130),
        grooves=(*FOURS, *EARLY_OR_LATE),
        heard_bars=9,
        within_beats=2.0,
    ),
    OutroRung(
        id="one-beat",
        new=Template("outro.rung.6", "one beat to press: what comes must be foreseen"),
        tempo_bpm=(116, 130),
        grooves=(*FOURS, *EARLY_OR_LATE),
        heard_bars=9,
        within_beats=1.0,
    ),
    OutroRung(
        id="false-fill",
        new=Template("outro.rung.7", "one fill comes in mid-phrase, where nothing turns; one beat to press"),
        tempo_bpm=(116, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        before=BREAK,
        last="drop",
        lengths=(4, 8),
        heard_bars=13,
        within_beats=1.0,
        exceptions=(Departure.FALSE_FILL,),
    ),
    OutroRung(
        id="no-sign",
        new=Template("outro.rung.8", "no sign announces the turns, and a break comes first; one beat to press"),
        tempo_bpm=(116, 134),
        grooves=(*FOURS, *EARLY_OR_LATE, "techno"),
        before=(*BREAK, ("verse", 4)),
        lengths=(4, 8),
        heard_bars=17,
        within_beats=1.0,
        signals=(),
    ),
)

BEGAN, BREAK_HERE = Template("outro.began", "the outro began"), Template("outro.break", "the break")
NOTHING = Template("outro.nothing", "No press came in. Press once, when the song goes and the drums stay.")
HAD = Template("outro.had", "You had the outro, on its one.")
HAD_LATE = Template("outro.had_late", "You had the outro, {off}.")
FORESEE = Template(
    "outro.foresee", "It can be foreseen: count the bars of the phrase, and press on the one that follows."
)
LATE = Template(
    "outro.late", "You pressed {off}: the outro had begun. Count the bars, and expect a change on every turn."
)
EARLY = Template("outro.early", "You pressed {off}: the song went on. Wait until bass and chords have gone.")
AT_BREAK = Template(
    "outro.at_break",
    "You pressed at the break: the kick had gone as well, and the song came back. In an outro the drums stay.",
)


class Outro(PressDrill[OutroRung]):
    """Press as the outro begins."""

    id = "outro"
    place = 85
    ladder = 85
    title = Template("outro.title", "The outro")
    short = Template("outro.short", "Press once as the song goes and the drums stay.")
    asks = Template(
        "outro.asks", "At the end the song goes and the drums stay: that is the outro. Press once as it begins."
    )
    rungs = RUNGS
    not_on_records = Template(
        "outro.not_on_records",
        "{drill} is not practised on your own records: their count does not tell where an outro begins.",
    )
    marked_by = ("within_beats",)
    silent = NOTHING
    foreseen = False

    def build(self, rung: OutroRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar = source.metre.beats_per_bar
        last_bars = rung.lengths[int(rng.integers(len(rung.lengths)))]
        heard_bars = rung.heard_bars + int(rng.integers(rung.later_bars + 1))
        total_bars = rung.heard_bars + rung.later_bars + OUTRO_BARS
        before = (*rung.before, (rung.last, last_bars))
        first_bar = sum(bars for _, bars in before) - heard_bars
        outro_bars = -(-(total_bars - heard_bars) // rung.phrase_bars) * rung.phrase_bars

        def sound(record_seed: int) -> Arrangement:
            return source.record(
                Form((*before, ("outro", outro_bars))),
                phrase_bars=rung.phrase_bars,
                seed=record_seed,
                song=True,
                signals=rung.signals,
                exceptions=rung.exceptions,
            ).excerpt(first_bar * per_bar, total_bars * per_bar, lead_in_s=LEAD_IN_S)

        def misleads(sound: Arrangement) -> bool:
            heard = [odd for odd in sound.exceptions if LEAD_IN_S + 1e-6 < odd.start_s < _outro_s(sound) - 1e-6]
            return len(heard) == len(rung.exceptions)

        arrangement = promised(rng, sound, misleads)
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            targets_s=np.array([_outro_s(arrangement)]),
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
        )

    def right(self, trial: Trial, late_s: float) -> bool:
        return -EARLIEST_BEATS <= late_s / trial.period_s <= self.rung_of(trial).within_beats

    def score(self, trial: Trial, late_s: float, shown: Offset) -> float:
        """1 where the press counts, else 0."""
        return float(self.right(trial, late_s))

    def verdict(
        self, trial: Trial, press_s: float, shown: Offset, uncertainty_ms: float, calibrated: bool
    ) -> tuple[Say, ...]:
        """How many beats off, and what was taken for the outro."""
        late_s = press_s - float(trial.targets_s[0])
        if self.right(trial, late_s):
            return (HAD_LATE(off=shown.words), FORESEE()) if shown.bars or shown.beats else (HAD(),)
        breaks_s = [each.start_s for each in trial.truth().sections if each.name == "break"]
        bar_s, early_s = trial.period_s * int(trial.count.beat_in_bar.max()), EARLIEST_BEATS * trial.period_s
        if any(-early_s <= press_s - at_s < bar_s for at_s in breaks_s):
            return (AT_BREAK(),)
        return ((LATE if late_s > 0 else EARLY)(off=shown.words),)

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """Where the outro began, and the break where it is known; the bars numbered through."""
        breaks_s = [each.start_s for each in trial.truth().sections if each.name == "break"]
        marks = [SheetMark(Shape.FLAG, at_s, BREAK_HERE()) for at_s in breaks_s]
        return SheetMarks((*marks, SheetMark(Shape.FLAG, float(trial.targets_s[0]), BEGAN())), through=True)

    def chance(self, trial: Trial) -> float:
        """Share of the sound in which a press counts."""
        beats = EARLIEST_BEATS + self.rung_of(trial).within_beats
        return min(1.0, beats / len(trial.count))


def _outro_s(sound: Arrangement) -> float:
    return next(each.start_s for each in sound.sections if each.name == "outro")


DRILL = Outro()
