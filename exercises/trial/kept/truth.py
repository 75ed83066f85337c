"""A trial's own truth: what its marking, sheet and verdict need, in short form, kept beside its answer.

A trial of any version is marked again from it, whatever the present drills make of its rung and seed.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Any

import msgspec
import numpy as np
from msgspec import Meta, Struct

from exercises.trial.kept.grid import (
    LEAST_S,
    Numbers,
    Rows,
    Second,
    Times,
    check_rows,
    check_times,
    pack_numbers,
    pack_rows,
    pack_times,
    unpack_count,
    unpack_rows,
    unpack_times,
)
from exercises.trial.kept.recorded import KeptRecorded
from exercises.trial.kept.trial_file import (
    MOST_CHOICES,
    Count,
    KeptChoice,
    Number,
    OneCues,
    Rules,
    Tally,
    Tempo,
    Text,
    Whole,
    check_asked,
    to_cues,
)
from exercises.trial.side_task import Key, SideMarks, SideTask, Task, mark_times
from exercises.trial.trial import Help, Kind, Trial
from synth.base.border import Unfit, fitted
from synth.base.sentences import Sentence, check_depth
from synth.score.arranging.truth import Truth
from synth.score.arranging.turns import SIGNALS, PhraseTurn
from synth.score.departures import Departed
from synth.score.metre import Count as Beats
from synth.score.metre import Metre

# Longest kept truth as JSON, and most things of a side task.
MOST_BYTES, MOST_THINGS = 200_000, 10_000
RATE_HZ = 48_000
# Fields that marking does not depend on but for words.
BESIDE = (
    "turns",
    "others",
    "question",
    "choices",
    "help",
    "side",
    "rests",
    "grooves",
    "second",
    "kit_seed",
    "tempo_wish",
    "groove_wish",
    "one_cues",
)
USUAL = (("metre", "4/4"), ("contrast", 1.0))

Moments = Annotated[list[Second], Meta(max_length=MOST_THINGS)]
# A key each: l or r.
Keys = Annotated[str, Meta(pattern="^[lr]*$", max_length=MOST_THINGS)]
Stretches = Annotated[list[Rows], Meta(max_length=MOST_THINGS)]


class KeptHelp(Struct, frozen=True, omit_defaults=True):
    """The fields of ``Help``."""

    sheet: bool = False
    voice: bool = False
    voice_beats: Tally | None = None


class KeptCount(Struct, frozen=True):
    """A count in short form."""

    beats_s: Times
    numbers: Numbers
    end_s: Second

    def check(self) -> int:
        """Number of beats; ``Unfit`` unless times and numbers are as many, and such as a count has."""
        beats, last_s = check_times("beats_s", self.beats_s)
        if not beats or beats != sum(each.beats for each in self.numbers):
            raise Unfit("'numbers': those of every beat, and one beat at least, expected")
        if any(each.beat_in_bar > each.per_bar for each in self.numbers):
            raise Unfit("'numbers': beats of the bar expected")
        if self.end_s < last_s + LEAST_S:
            raise Unfit("'end_s': a time after the last of beats_s expected")
        return beats

    def count(self) -> Beats:
        """The count."""
        return unpack_count(self.beats_s, self.numbers, self.end_s)


class KeptSide(Struct, frozen=True, omit_defaults=True):
    """A side task as it was shown and answered, in seconds of the sound."""

    task: Task
    shown_s: Moments
    keys: Keys
    answered_s: Moments = []
    answers: Keys = ""

    def marks(self) -> SideMarks:
        """What the answers were worth."""
        shown, given = (
            [Key.LEFT if each == "l" else Key.RIGHT for each in keys] for keys in (self.keys, self.answers)
        )
        return mark_times(self.shown_s, shown, zip(self.answered_s, given, strict=True))


class KeptTruth(Struct, frozen=True, omit_defaults=True, kw_only=True):
    """What ``Trial`` holds but for its sound, and for what the logbook has in columns (drill, rung, seed, version).

    ``targets`` are rows of the count; where they are none, ``targets_s`` are times. ``rests`` are rows of the count
    without a drum; ``turns`` rows of the count on which phrases turn, each with its signals (a sum of powers of two,
    see ``SIGNALS``); ``others`` the counts of records beside the first, ``grooves`` theirs; ``side`` the side task,
    None without one or where its answers were not kept. ``recorded`` is the learner's recording, ``second``
    the one beside it or that a press starts. ``one_cues`` are the numbers of what ``Trial.tells_the_one`` says.
    """

    kind: Kind
    then: Kind = Kind.NONE
    question: Sentence
    period_s: Annotated[float, Meta(ge=0.1, le=3.0)]
    tempo_bpm: Tempo
    metre: Text = "4/4"
    beats_s: Times
    numbers: Numbers
    end_s: Second
    phrase_bars: Count
    intro_bars: Tally = 0
    targets: Stretches = []
    targets_s: Times = []
    expected: Text | Annotated[int, Meta(ge=-(10**6), le=10**6)] | Number | None = None
    choices: Annotated[list[KeptChoice], Meta(max_length=MOST_CHOICES)] = []
    exceptions: Annotated[list[tuple[Text, Second, Tally]], Meta(max_length=MOST_CHOICES)] = []
    rests: Stretches = []
    turns: Annotated[list[tuple[Whole, Whole]], Meta(max_length=MOST_THINGS)] = []
    others: Annotated[list[KeptCount], Meta(max_length=MOST_CHOICES)] = []
    help: KeptHelp | None = None
    kit_seed: Whole = 0
    contrast: Annotated[float, Meta(ge=0, le=1)] = 1.0
    rules: Rules = {}
    tempo_wish: Tempo | None = None
    groove_wish: Text | None = None
    grooves: Annotated[list[Text], Meta(max_length=MOST_CHOICES)] = []
    side: KeptSide | None = None
    one_cues: OneCues = None
    recorded: KeptRecorded | None = None
    second: KeptRecorded | None = None

    def to_json(self) -> dict[str, Any]:
        """Plain values; what is as usual is left out."""
        data: dict[str, Any] = msgspec.to_builtins(self)
        return {name: value for name, value in data.items() if (name, value) not in USUAL}

    def like(self, other: KeptTruth) -> bool:
        """Whether both mark the same, in whatever words, and whatever was heard, wished for or done beside."""
        names = [name for name in self.__struct_fields__ if name not in BESIDE]
        keys, other_keys = ([choice.key for choice in each.choices] for each in (self, other))
        return keys == other_keys and all(getattr(self, name) == getattr(other, name) for name in names)

    def trial(self, drill: str, rung: int, seed: int, version: int, groove: str) -> Trial:
        """The trial: it can be marked and shown, and has no sound."""
        count = unpack_count(self.beats_s, self.numbers, self.end_s)
        rows = unpack_rows(self.targets)
        help = self.help or KeptHelp()
        return Trial(
            question=self.question.to_say(),
            arrangement=None,
            period_s=self.period_s,
            targets_s=count.beats_s[rows] if rows.size else unpack_times(self.targets_s),
            drill=drill,
            rung=rung,
            seed=seed,
            kind=self.kind,
            kit_seed=self.kit_seed,
            help=Help(help.sheet, help.voice, help.voice_beats),
            choices=tuple(each.to_choice() for each in self.choices),
            expected=self.expected,
            then=self.then,
            written=Truth(
                sample_rate_hz=RATE_HZ,
                tempo_bpm=self.tempo_bpm,
                metre=Metre.parse(self.metre),
                count=count,
                sections=(),
                intro_bars=self.intro_bars,
                phrase_bars=self.phrase_bars,
                seed=seed,
                version=version,
                turns=tuple(PhraseTurn(float(count.beats_s[row]), _signals(told)) for row, told in self.turns),
                exceptions=tuple(Departed(*each) for each in self.exceptions),
            ),
            groove=groove,
            contrast=self.contrast,
            version=version,
            rules=self.rules,
            tempo_wish=self.tempo_wish,
            groove_wish=self.groove_wish,
            rests=unpack_rows(self.rests),
            one_cues=to_cues(self.one_cues),
            others=tuple(each.count() for each in self.others),
            heard_in=None if self.recorded is None else self.recorded.recorded(),
            second_in=None if self.second is None else self.second.recorded(),
        )


def kept_truth(value: Any) -> KeptTruth:
    """The kept truth in plain values; ``Unfit`` names what is wrong. Of what passes a trial can be made."""
    truth = fitted(value, KeptTruth)
    beats = KeptCount(truth.beats_s, truth.numbers, truth.end_s).check()
    for other in truth.others:
        other.check()
    check_rows("targets", truth.targets, beats)
    check_rows("rests", truth.rests, beats)
    if any(row >= beats for row, _ in truth.turns):
        raise Unfit("'turns': rows of the count expected")
    targets, _ = check_times("targets_s", truth.targets_s)
    if truth.kind in (Kind.TAPS, Kind.PRESS) and not (targets or truth.targets):
        raise Unfit("'targets': at least one expected")
    try:
        Metre.parse(truth.metre)
    except ValueError as slip:
        raise Unfit(f"'metre': {slip}") from slip
    check_depth("question", [truth.question])
    check_depth("choices", [*truth.choices])
    check_asked(truth.kind, truth.then, truth.expected, [each.key for each in truth.choices])
    side = truth.side
    if side is not None and (len(side.keys) != len(side.shown_s) or len(side.answers) != len(side.answered_s)):
        raise Unfit("'side': one key for each time expected")
    return truth


def truth_of(
    trial: Trial, side: SideTask | None = None, answers: Iterable[tuple[float, Key]] = ()
) -> KeptTruth | None:
    """The truth of a trial to keep, with its side task and answers; None where it could not be read again."""
    try:
        return kept_truth(_packed(trial, None if side is None else _kept_side(side, answers)).to_json())
    except Unfit:
        return None


def _packed(trial: Trial, side: KeptSide | None) -> KeptTruth:
    count, truth = trial.count, trial.truth(RATE_HZ)
    per_bar = truth.metre.beats_per_bar
    first = max(0, (int(count.bar_number[0]) - 1) * per_bar + int(count.beat_in_bar[0]) - 1)
    periods_s, firsts = (60.0 / truth.tempo_bpm, trial.period_s), (first, 0)
    rows = np.flatnonzero(np.isin(count.beats_s, trial.targets_s))
    on_beats = rows.size == trial.targets_s.size
    told = trial.tells_the_one()
    help = KeptHelp(trial.help.sheet, trial.help.voice, trial.help.voice_beats)
    return KeptTruth(
        kind=trial.kind,
        then=trial.then,
        question=fitted(trial.question.to_json(), Sentence),
        period_s=trial.period_s,
        tempo_bpm=truth.tempo_bpm,
        metre=str(truth.metre),
        beats_s=pack_times(count.beats_s, periods_s, firsts),
        numbers=pack_numbers(count, per_bar, truth.phrase_bars),
        end_s=count.end_s,
        phrase_bars=truth.phrase_bars,
        intro_bars=truth.intro_bars,
        targets=pack_rows(rows) if on_beats else [],
        targets_s=[] if on_beats else pack_times(trial.targets_s, periods_s, firsts),
        expected=trial.expected,
        choices=[fitted({"key": each.key, **each.say.to_json()}, KeptChoice) for each in trial.choices],
        exceptions=[(str(odd.kind), odd.start_s, odd.bars) for odd in truth.exceptions],
        rests=pack_rows(trial.rest_rows()),
        turns=[
            (row, sum(1 << at for at, signal in enumerate(SIGNALS) if signal in turn.signals))
            for turn in truth.turns
            for row in np.flatnonzero(np.abs(count.beats_s - turn.time_s) <= 1e-6).tolist()
        ],
        others=[_kept_count(each, per_bar, truth.phrase_bars) for each in trial.counts_beside],
        help=None if help == KeptHelp() else help,
        kit_seed=trial.kit_seed,
        contrast=trial.contrast,
        rules=dict(trial.rules),
        tempo_wish=trial.tempo_wish,
        groove_wish=trial.groove_wish,
        grooves=[part.arrangement.groove for part in (*trial.beside, trial.entry) if part is not None],
        side=side,
        one_cues=None if told is None else [cue.value for cue in told],
        recorded=None if trial.recorded is None else KeptRecorded.of(trial.recorded),
        second=None if trial.second_recorded is None else KeptRecorded.of(trial.second_recorded),
    )


def _signals(told: int) -> tuple[str, ...]:
    return tuple(str(signal) for at, signal in enumerate(SIGNALS) if told >> at & 1)


def _kept_count(count: Beats, per_bar: int, phrase_bars: int) -> KeptCount:
    period_s = float(np.median(np.diff(np.append(count.beats_s, count.end_s))))
    return KeptCount(pack_times(count.beats_s, (period_s,)), pack_numbers(count, per_bar, phrase_bars), count.end_s)


def _kept_side(side: SideTask, answers: Iterable[tuple[float, Key]]) -> KeptSide:
    given = sorted(answers, key=lambda each: each[0])
    return KeptSide(
        task=side.task,
        shown_s=[thing.at_s for thing in side.things],
        keys="".join(thing.key.value[0] for thing in side.things),
        answered_s=[float(at_s) for at_s, _ in given],
        answers="".join(key.value[0] for _, key in given),
    )
