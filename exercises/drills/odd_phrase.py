"""The odd phrase: which phrase was longer or shorter, and by how many bars?"""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.pools import FOURS, MIXED
from exercises.forms.rungs import Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.replay import OTHERS, Version, both
from exercises.trial.result import Result
from exercises.trial.sheet_marks import YOUR_ANSWER, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Help, Kind, Part, Trial
from synth.base.words import Say, Template, plural
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.form import Form

# One section a phrase, short enough not to be divided.
UNDIVIDED = 99


@dataclass(frozen=True, slots=True, kw_only=True)
class OddRung(Rung):
    """``phrases`` are compared; one of ``odd`` (from 1) differs by one of ``by_bars``."""

    phrases: int
    odd: tuple[int, ...]
    by_bars: tuple[int, ...]
    signals: tuple[str, ...] | None = None

    @property
    def total_bars(self) -> int:
        """Bars that sound for any odd phrase: all at their longest, and two bars of the next."""
        return self.phrases * self.phrase_bars + max(0, *self.by_bars) + 2


RUNGS = (
    OddRung(
        id="spoken",
        new=Template(
            "odd_phrase.rung.1", "the second or third of three phrases is two bars longer or shorter; a voice counts"
        ),
        tempo_bpm=(120, 126),
        grooves=FOURS,
        help=Help(voice=True),
        phrases=3,
        odd=(2, 3),
        by_bars=(-2, 2),
    ),
    OddRung(
        id="two-bars",
        new=Template("odd_phrase.rung.2", "two bars longer or shorter, without the voice"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        phrases=3,
        odd=(2, 3),
        by_bars=(-2, 2),
    ),
    OddRung(
        id="four-phrases",
        new=Template("odd_phrase.rung.3", "four phrases"),
        tempo_bpm=(118, 128),
        grooves=MIXED,
        phrases=4,
        odd=(2, 3, 4),
        by_bars=(-2, 2),
    ),
    OddRung(
        id="first-too",
        new=Template("odd_phrase.rung.4", "the odd phrase may be the first"),
        tempo_bpm=(118, 130),
        grooves=MIXED,
        phrases=4,
        odd=(1, 2, 3, 4),
        by_bars=(-2, 2),
    ),
    OddRung(
        id="one-bar",
        new=Template("odd_phrase.rung.5", "a single bar more or less"),
        tempo_bpm=(118, 130),
        grooves=MIXED,
        phrases=4,
        odd=(2, 3, 4),
        by_bars=(-1, 1),
    ),
    OddRung(
        id="eight-bars",
        new=Template("odd_phrase.rung.7", "phrases of eight bars, two bars more or less"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        phrase_bars=8,
        phrases=3,
        odd=(1, 2, 3),
        by_bars=(-2, 2),
    ),
    OddRung(
        id="no-crash",
        new=Template("odd_phrase.rung.6", "no crash on the turn, with bass and chords"),
        tempo_bpm=(120, 132),
        grooves=MIXED,
        phrases=4,
        odd=(1, 2, 3, 4),
        by_bars=(-1, 1),
        signals=(Signal.FILL, Signal.BEAT_WITHOUT_DRUMS),
        music=Music.ALL,
    ),
    OddRung(
        id="one-bar-of-eight",
        new=Template("odd_phrase.rung.8", "phrases of eight bars, a single bar more or less"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        phrase_bars=8,
        phrases=4,
        odd=(1, 2, 3, 4),
        by_bars=(-1, 1),
        music=Music.ALL,
    ),
    OddRung(
        id="any-groove",
        new=Template("odd_phrase.rung.9", "one or two bars, longer or shorter, on any groove"),
        tempo_bpm=(122, 138),
        grooves=(*MIXED, "broken-beat", "half-time", "two-step"),
        phrase_bars=8,
        phrases=4,
        odd=(3, 4),
        by_bars=(-2, -1, 1, 2),
        music=Music.ALL,
    ),
)

NTH = {
    1: Template("odd_phrase.nth.1", "first"),
    2: Template("odd_phrase.nth.2", "second"),
    3: Template("odd_phrase.nth.3", "third"),
    4: Template("odd_phrase.nth.4", "fourth"),
}
ONE_LONGER, LONGER = (
    Template("odd_phrase.one_longer", "{nth}, one bar longer"),
    Template("odd_phrase.longer", "{nth}, {n} bars longer"),
)
ONE_SHORTER, SHORTER = (
    Template("odd_phrase.one_shorter", "{nth}, one bar shorter"),
    Template("odd_phrase.shorter", "{nth}, {n} bars shorter"),
)

NAMED = Template("odd_phrase.named", "{nth}: {bars}")
ONE_BAR, BARS = Template("odd_phrase.one_bar", "one bar"), Template("odd_phrase.bars", "{n} bars")
RIGHT = Template("odd_phrase.right", "It was the {answer}; the others had {n} bars.")
WRONG = Template("odd_phrase.wrong", "It was the {answer}; the others had {n} bars.")
OTHER_PHRASE = Template(
    "odd_phrase.other_phrase", "You had by how much, but not which: put up a finger for every phrase that begins."
)
OTHER_LENGTH = Template(
    "odd_phrase.other_length", "You had the right phrase and the right way: count its bars, a number on every one."
)
OTHER_WAY = Template(
    "odd_phrase.other_way",
    "You had the right phrase, the wrong way round: a short phrase turns before you expect it.",
)
COUNT_EACH = Template("odd_phrase.count_each", "Count each phrase from 1 again and keep its last number in mind.")


class OddPhrase(ChoiceDrill[OddRung]):
    """Which phrase, and by how many bars, in one answer: ``3+2`` is phrase 3, two bars longer.

    Every combination of the rung is offered. The record continues after the phrases up to a constant length.
    """

    id = "odd-phrase"
    place = 90
    ladder = 160
    title = Template("odd_phrase.title", "The odd phrase")
    short = Template("odd_phrase.short", "Find the phrase that is longer or shorter.")
    asks = Template(
        "odd_phrase.asks",
        "One phrase is longer or shorter than the rest. Which, and by how many bars? The unfinished "
        "phrase at the end does not count.",
    )
    kind = Kind.CHOICE
    rungs = RUNGS
    not_on_records = Template(
        "odd_phrase.not_on_records",
        "{drill} is not practised on your own records: by their count all phrases are of one length.",
    )

    def build(self, rung: OddRung, rng: np.random.Generator, source: Source) -> Trial:
        pairs = [(odd, by) for odd in rung.odd for by in rung.by_bars]
        odd, by = pairs[int(rng.integers(len(pairs)))]
        bars = [rung.phrase_bars + by * (at == odd) for at in range(1, rung.phrases + 1)]
        bars += [rung.phrase_bars] * 3
        record = source.record(
            Form(tuple(("verse", each) for each in bars)),
            phrase_bars=UNDIVIDED,
            seed=int(rng.integers(2**31)),
            song=rung.music.parts,
            signals=rung.signals,
        )
        beats = rung.total_bars * source.metre.beats_per_bar
        arrangement = replace(record.excerpt(0, beats, lead_in_s=LEAD_IN_S), phrase_bars=rung.phrase_bars)
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
            choices=tuple(Choice(_key(*each), _words(*each)) for each in pairs),
            expected=_key(odd, by),
        )

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        """Right, or which half of the answer was."""
        says = {choice.key: choice.say for choice in trial.choices}
        answer, n = says[str(trial.expected)], trial.truth().phrase_bars
        if score == 1.0:
            return (RIGHT(answer=answer, n=n),)
        (odd, by), (odd_given, by_given) = _read(str(trial.expected)), _read(str(given))
        if odd != odd_given:
            why = OTHER_PHRASE() if by == by_given else COUNT_EACH()
        else:
            why = OTHER_LENGTH() if by * by_given > 0 else OTHER_WAY()
        return WRONG(answer=answer, n=n), why

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """How many bars each whole phrase had, the odd one, and the one that the learner named."""
        count = trial.count
        starts_s, bars = count.phrase_starts_s.tolist(), np.unique(count.phrase_number, return_counts=True)[1]
        per_bar, (odd, _) = int(count.beat_in_bar.max()), _read(str(trial.expected))
        marks = [
            SheetMark(Shape.RING if at == odd else Shape.FLAG, at_s, plural(int(beats) // per_bar, ONE_BAR, BARS))
            for at, (at_s, beats) in enumerate(zip(starts_s[:-1], bars[:-1], strict=True), 1)
        ]
        if result.mistaken is not None:
            said, by = _read(str(result.mistaken))
            if said != odd and said <= len(starts_s):
                named = YOUR_ANSWER(answer=_words(said, by))
                marks.append(SheetMark(Shape.RING, starts_s[said - 1], named, own=True))
        return SheetMarks(tuple(marks))

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """The odd phrase and the one that was named, or where only its length was wrong another one."""
        count, per_bar = trial.count, int(trial.count.beat_in_bar.max())
        (odd, _), (took, _) = _read(str(trial.expected)), _read(str(said))
        label = OTHERS() if took == odd else None
        took = odd % 2 + 1 if took == odd else took

        def phrase(at: int) -> tuple[Part]:
            """With the one of the next phrase, where it turns."""
            rows = np.flatnonzero(count.phrase_number == at)
            return (
                Part(record.excerpt(int(rows[0]), min(rows.size + 1, len(count) - int(rows[0]))), trial.kit_seed),
            )

        def named(at: int) -> tuple[Say, int]:
            bars = int(np.sum(count.phrase_number == at)) // per_bar
            return NAMED(nth=NTH[at](), bars=plural(bars, ONE_BAR, BARS)), at

        return both(phrase, named(odd), named(took), label)


def _key(odd: int, by_bars: int) -> str:
    return f"{odd}{by_bars:+d}"


def _read(key: str) -> tuple[int, int]:
    return int(key[0]), int(key[1:])


def _words(odd: int, by_bars: int) -> Say:
    one, many = (ONE_LONGER, LONGER) if by_bars > 0 else (ONE_SHORTER, SHORTER)
    nth = NTH[odd]()
    return one(nth=nth) if abs(by_bars) == 1 else many(nth=nth, n=abs(by_bars))


DRILL = OddPhrase()
