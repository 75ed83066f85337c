"""Faster: which of two successive excerpts is faster?"""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.pools import FOURS, TAKING_TURNS
from exercises.forms.rungs import Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.replay import Version, both
from exercises.trial.result import Result
from exercises.trial.sheet_marks import YOURS, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Kind, Part, Trial
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.sequence import cut, delayed, followed_by
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.grooves import Groove
from synth.score.metre import TEMPO_RANGE_BPM, Count, check_tempo

# Seconds of either excerpt, on a beat or not: duration must not be a cue.
EXCERPT_S = 6.0
PAUSE_S = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class FasterRung(Rung):
    """``gap_percent``: tempo difference. ``other_grooves``: the second excerpt may have another pattern.

    The differences end at the just noticeable one: 6 % after one interval, 3 % after six, at best 1.5 % (Drake &
    Botte 1993, Percept. Psychophys. 54, 277-286). Six seconds hold about ten beats.
    """

    gap_percent: float
    other_grooves: bool = False

    def draw_tempo(self, rng: np.random.Generator, groove: Groove, wish_bpm: float | None = None) -> float:
        """Any tempo of the rung, independent of the groove: the pattern must not be a cue."""
        drawn = float(rng.uniform(*self.tempo_bpm))
        return drawn if wish_bpm is None else check_tempo(wish_bpm)


PLAIN = (*TAKING_TURNS, *FOURS)
MANY = (*PLAIN, "electro", "rock")
RUNGS = (
    FasterRung(
        id="by-25",
        new=Template("faster.rung.1", "25 % faster, kick and snare"),
        tempo_bpm=(92, 124),
        grooves=TAKING_TURNS,
        gap_percent=25,
    ),
    FasterRung(
        id="by-18", new=Template("faster.rung.2", "18 % faster"), tempo_bpm=(92, 128), grooves=PLAIN, gap_percent=18
    ),
    FasterRung(
        id="by-13", new=Template("faster.rung.3", "13 % faster"), tempo_bpm=(92, 132), grooves=PLAIN, gap_percent=13
    ),
    FasterRung(
        id="by-10", new=Template("faster.rung.4", "10 % faster"), tempo_bpm=(90, 134), grooves=PLAIN, gap_percent=10
    ),
    FasterRung(
        id="by-8", new=Template("faster.rung.5", "8 % faster"), tempo_bpm=(90, 136), grooves=MANY, gap_percent=8
    ),
    FasterRung(
        id="other-pattern",
        new=Template("faster.rung.6", "10 % faster, in patterns that may differ"),
        tempo_bpm=(90, 136),
        grooves=MANY,
        gap_percent=10,
        other_grooves=True,
    ),
    FasterRung(
        id="by-6", new=Template("faster.rung.7", "6 % faster"), tempo_bpm=(88, 138), grooves=MANY, gap_percent=6
    ),
    FasterRung(
        id="by-4", new=Template("faster.rung.8", "4 % faster"), tempo_bpm=(88, 138), grooves=MANY, gap_percent=4
    ),
    FasterRung(
        id="by-3",
        new=Template("faster.rung.9", "3 % faster: few people hear less"),
        tempo_bpm=(88, 140),
        grooves=MANY,
        gap_percent=3,
    ),
    FasterRung(
        id="by-2",
        new=Template("faster.rung.10", "2 % faster: near the limit of hearing"),
        tempo_bpm=(88, 140),
        grooves=MANY,
        gap_percent=2,
    ),
)

FIRST, SECOND = Template("faster.first", "the first"), Template("faster.second", "the second")
CHOICES = (Choice("first", FIRST()), Choice("second", SECOND()))
RIGHT = Template("faster.right", "It was {faster}: {percent} % faster, at {fast} BPM against {slow}.")
WRONG = Template("faster.wrong", "It was {faster}: {percent} % faster, at {fast} BPM against {slow}.")
NOD = Template(
    "faster.nod", "Nod along with the first and keep nodding in the pause: does the second run ahead of you or drag?"
)
SMALL = Template("faster.small", "That is about as little as people hear, so a miss is no surprise.")
BUSY = Template("faster.busy", "A busier pattern can seem faster than it is. Listen to the beat alone.")

# Difference in percent up to which errors are expected (Drake & Botte 1993).
HARD_PERCENT = 3.0

BY = Template("faster.by", "{percent} % faster")
NAMED = Template("faster.named", "{which}, {tempo} BPM")
AT_TEMPO = Template("faster.at_tempo", "{tempo} BPM")


class Faster(ChoiceDrill[FasterRung]):
    """Which of two excerpts is faster?"""

    id = "faster"
    place = 120
    ladder = 140
    title = Template("faster.title", "Which is faster?")
    short = Template("faster.short", "Two excerpts: which is faster?")
    asks = Template("faster.asks", "You hear two excerpts with a pause between them. Which is faster?")
    asks_on_record = Template(
        "faster.asks_on_record",
        "You hear two excerpts of a record with a pause between them. Which is faster? "
        "It sounds higher, too: go by the beat.",
    )
    kind = Kind.CHOICE
    counts = False
    rungs = RUNGS
    records = 1
    marked_by = ("other_grooves",)

    def on_record(self, rung: FasterRung) -> Say:
        """How far the tempos are apart."""
        return BY(percent=rung.gap_percent)

    def build(self, rung: FasterRung, rng: np.random.Generator, source: Source) -> Trial:
        second_faster = bool(rng.integers(2))
        ratio = 1 + rung.gap_percent / 100
        # The drawn tempo is their geometric mean, and both stay in the playable range.
        low, high = TEMPO_RANGE_BPM
        middle = min(max(source.tempo_bpm, low * ratio**0.5 * 1.001), high / ratio**0.5 / 1.001)
        first_bpm, second_bpm = middle / ratio**0.5, middle * ratio**0.5
        if not second_faster:
            first_bpm, second_bpm = second_bpm, first_bpm
        other = source.another(rung.grooves, rng) if rung.other_grooves else source
        pair = [
            _excerpt(each.at(tempo_bpm), int(rng.integers(2**31)))
            for each, tempo_bpm in ((source, first_bpm), (other, second_bpm))
        ]
        first = cut(delayed(pair[0], LEAD_IN_S), LEAD_IN_S + EXCERPT_S)
        arrangement = _counted_apart(followed_by(first, cut(pair[1], EXCERPT_S), PAUSE_S))
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            period_s=60.0 / first_bpm,
            choices=CHOICES,
            expected="second" if second_faster else "first",
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the tempos of the other count: which is faster stays as it was."""
        arrangement = _counted_apart(sound)
        told = replace(trial, arrangement=arrangement, period_s=60.0 / sound.tempo_bpm)
        first_bpm, second_bpm = _tempos_bpm(told)
        return told if (second_bpm > first_bpm) == (trial.expected == "second") else None

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        """Both tempos, and how to hear the difference."""
        first_bpm, second_bpm = _tempos_bpm(trial)
        slow, fast = sorted((first_bpm, second_bpm))
        percent = 100 * (fast / slow - 1)
        words = (RIGHT if score == 1.0 else WRONG)(
            faster=SECOND() if trial.expected == "second" else FIRST(),
            percent=f"{percent:.0f}",
            fast=f"{fast:.1f}",
            slow=f"{slow:.1f}",
        )
        if score == 1.0:
            return (words,)
        if percent <= HARD_PERCENT + 0.1:
            return words, SMALL()
        return words, BUSY() if self.rung_of(trial).other_grooves else NOD()

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """Both tempos, the faster one ringed, and the one that the learner chose."""
        keys, starts_s = [choice.key for choice in trial.choices], trial.count.phrase_starts_s.tolist()
        marks = [
            SheetMark(Shape.RING if key == trial.expected else Shape.FLAG, at_s, AT_TEMPO(tempo=f"{tempo_bpm:.1f}"))
            for key, at_s, tempo_bpm in zip(keys, starts_s, _tempos_bpm(trial), strict=True)
        ]
        if result.mistaken in keys:
            marks.append(SheetMark(Shape.RING, starts_s[keys.index(str(result.given))], YOURS(), own=True))
        return SheetMarks(tuple(marks))

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """The faster excerpt and the one that was chosen, each with its tempo."""
        keys = [choice.key for choice in trial.choices]
        if said not in keys:
            return ()
        beats = int(np.searchsorted(trial.count.phrase_number, 2))
        halves = (0, beats - 1), (beats, len(trial.count) - beats)
        tempos_bpm = _tempos_bpm(trial)

        def excerpt(at: int) -> tuple[Part]:
            return (Part(record.excerpt(*halves[at]), trial.kit_seed),)

        def named(key: object) -> tuple[Say, int]:
            at = keys.index(str(key))
            return NAMED(which=trial.choices[at].say, tempo=f"{tempos_bpm[at]:.1f}"), at

        return both(excerpt, named(trial.expected), named(said))


def _excerpt(source: Source, seed: int) -> Arrangement:
    """Longer than an excerpt, without a turn that is made."""
    bars = 1 + int((EXCERPT_S + 1) * source.tempo_bpm / 60 / source.metre.beats_per_bar)
    return source.record(Form((("verse", bars),)), phrase_bars=bars, seed=seed, signals=())


def _counted_apart(sound: Arrangement) -> Arrangement:
    """Both excerpts, either counted as one phrase from bar 1: where in a record they lie is not told."""
    count = sound.count
    second = np.arange(len(count)) > int(np.diff(count.beats_s).argmax())
    first_bar = np.where(second, count.bar_number[second][0], count.bar_number[0])
    in_phrase = count.bar_number - first_bar + 1
    bar_number = in_phrase + np.where(second, int(in_phrase[~second][-1]), 0)
    apart = replace(count, bar_number=bar_number, bar_in_phrase=in_phrase, phrase_number=1 + second.astype(np.int64))
    starts_s = apart.phrase_starts_s
    turns = tuple(turn for turn in sound.turns if np.isclose(turn.time_s, starts_s).any())
    return replace(sound, count=apart, turns=turns)


def _tempos_bpm(trial: Trial) -> tuple[float, float]:
    """Tempos of both excerpts from their beats; the second begins with phrase 2. ``Trouble`` without two of them."""
    count = trial.count
    first, second = (np.diff(count.beats_s[count.phrase_number == number]) for number in (1, 2))
    if not (first.size and second.size):
        raise Trouble("two excerpts of two beats at least expected")
    return float(60 / np.median(first)), float(60 / np.median(second))


DRILL = Faster()
