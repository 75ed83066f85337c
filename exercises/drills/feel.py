"""Feel: after the turn, does the record continue in half time, straight, or in double time?"""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.pools import FOURS
from exercises.forms.rungs import Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.forms.told_drill import ToldDrill
from exercises.trial.habit import Habit, Pattern
from exercises.trial.replay import Version, both
from exercises.trial.result import Result, TapMarks
from exercises.trial.sheet_marks import YOUR_ANSWER, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Help, Kind, Part, Trial
from exercises.trial.versions import VERSION
from synth.base.arrays import Seconds
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.arranging.sequence import delayed, followed_by
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.form import Form
from synth.score.grooves import MOST_STEPS, Groove, groove
from synth.score.half_time import double_time, half_time, straightened
from synth.score.metre import Count, steady_count


@dataclass(frozen=True, slots=True, kw_only=True)
class FeelRung(Rung):
    """``plain_bars`` straight as reference, then ``bars`` in one of ``feels``.

    ``turned``: the pattern also changes at the turn. Felt beats last 0.25 s to 1.5 s, the range of synchronised
    tapping (Repp 2006, Adv. Cogn. Psychol. 2, 163-181).
    """

    plain_bars: int = 4
    bars: int = 8
    feels: tuple[str, ...] = ("half", "straight", "double")
    turned: bool = False


# Without the shuffle: its beat divides in three, whatever the feel.
STRAIGHT = ("backbeat", "straight-eights", "soul", "rock")
PLAIN = (*STRAIGHT, *FOURS)
BUSY = (*PLAIN, "funk", "electro")
RUNGS = (
    FeelRung(
        id="half",
        new=Template("feel.rung.1", "half time, or as before"),
        tempo_bpm=(92, 104),
        grooves=STRAIGHT,
        feels=("half", "straight"),
    ),
    FeelRung(
        id="double",
        new=Template("feel.rung.2", "as before, or double time"),
        tempo_bpm=(84, 96),
        grooves=STRAIGHT,
        feels=("straight", "double"),
    ),
    FeelRung(
        id="three",
        new=Template("feel.rung.3", "half time, as before, or double time"),
        tempo_bpm=(86, 100),
        grooves=STRAIGHT,
    ),
    FeelRung(
        id="more-patterns",
        new=Template("feel.rung.4", "patterns with and without a kick on every beat"),
        tempo_bpm=(88, 108),
        grooves=PLAIN,
    ),
    FeelRung(id="busier", new=Template("feel.rung.6", "busier patterns"), tempo_bpm=(86, 110), grooves=BUSY),
    FeelRung(
        id="two-bars-before",
        new=Template("feel.rung.5", "only two bars before the turn"),
        tempo_bpm=(86, 108),
        grooves=PLAIN,
        plain_bars=2,
    ),
    FeelRung(
        id="pattern-changes",
        new=Template("feel.rung.7", "the pattern changes at the turn"),
        tempo_bpm=(86, 110),
        grooves=PLAIN,
        turned=True,
    ),
    FeelRung(
        id="busier-changes",
        new=Template("feel.rung.8", "busier patterns that change at the turn"),
        tempo_bpm=(84, 114),
        grooves=BUSY,
        turned=True,
    ),
    FeelRung(
        id="short-and-changes",
        new=Template("feel.rung.9", "two bars before the turn, six bars after the turn"),
        tempo_bpm=(82, 118),
        grooves=BUSY,
        turned=True,
        plain_bars=2,
        bars=6,
    ),
)

# Felt beats per beat of the plain bars.
RATES = {"half": 0.5, "straight": 1.0, "double": 2.0}
PLAYED = {"half": half_time, "straight": straightened, "double": double_time}
SAYS = {
    "half": Template("feel.says.half", "half time"),
    "straight": Template("feel.says.straight", "as before"),
    "double": Template("feel.says.double", "double time"),
}
WHY = {
    "half": Template("feel.why.half", "snare or clap came half as often"),
    "straight": Template("feel.why.straight", "snare or clap came as often as before"),
    "double": Template("feel.why.double", "snare or clap came twice as often"),
}
TOO_FINE = Template("feel.too_fine", "Groove {name} has steps too fine for double time. Choose another groove.")
RIGHT = Template("feel.right", "It was {feel}: {why}.")
WRONG = Template("feel.wrong", "It was {feel}: {why}, whatever the hats played.")
KEPT = Template(
    "feel.kept", "You kept to the beat from before the turn: let the snare or clap fall on every second tap."
)
TAPPED_RIGHT = Template("feel.tapped_right", "Your taps had it, your answer did not: it was {feel}. Trust your taps.")


class Feel(ToldDrill[FeelRung]):
    """Half time, straight or double time, and taps on the felt beat.

    On the felt beat every second one is a backbeat, as in the standard rock beat: kick on one and three, snare on
    two and four (de Clercq 2016, Music Theory Online 22(3)). An answer has taps and a choice.
    """

    id = "feel"
    place = 100
    ladder = 130
    title = Template("feel.title", "The feel")
    short = Template("feel.short", "Tap what dancers move to: half time, as before, or double time.")
    asks = Template(
        "feel.asks",
        "The drums begin plainly. After the turn, tap the beat that dancers would move to. Then say: "
        "was it half time, as before, or double time?",
    )
    rungs = RUNGS
    not_on_records = Template(
        "feel.not_on_records",
        "{drill} is not practised on your own records: their count is the same in half time and double time.",
    )

    def build(self, rung: FeelRung, rng: np.random.Generator, source: Source) -> Trial:
        groove, tempo_bpm = source.drums()
        feel = rung.feels[int(rng.integers(len(rung.feels)))]
        after = _other(rung, rng, groove) if rung.turned else groove
        plain = _record(straightened(groove), tempo_bpm, rung.plain_bars, rng, (Signal.FILL,))
        rest = _record(PLAYED[feel](_fit(after)), tempo_bpm, rung.bars, rng, (Signal.CRASH,))
        arrangement = followed_by(delayed(plain, LEAD_IN_S), rest)
        turn_s, period_s = LEAD_IN_S + plain.count.end_s, 60.0 / tempo_bpm / RATES[feel]
        # Two bars to hear the change, then every felt beat is a target.
        listen_s = 2 * groove.metre.beats_per_bar * 60.0 / tempo_bpm
        beats_s: Seconds = turn_s + period_s * np.arange(round(rest.count.end_s / period_s), dtype=np.float64)
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            targets_s=beats_s[beats_s >= turn_s + listen_s - 1e-6],
            period_s=period_s,
            help=Help(),
            choices=tuple(Choice(each, SAYS[each]()) for each in rung.feels),
            expected=feel,
            then=Kind.CHOICE,
        )

    def count_tapped(self, trial: Trial) -> Count:
        """The felt beats, fewer or more than those of the plain bars."""
        start_s, beats = float(trial.targets_s[0]), len(trial.targets_s)
        count = steady_count(60.0, [-(-beats // 4)])
        beats_s: Seconds = start_s + trial.period_s * np.arange(beats, dtype=np.float64)
        rows = slice(0, beats)
        return Count(
            beats_s,
            count.beat_in_bar[rows],
            count.bar_number[rows],
            count.bar_in_phrase[rows],
            count.phrase_number[rows],
            float(beats_s[-1]) + trial.period_s,
        )

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The turn, with the feel from there on and the learner's answer."""
        turn_s = float(trial.count.phrase_starts_s[-1])
        marks = [SheetMark(Shape.FLAG, turn_s, SAYS[str(trial.expected)]())]
        if result.given != trial.expected and str(result.given) in SAYS:
            marks.append(SheetMark(Shape.FLAG, turn_s, YOUR_ANSWER(answer=SAYS[str(result.given)]()), own=True))
        return SheetMarks(tuple(marks))

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """The record around its turn as it was, and the same record in the feel that was chosen."""
        expected, took = str(trial.expected), str(said)
        if took not in SAYS or took == expected or trial.version != VERSION:
            return ()

        def in_feel(feel: str) -> tuple[Part]:
            made: Arrangement | None = record
            if feel != expected:
                row = self.row_at(trial.rung)
                row = replace(row, feels=(feel,) * len(row.feels))
                wishes = {"tempo_bpm": trial.tempo_wish, "groove": trial.groove_wish}
                made = self.make(trial.rung, trial.seed, row=row, **wishes).arrangement  # type: ignore[arg-type]
            assert made is not None
            return (Part(_around_turn(made), trial.kit_seed),)

        return both(in_feel, (SAYS[expected](), expected), (SAYS[took](), took))

    def value_words(self, trial: Trial, given: str | float, score: float, marks: TapMarks, shown: Habit) -> Say:
        """The feel and its cue."""
        feel = str(trial.expected)
        words = {"feel": SAYS[feel](), "why": WHY[feel]()}
        if score == 1.0:
            return RIGHT(**words)
        if shown.pattern is Pattern.TARGETS:
            return TAPPED_RIGHT(feel=words["feel"])
        return WRONG(**words)

    def tap_words(
        self, trial: Trial, marks: TapMarks, shown: Habit, calibrated: bool, *, before: int, after: int
    ) -> tuple[Say, ...]:
        """Whether the taps followed the beat of the plain bars."""
        kept = {"half": Pattern.DOUBLE_TIME, "double": Pattern.HALF_TIME}.get(str(trial.expected))
        if shown.pattern is kept:
            return (KEPT(),)
        return ToldDrill.tap_words(self, trial, marks, shown, calibrated, before=before, after=after)


def _around_turn(record: Arrangement) -> Arrangement:
    """Two bars before the turn, and four after it."""
    per_bar, turn = record.metre.beats_per_bar, int(np.searchsorted(record.count.phrase_number, 2))
    first = max(0, turn - 2 * per_bar)
    return record.excerpt(first, min(turn - first + 4 * per_bar, len(record.count) - first))


def _record(
    groove: Groove, tempo_bpm: float, bars: int, rng: np.random.Generator, signals: tuple[Signal, ...]
) -> Arrangement:
    """One phrase, with a fill at its end where the signals allow it."""
    return arrange(
        groove,
        tempo_bpm=tempo_bpm,
        form=Form((("verse", bars),)),
        phrase_bars=bars,
        seed=int(rng.integers(2**31)),
        signals=signals,
    )


def _other(rung: FeelRung, rng: np.random.Generator, before: Groove) -> Groove:
    """Another pattern of the rung with the same metre, else the same one."""
    names = [name for name in rung.grooves if name != before.name]
    found = groove(names[int(rng.integers(len(names)))])
    return found if found.metre == before.metre else before


def _fit(groove: Groove) -> Groove:
    """The groove without swing. Raises ``Trouble`` where its steps are too fine to be doubled."""
    if 2 * groove.steps_per_bar > MOST_STEPS:
        raise Trouble(TOO_FINE(name=groove.name))
    return straightened(groove)


DRILL = Feel()
