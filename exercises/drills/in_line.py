"""In line: two simultaneous records. Do their downbeats coincide, or how many beats or bars apart are they?"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.window import row_near
from exercises.trial.replay import Version, both
from exercises.trial.result import Result
from exercises.trial.sheet_marks import YOURS, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Kind, Part, Trial
from synth.base.words import Say, Template, plural
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.metre import Count


class Ask(StrEnum):
    """What a rung asks."""

    SAME = "same"  # whether the downbeats coincide
    BEATS = "beats"  # beats between the downbeats
    BARS = "bars"  # bars between the phrase turns


# Bars of the first record alone, to find its downbeat.
ALONE_BARS = 2
# More than a phrase of both: every turn is heard in each.
MORE_BARS = 2
# Bars of each version that are heard after a wrong answer.
COMPARED_BARS = 4

QUESTIONS = {
    Ask.SAME: Template("in_line.asks.same", "A second record comes in. Do both have the same one?"),
    Ask.BEATS: Template(
        "in_line.asks.beats", "A second record comes in. Where is its one, against the first record's?"
    ),
    Ask.BARS: Template(
        "in_line.asks.bars",
        "A second record comes in, on the same one. When does its phrase turn, against the first record's?",
    ),
}
SAME, NOT_SAME = "same", "apart"
SAYS_SAME, SAYS_NOT_SAME = (
    Template("in_line.says_same", "on the same one"),
    Template("in_line.says_not_same", "beats apart"),
)
TOGETHER = {
    Ask.BEATS: Template("in_line.together.beats", "on the same one"),
    Ask.BARS: Template("in_line.together.bars", "in the same bar of the phrase"),
}
HALF = {
    Ask.BEATS: Template("in_line.half.beats", "half a bar apart"),
    Ask.BARS: Template("in_line.half.bars", "half a phrase apart"),
}
LATER = {
    Ask.BEATS: (
        Template("in_line.later.beats.one", "one beat later"),
        Template("in_line.later.beats.many", "{n} beats later"),
    ),
    Ask.BARS: (
        Template("in_line.later.bars.one", "one bar later"),
        Template("in_line.later.bars.many", "{n} bars later"),
    ),
}
EARLIER = {
    Ask.BEATS: (
        Template("in_line.earlier.beats.one", "one beat earlier"),
        Template("in_line.earlier.beats.many", "{n} beats earlier"),
    ),
    Ask.BARS: (
        Template("in_line.earlier.bars.one", "one bar earlier"),
        Template("in_line.earlier.bars.many", "{n} bars earlier"),
    ),
}

SECOND_ONE = Template("in_line.second_one", "the second record's one")
SECOND_TURN = Template("in_line.second_turn", "the second record's phrase")
RIGHT = Template("in_line.right", "The second record was {it}.")
WRONG = Template("in_line.wrong", "It was {it}, not {said}.")
ADVICE = {
    Ask.SAME: Template(
        "in_line.advice.same",
        "On the same one, snares and claps fall together: listen for a snare or clap on the other record's kick.",
    ),
    Ask.BEATS: Template(
        "in_line.advice.beats",
        "Count the first record aloud, and say the number on which the second starts its pattern.",
    ),
    Ask.BARS: Template(
        "in_line.advice.bars", "Count the bars of the first record, and remember in which of them the second turns."
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class InLineRung(Rung):
    """``apart``: possible beats or bars by which the second record is late, 0 included.

    ``sharp_tells``: the sharp drums fall together on the same one alone.

    ``others``: its grooves; ``other_db``: its relative level; ``music`` plays in the first.
    """

    ask: Ask
    sharp_tells: bool = True
    apart: tuple[int, ...]
    others: tuple[str, ...] = ("backbeat", "four-on-the-floor")
    other_db: float = 0.0


RUNGS = (
    InLineRung(
        id="spoken",
        new=Template("in_line.rung.1", "the same one, or one beat off; the sheet and a voice count the first record"),
        tempo_bpm=(96, 112),
        grooves=TAKING_TURNS,
        others=("backbeat",),
        ask=Ask.SAME,
        apart=(0, 1, 3),
        help=VOICE_AND_SHEET,
    ),
    InLineRung(
        id="kick-below",
        new=Template("in_line.rung.2", "a kick on every beat below; the sheet counts the first record"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        others=("backbeat",),
        ask=Ask.SAME,
        apart=(0, 1, 3),
        help=SHEET,
    ),
    InLineRung(
        id="any-beats",
        new=Template("in_line.rung.3", "without help; the second record may lie any number of beats off"),
        tempo_bpm=(112, 128),
        grooves=(*FOURS, *TAKING_TURNS),
        ask=Ask.SAME,
        sharp_tells=False,
        apart=(0, 1, 2, 3),
    ),
    InLineRung(
        id="beats",
        new=Template("in_line.rung.4", "say where the second record is: a beat earlier or a beat later"),
        tempo_bpm=(112, 128),
        grooves=(*TAKING_TURNS, *FOURS),
        others=("backbeat",),
        ask=Ask.BEATS,
        apart=(0, 1, 3),
    ),
    InLineRung(
        id="half-bar",
        new=Template("in_line.rung.5", "a beat earlier, a beat later, or half a bar off"),
        tempo_bpm=(112, 130),
        grooves=(*TAKING_TURNS, *EARLY_OR_LATE, *FOURS),
        others=("backbeat", "broken-beat"),
        ask=Ask.BEATS,
        apart=(0, 1, 2, 3),
    ),
    InLineRung(
        id="softer",
        new=Template("in_line.rung.6", "with bass and chords, and the second record is softer"),
        tempo_bpm=(112, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        others=("four-on-the-floor", "broken-beat", "electro"),
        ask=Ask.BEATS,
        apart=(0, 1, 2, 3),
        other_db=-5.0,
        music=Music.ALL,
    ),
    InLineRung(
        id="bars",
        new=Template("in_line.rung.7", "on the same one: how many bars of the phrase lie between the records?"),
        tempo_bpm=(112, 128),
        grooves=(*FOURS, *TAKING_TURNS),
        ask=Ask.BARS,
        apart=(0, 1, 2, 3),
    ),
    InLineRung(
        id="bars-of-eight",
        new=Template("in_line.rung.8", "any bar of a phrase of eight"),
        tempo_bpm=(118, 130),
        grooves=FOURS,
        others=("four-on-the-floor", "disco"),
        ask=Ask.BARS,
        apart=(0, 2, 4, 6),
        phrase_bars=8,
    ),
    InLineRung(
        id="bars-in-music",
        new=Template("in_line.rung.9", "any bar of a phrase of eight, with bass and chords"),
        tempo_bpm=(112, 134),
        grooves=(*FOURS, *EARLY_OR_LATE),
        others=("four-on-the-floor", "electro", "broken-beat"),
        ask=Ask.BARS,
        apart=(0, 1, 2, 3, 4, 5, 6, 7),
        phrase_bars=8,
        other_db=-3.0,
        music=Music.ALL,
    ),
)


class InLine(ChoiceDrill[InLineRung]):
    """Two simultaneous records: in line, or how far apart?"""

    id = "in-line"
    place = 130
    ladder = 100
    title = Template("in_line.title", "In line")
    short = Template("in_line.short", "Say how far apart two records are.")
    asks = Template(
        "in_line.asks", "Two records play at once. Say whether they share the same one, or how far apart they are."
    )
    kind = Kind.CHOICE
    rungs = RUNGS
    records = 2
    marked_by = ("ask", "sharp_tells")

    def build(self, rung: InLineRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar, bars = source.metre.beats_per_bar, rung.phrase_bars
        cycle = bars if rung.ask is Ask.BARS else per_bar
        apart = tuple(n for n in rung.apart if n < cycle)
        off = draw_off(apart, rung.ask, rng)
        # The first record starts anywhere in its phrase and the second enters after a constant number of beats: only
        # their relation is informative.
        phrase, alone = bars * per_bar, ALONE_BARS * per_bar
        together = (bars + MORE_BARS) * per_bar
        first = int(rng.integers(phrase))
        entry = (first + alone - off * (per_bar if rung.ask is Ask.BARS else 1)) % phrase
        second = source.second(rung.others, rng)
        # Long enough for any start in the first phrase.
        form = f"verse:{bars + ALONE_BARS + bars + MORE_BARS}"
        one, other = (
            each.record(form, phrase_bars=bars, seed=int(rng.integers(2**31)), song=song)
            for each, song in ((source, rung.music.parts), (second, ()))
        )
        period_s = 60.0 / source.tempo_bpm
        return Trial(
            question=QUESTIONS[rung.ask](),
            arrangement=one.excerpt(first, alone + together, lead_in_s=LEAD_IN_S),
            period_s=period_s,
            help=rung.help,
            choices=choices(rung.ask, apart, cycle),
            expected=(NOT_SAME if off else SAME) if rung.ask is Ask.SAME else str(off),
            beside=(
                Part(
                    other.excerpt(entry, together),
                    start_s=LEAD_IN_S + alone * period_s,
                    level_db=rung.other_db,
                ),
            ),
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With how far they lie apart by the other counts, if beats fall together and it is among the choices."""
        ask = self.rung_of(trial).ask
        beats, bars = _apart(sound, beside[0]) if beside else (None, None)
        if beats is None or (ask is Ask.BARS and (beats or bars is None)):
            return None
        off = bars if ask is Ask.BARS else beats
        expected = (NOT_SAME if off else SAME) if ask is Ask.SAME else str(off)
        if expected not in [choice.key for choice in trial.choices]:
            return None
        return replace(trial, arrangement=sound, expected=expected, period_s=60.0 / sound.tempo_bpm)

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        says = {choice.key: choice.say for choice in trial.choices}
        it = says[str(trial.expected)]
        if score == 1.0:
            return (RIGHT(it=it),)
        rung = self.rung_of(trial)
        # Nobody knows where the drums of a recording fall.
        tells = rung.ask is not Ask.SAME or (rung.sharp_tells and trial.recorded is None)
        advice = ADVICE[rung.ask if tells else Ask.BEATS]
        return WRONG(it=it, said=says[str(given)]), advice()

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The second record's ones, or the ones of its phrases, and where the learner's answer puts them."""
        if not trial.counts_beside:  # not kept by earlier versions
            return SheetMarks()
        ask, count, other = self.rung_of(trial).ask, trial.count, trial.counts_beside[0]
        ones_s = other.phrase_starts_s if ask is Ask.BARS else other.ones_s
        marks = _ones(ones_s.tolist(), (SECOND_TURN if ask is Ask.BARS else SECOND_ONE)(), own=False)
        if result.mistaken not in (None, NOT_SAME):
            said_s = count.ones_s
            if ask is not Ask.SAME:
                unit_s = trial.period_s * (int(count.beat_in_bar.max()) if ask is Ask.BARS else 1)
                said_s = ones_s + unit_s * (int(str(result.given)) - int(str(trial.expected)))
            heard = (said_s > other.beats_s[0] - 1e-6) & (said_s < count.end_s - 1e-6)
            marks += _ones(said_s[heard].tolist(), YOURS(), own=True)
        return SheetMarks(tuple(marks))

    def beside_db(self, trial: Trial) -> float:
        """That of its rung."""
        return self.rung_of(trial).other_db

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """Both records as they were, and as they would have been by the answer; not where bars are asked for."""
        says = {choice.key: choice.say for choice in trial.choices}
        ask = self.rung_of(trial).ask
        if said not in says or ask is Ask.BARS:
            return ()
        part, per_bar = trial.beside[0], record.metre.beats_per_bar
        alone, beats = ALONE_BARS * per_bar, COMPARED_BARS * per_bar
        late = int(record.count.beat_in_bar[alone] - part.arrangement.count.beat_in_bar[0]) % per_bar
        took = {SAME: 0, NOT_SAME: 1}[str(said)] if ask is Ask.SAME else int(str(said))

        def sooner(by: int) -> tuple[Part, Part]:
            second = part.arrangement.excerpt(by % per_bar, beats)
            return Part(record.excerpt(alone, beats), trial.kit_seed), Part(second, part.kit_seed, 0.0, part.level_db)

        return both(sooner, (says[str(trial.expected)], 0), (says[str(said)], late - took))


def _apart(sound: Arrangement, other: Count) -> tuple[int | None, int | None]:
    """Beats and bars by which the other count is late; None where its beats fall elsewhere, or phrases differ."""
    count, per_bar, period_s = sound.count, sound.metre.beats_per_bar, 60.0 / sound.tempo_bpm
    first, last = (row_near(count, float(other.beats_s[row]), period_s) for row in (0, -1))
    if first is None or last is None or last - first != len(other) - 1:
        return None, None
    beats = int(count.beat_in_bar[first] - other.beat_in_bar[0]) % per_bar
    alike = int(count.bar_in_phrase.max()) == int(other.bar_in_phrase.max()) == sound.phrase_bars
    bars = int(count.bar_in_phrase[first] - other.bar_in_phrase[0]) % sound.phrase_bars
    return beats, bars if alike else None


def _ones(ones_s: list[float], say: Say, *, own: bool) -> list[SheetMark]:
    """A mark at each, the first with its words."""
    return [SheetMark(Shape.ONE, at_s, say if at_s == ones_s[0] else None, own) for at_s in ones_s]


def draw_off(apart: tuple[int, ...], ask: Ask, rng: np.random.Generator) -> int:
    """Offset of the second record. If only same or not is asked, both are equally likely."""
    if ask is Ask.SAME:
        others = [n for n in apart if n]
        return others[int(rng.integers(len(others)))] if rng.random() < 0.5 else 0
    return apart[int(rng.integers(len(apart)))]


def choices(ask: Ask, apart: tuple[int, ...], cycle: int) -> tuple[Choice, ...]:
    """The choices: a key is the number of beats or bars by which the second record is late, modulo the cycle."""
    if ask is Ask.SAME:
        return Choice(SAME, SAYS_SAME()), Choice(NOT_SAME, SAYS_NOT_SAME())
    return tuple(Choice(str(n), _says(ask, n, cycle)) for n in apart)


def _says(ask: Ask, n: int, cycle: int) -> Say:
    if n == 0:
        return TOGETHER[ask]()
    if 2 * n == cycle:
        return HALF[ask]()
    return plural(n, *LATER[ask]) if 2 * n < cycle else plural(cycle - n, *EARLIER[ask])


DRILL = InLine()
