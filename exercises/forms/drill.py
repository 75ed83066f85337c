"""The interface of a drill: generate a trial from rung and seed, mark an answer.

A drill is a file or a room in ``exercises/drills`` that ends with ``DRILL = ...``. Most derive from ``TapDrill`` or
``ChoiceDrill`` and add the question, the rungs and the truth.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import replace
from enum import StrEnum
from functools import cache
from math import hypot
from typing import Any, Generic, get_type_hints

import numpy as np

from exercises.forms.old_rungs import row_of
from exercises.forms.on_records import on_records
from exercises.forms.rungs import R, pick_rung
from exercises.trial.replay import COMPARED, Version
from exercises.trial.result import Result
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import LOST_COUNT, Answer, Kind, Rule, Trial
from synth.base.arrays import Seconds
from synth.base.border import Unfit, fitted
from synth.base.draws import seeded
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import GrooveSource, Source
from synth.score.grooves import Groove
from synth.score.metre import Count
from synth.score.variation import varied
from synth.sound.kits import draw_kits, of_family

# Random streams of the groove's variation and of the kits.
VARIED, KITS = 1, 2
# Most records tried for one that meets its rung; of the rarest kind one in four does.
MOST_RECORDS = 200
LOST = Template("drill.lost_count", "You lost the count and said so: that helps more than a guess.")
NOT_ON_RECORDS = Template("drill.not_recorded", "{drill} is not practised on your own records.")
FIND_IT = Template("drill.find_it", "Hear it again with the count shown, and count along.")
UNSURE = Template("drill.unsure", "You could not tell and said so: that helps more than a guess.")
COMPARE = Template("drill.compare", "Hear it again, and compare.")
# Number of a drill's introduction.
INTRODUCTION = 0
# Up to this rung every trial has the same kits.
SAME_KITS_TO = 2


class Drill(ABC, Generic[R]):
    """A kind of trial.

    ``id`` names it in commands and in the logbook. ``ladder`` is its position in the order of beginning, ``place``
    seeds its trials and gives the difficulty of its first rung; a plan climbs ``main_rungs`` of its rungs, the others
    are for who wants them, and repeats it ``often`` times as often as other drills. ``introduction`` is a row that
    comes once before the first rung: it is answered and told, neither right nor wrong. ``title`` is its short name,
    ``asks`` the instruction, ``short`` the same in one line where that is long. ``gives`` names a number that is
    asked for. ``ends_on_answer``: the end of the sound is what is asked about, so that nobody can answer before.
    ``counts``: the question is answered by counting; otherwise who cannot tell has not lost the count.
    ``records`` says how many of the learner's own records it takes to practise on them: 0 where it cannot be, and
    ``not_on_records`` says why. ``asks_on_record`` takes the place of ``asks`` there, where that is true of the
    program's own sound alone. ``title_tells``: the title of a record may hold the answer, and is shown after it.
    ``marked_by`` names the columns of a rung that marking reads: a trial keeps them as its ``rules``.
    """

    id: str
    place: int
    ladder: int
    main_rungs: int = 99
    often: float = 1.0
    title: Template
    asks: Template
    short: Template | None = None
    gives: Template = Template("drill.gives", "Answer")
    kind: Kind
    rungs: tuple[R, ...]
    introduction: R | None = None
    ends_on_answer: bool = False
    counts: bool = True
    records: int = 0
    not_on_records: Template = NOT_ON_RECORDS
    asks_on_record: Template | None = None
    title_tells: bool = False
    marked_by: tuple[str, ...] = ()

    def task(self, *, on_record: bool) -> Say:
        """The instruction, as it is true of the program's own sound or of a record."""
        return (self.asks_on_record if on_record and self.asks_on_record else self.asks)()

    def brings(self, rung: R, *, on_record: bool) -> Say:
        """What a rung is, in a few words: on a record only what does not depend on the program's own sound."""
        return on_records(rung.help, self.on_record(rung)) if on_record else rung.new()

    def on_record(self, rung: R) -> Say | None:
        """What a rung asks on a record beside its help, if that tells it from others."""
        return None

    def make(
        self,
        rung: int,
        seed: int,
        *,
        tempo_bpm: float | None = None,
        groove: str | Groove | None = None,
        row: R | None = None,
        kit_family: str | None = None,
        recording: Source | None = None,
    ) -> Trial:
        """The trial of a rung and seed; a requested tempo, groove or family of kits changes nothing else.

        A groove that is drawn is played with a variation of this trial, a requested one as written. ``recording``
        plays in place of grooves, in its own tempo. ``row`` takes the place of the rung's, as an earlier version had
        it.

        ``Trouble`` for an unknown rung, groove or family and for a recording that does not serve, ``ValueError`` for
        a tempo out of range or a negative seed.
        """
        row = self.row_at(rung) if row is None else row
        rng = self._rng(rung, seed)
        chosen = row.draw_groove(rng, groove)
        tempo = row.draw_tempo(rng, chosen, tempo_bpm)
        source: Source
        if recording is not None:
            if not self.records:
                raise Trouble(self.not_on_records(drill=self.title()))
            row, source = replace(row, phrase_bars=recording.phrase_bars(row.phrase_bars)), recording
        elif groove is None:
            source = GrooveSource(varied(chosen, self._rng(rung, seed, VARIED)), tempo)
        else:  # what a learner asks for is played as written
            source = GrooveSource(chosen, tempo)
        trial = self.build(row, rng, source)
        first_kit, second_kit = self.draws_kits(rung, seed, kit_family)
        return replace(
            trial,
            kit_seed=first_kit,
            beside=tuple(replace(part, kit_seed=second_kit) for part in trial.beside),
            entry=trial.entry and replace(trial.entry, kit_seed=second_kit),
            drill=self.id,
            rung=rung,
            seed=seed,
            kind=self.kind,
            rules={name: plain(getattr(row, name)) for name in self.marked_by},
            tempo_wish=tempo_bpm,
            groove_wish=groove.name if isinstance(groove, Groove) else groove,
        )

    def row_at(self, rung: int) -> R:
        """The row of a rung (from 1) or of the introduction. ``Trouble`` for one that does not exist."""
        if rung == INTRODUCTION and self.introduction is not None:
            return self.introduction
        return pick_rung(self.rungs, rung, self.id)

    def rung_of(self, trial: Trial) -> R:
        """The rung of a trial as marking reads it: with the trial's own ``rules``, whatever the rungs are by now.

        ``Trouble`` for a rung that does not exist and a trial without its rules, and for a rule of another kind.
        """
        row = self.rungs[max(1, min(trial.rung, len(self.rungs))) - 1]
        ruled = [name for name in self.marked_by if name in trial.rules]
        if len(ruled) < len(self.marked_by):  # of a version that had fewer rules, or kept none
            row = row_of(self.id, self.rungs, trial.rung, trial.version)
        kind: Any = type(row)
        kinds = _kinds(kind)
        try:
            return replace(row, **{name: fitted(trial.rules[name], kinds[name]) for name in ruled})
        except Unfit as slip:
            raise Trouble(f"'rules': {slip}") from slip

    def draws(self, rung: int, seed: int) -> str:
        """Name of the groove that ``make`` draws where none is requested; raises as ``make`` does."""
        return self.row_at(rung).draw_name(self._rng(rung, seed))

    def draws_kits(self, rung: int, seed: int, family: str | None = None) -> tuple[int, int]:
        """Kits that ``make`` draws for the record and for a second one, apart from what is asked.

        The same two on the first rungs. ``Trouble`` for an unknown family.
        """
        kits = [0, 1, 2] if rung <= SAME_KITS_TO else draw_kits(self._rng(rung, seed, KITS), 3)
        first = of_family(kits[0], family)
        return first, kits[1] if kits[1] != first else kits[2]

    def _rng(self, rung: int, seed: int, *stream: int) -> np.random.Generator:
        """The generator of a trial, or of another ``stream`` beside it."""
        if seed < 0:
            raise ValueError(f"seed {seed}: 0 or more expected")
        return seeded(self.place, rung, seed, *stream)

    @abstractmethod
    def build(self, rung: R, rng: np.random.Generator, source: Source) -> Trial:
        """The trial but for drill, rung number, seed and kind; all randomness comes from ``rng``."""

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """The trial with ``sound``: its own with another count, since the grid of its recording was set right.

        ``beside`` are the counts of records that play together with it, in its time. None where what was asked has
        no answer by the other count. The trial then stays as it was marked.
        """
        return None

    def mark(self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True) -> Result:
        """Mark an answer; a lost count is wrong. Raises ``Trouble`` where it is missing or of the wrong kind.

        What the grid of a recording leaves unsure is added to ``uncertainty_ms``.
        """
        if trial.recorded is not None:
            uncertainty_ms = hypot(uncertainty_ms, trial.recorded.uncertainty_ms)
        if answer.lost and trial.kind is not Kind.NONE:
            result = Result(
                drill=trial.drill,
                rung=trial.rung,
                seed=trial.seed,
                right=False,
                score=0.0,
                verdict=(LOST(), FIND_IT()) if self.counts else (UNSURE(), COMPARE()),
                given=LOST_COUNT,
                expected=trial.expected,
            )
        else:
            result = self.mark_answer(trial, answer, uncertainty_ms=uncertainty_ms, calibrated=calibrated)
        introduces = self.introduction is not None and trial.rung == INTRODUCTION
        return replace(result, right=None) if introduces else result

    @abstractmethod
    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        """``mark`` for an answer other than a lost count."""

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks | None:
        """What a marked trial's count sheet shows beside count and taps; None where the sheet tells nothing."""
        return SheetMarks()

    def versions(self, trial: Trial, result: Result) -> tuple[Version, ...]:
        """After a wrong answer: what it was and what the learner took it for, to be heard one after the other.

        Of a choice that the learner could not make, what it was and the others. Empty where they cannot be heard,
        and for a trial that has no sound.
        """
        said, record = result.mistaken, trial.arrangement
        if record is None:
            return ()
        if said is not None:
            return self.both_ways(trial, record, said)
        return self.with_others(trial, record) if result.given == LOST_COUNT and not self.counts else ()

    def with_others(self, trial: Trial, record: Arrangement) -> tuple[Version, ...]:
        """The right choice, then each of the others."""
        pairs = [
            self.both_ways(trial, record, choice.key) for choice in trial.choices if choice.key != trial.expected
        ]
        others = (replace(other, label=COMPARED()) for _, other in pairs)
        return (pairs[0][0], *others) if pairs else ()

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """``versions`` for a wrong answer ``said``; ``record`` is the trial's."""
        return ()

    def presses_s(self, trial: Trial, answer: Answer) -> Seconds:
        """The presses that count, in s of the sound."""
        return answer.taps_s

    def beside_db(self, trial: Trial) -> float:
        """Level of the record that plays beside the first, relative to it."""
        return 0.0

    def answers(self, trial: Trial) -> tuple[str | float, ...]:
        """All answers that could be guessed: the choices, or every beat of a phrase; empty for taps.

        A drill that asks for a number gives its own.
        """
        if trial.choices:
            return tuple(choice.key for choice in trial.choices)
        if Kind.POSITION in (trial.kind, trial.then):
            bars, beats = trial.truth().phrase_bars, int(trial.count.beat_in_bar.max())
            return tuple(f"{bar}.{beat}" for bar in range(1, bars + 1) for beat in range(1, beats + 1))
        return ()

    def chance(self, trial: Trial) -> float:
        """Probability of a right answer by guessing."""
        return 0.0


@cache
def _kinds(row: Any) -> dict[str, Any]:
    """Types of a row's columns."""
    return get_type_hints(row, include_extras=True)


def plain(value: object) -> Rule:
    """A column of a rung as a plain value."""
    return value.value if isinstance(value, StrEnum) else value  # type: ignore[return-value]


def promised(
    rng: np.random.Generator, sound: Callable[[int], Arrangement], keeps: Callable[[Arrangement], bool]
) -> Arrangement:
    """The first sound from ``rng`` that ``keeps`` what its rung promises, or the last of ``MOST_RECORDS``.

    Exceptions and turns are drawn with the record: they may fall beyond the end of the sound, or be absent. Of a
    recording nobody knows of any, so that the first one is taken.
    """
    for _ in range(MOST_RECORDS):
        found = sound(int(rng.integers(2**31)))
        if found.recorded is not None or keeps(found):
            break
    return found
