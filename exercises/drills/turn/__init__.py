"""The turn: press as a new phrase begins; the length of the phrases is not announced."""

import math
from dataclasses import replace

import numpy as np

from exercises.drills.turn import words
from exercises.drills.turn.rungs import INTRODUCTION, RUNGS, TurnRung
from exercises.forms.drill import Drill, promised
from exercises.forms.signs import turn_marks
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.offset import Offset, offset
from exercises.trial.habit import asked_for
from exercises.trial.marking import mark_taps, tap_score
from exercises.trial.result import Result, TapMarks
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import Answer, Kind, Trial
from exercises.trial.verdict.tap_verdict import with_extra
from synth.base.arrays import Seconds
from synth.base.words import Say, Template, plural
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.departures import Departure
from synth.score.form import Form
from synth.score.metre import Count

# Share of presses with the same offset in whole beats beyond which it is a habit.
HABIT_SHARE = 0.5
# Share of equal intervals that makes presses regular.
REGULAR_SHARE = 0.7


class TurnDrill(Drill[TurnRung]):
    """Press as the phrase turns.

    The first turn is for finding out: presses until a bar after it are ignored. So nothing is required but the
    length of the phrase that it reveals.
    """

    id = "turn"
    place = 70
    ladder = 70
    title = Template("turn.title", "The turn of the phrase")
    short = Template("turn.short", "Press once as each new phrase begins.")
    asks = Template(
        "turn.asks",
        "Press once as each new phrase begins. The first turn is for finding out how long the phrases are.",
    )
    kind = Kind.PRESS
    rungs = RUNGS
    records = 1
    introduction = INTRODUCTION
    marked_by = ("window_beats",)

    def build(self, rung: TurnRung, rng: np.random.Generator, source: Source) -> Trial:
        length = source.turn_bars(rung.lengths[int(rng.integers(len(rung.lengths)))])
        start_bar = int(rng.random() * length) if rung.cold else 0
        per_bar = source.metre.beats_per_bar
        # Phrases of a recording may be longer than those of the rung: its second turn sounds, too.
        bars = max(rung.total_bars, 2 * length - start_bar + 1)

        def sound(record_seed: int) -> Arrangement:
            record = source.record(
                Form((("verse", length * (-(-(start_bar + bars) // length))),)),
                phrase_bars=length,
                seed=record_seed,
                song=rung.music.parts,
                exceptions=rung.traps,
                signals=rung.signals,
            )
            return record.excerpt(start_bar * per_bar, bars * per_bar, lead_in_s=LEAD_IN_S)

        def misleads(sound: Arrangement) -> bool:
            last_s = float(_turns_s(sound.count.phrase_starts_s)[-1])
            heard = {odd.kind for odd in sound.exceptions if LEAD_IN_S + 1e-6 < odd.start_s < last_s}
            if not rung.heard_traps:
                return Departure.FALSE_TURN not in rung.traps or Departure.FALSE_TURN in heard
            silent = Departure.SILENT_TURN
            silent_s = [odd.start_s for odd in sound.exceptions if odd.kind == silent]
            counted = np.isclose(_turns_s(sound.count.phrase_starts_s)[1:, None], silent_s).any()
            return heard | {silent} >= set(rung.traps) and (silent not in rung.traps or bool(counted))

        arrangement = promised(rng, sound, misleads)
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            targets_s=_turns_s(arrangement.count.phrase_starts_s)[1:],
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the turns of the other count."""
        targets_s = _turns_s(sound.count.phrase_starts_s)[1:]
        if not targets_s.size:
            return None
        return replace(trial, arrangement=sound, targets_s=targets_s, period_s=60.0 / sound.tempo_bpm)

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        rung = self.rung_of(trial)
        marks = self._marks(trial, rung, answer.taps_s, uncertainty_ms)
        presses = answer.taps_s[_counted(trial, answer.taps_s)]
        off = _off(trial, presses)
        middle = off[len(off) // 2] if off else None
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=bool(len(presses)) and asked_for(marks.targets, marks.hits, len(presses)),
            score=tap_score(marks),
            verdict=_verdict(trial, marks, answer.taps_s, off),
            taps=marks,
            figures={
                "phrase_bars": _phrase_bars(trial),
                "false_fill_presses": int(_at_false_fill(trial, presses).sum()),
                "off_bars": None if middle is None else middle.bars,
                "off_beats": None if middle is None else middle.beats,
                "off_ms": None if middle is None else round(middle.ms, 3) + 0.0,
            },
        )

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The turns with their signs, and what misled."""
        return SheetMarks(tuple(turn_marks(trial)))

    def chance(self, trial: Trial) -> float:
        """Probability that as many random presses as turns hit one turn each."""
        n, window_beats = len(trial.targets_s), self.rung_of(trial).window_beats
        return math.factorial(n) * (2 * window_beats / len(trial.count)) ** n

    def _marks(self, trial: Trial, rung: TurnRung, taps_s: Seconds, uncertainty_ms: float) -> TapMarks:
        return mark_taps(
            trial.targets_s,
            taps_s,
            trial.count,
            trial.period_s,
            uncertainty_ms,
            counted=_counted(trial, taps_s),
            within_s=rung.window_beats * trial.period_s,
        )


def _turns_s(phrase_starts_s: Seconds) -> Seconds:
    """The audible turns: not the start of the first phrase."""
    return phrase_starts_s[phrase_starts_s > LEAD_IN_S + 1e-6]


def _per_bar(trial: Trial) -> int:
    return int(trial.count.beat_in_bar.max())


def _phrase_bars(trial: Trial) -> int:
    return trial.truth().phrase_bars


def _counted(trial: Trial, taps_s: Seconds) -> slice:
    """Presses from a bar after the first turn until two beats after the sound."""
    from_s = _turns_s(trial.count.phrase_starts_s)[0] + _per_bar(trial) * trial.period_s
    until_s = trial.count.end_s + 2 * trial.period_s
    first, last = np.searchsorted(taps_s, [from_s, until_s]).tolist()
    return slice(first, last)


def _off(trial: Trial, presses_s: Seconds) -> list[Offset]:
    """Offset of each press from the nearest turn, sorted."""
    turns_s = _turns_s(trial.count.phrase_starts_s)
    if not len(presses_s):
        return []
    off_s = presses_s[:, None] - turns_s
    nearest = np.abs(off_s).argmin(axis=1)
    return [
        offset(each, trial.period_s, _per_bar(trial))
        for each in np.sort(off_s[np.arange(len(nearest)), nearest]).tolist()
    ]


def _at_false_fill(trial: Trial, presses_s: Seconds) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which presses fall from half a beat before a false fill to a beat after the downbeat that follows it."""
    found = np.zeros(len(presses_s), dtype=np.bool_)
    for odd in trial.truth().exceptions:
        if odd.kind == Departure.FALSE_FILL:
            bar_s = _per_bar(trial) * trial.period_s
            later = trial.count.ones_s[trial.count.ones_s > odd.start_s + 1e-6]
            end_s = float(later[0]) if len(later) else odd.start_s + bar_s
            found |= (presses_s > odd.start_s - trial.period_s / 2) & (presses_s < end_s + trial.period_s)
    return found


def _verdict(trial: Trial, marks: TapMarks, taps_s: Seconds, off: list[Offset]) -> tuple[Say, ...]:
    counted = _counted(trial, taps_s)
    presses_s = taps_s[counted]
    n, bar_s = _phrase_bars(trial), _per_bar(trial) * trial.period_s
    if not len(presses_s):
        return (words.BEFORE() if counted.start else words.AFTER() if len(taps_s) else words.NONE_CAME(),)
    if not marks.missed and not marks.extra:
        first = words.HAD_ONE() if marks.targets == 1 else words.HAD_ALL(hits=marks.hits, targets=marks.targets)
        middle = off[len(off) // 2]
        about = words.OFF_ONE if len(off) == 1 else words.OFF_ABOUT
        return first, about(off=middle.words) if middle.beats else words.LENGTH(n=n)
    met = words.HAD_MOST(hits=marks.hits, targets=marks.targets) if marks.hits else words.HAD_NONE()
    if marks.hits and marks.extra:
        met = (
            with_extra(marks, words.EXTRA_PRESSES)
            if marks.targets > 1
            else words.ONE_AND(extra=plural(marks.extra, *words.EXTRA_PRESSES))
        )
    gaps_bars = np.diff(presses_s) / bar_s
    every = float(np.median(gaps_bars)) if len(gaps_bars) else float(n)
    if marks.extra > marks.targets and every < 1.5:
        return (words.EVERY_BAR(n=n) if every > 0.75 else words.OFTEN(n=n),)
    if _at_false_fill(trial, presses_s).any():
        return met, words.AT_FALSE_FILL(n=n)
    false_s = [odd.start_s for odd in trial.truth().exceptions if odd.kind == Departure.FALSE_TURN]
    if any(np.abs(presses_s - at_s).min() < trial.period_s for at_s in false_s):
        return met, words.AT_FALSE_TURN(n=n)
    k = round(every)
    if marks.extra and 1 < k < n and np.mean(np.abs(gaps_bars - k) < 0.25) >= REGULAR_SHARE:
        return (words.EVERY_FEW(k=k, n=n),)
    whole = [(each.bars, each.beats) for each in off]
    usual = max(set(whole), key=lambda each: (whole.count(each), each))
    if usual != (0, 0) and len(whole) > 1 and whole.count(usual) > HABIT_SHARE * len(whole):
        steadily = words.STEADILY_EARLY if sum(usual) < 0 else words.STEADILY_LATE
        return steadily(off=Offset(*usual, 0.0).words), words.LENGTH(n=n)
    if len(whole) == 1 and usual != (0, 0):
        return words.OFF_ONE(off=off[0].words), words.COUNT_BARS(n=n)
    silent = [odd.start_s for odd in trial.truth().exceptions if odd.kind == Departure.SILENT_TURN]
    missed_s = np.delete(trial.targets_s, marks.pairs[:, 0])
    if marks.hits and any(np.abs(missed_s - at_s).min(initial=np.inf) < 1e-6 for at_s in silent):
        return met, words.MISSED_SILENT(n=n)
    return met, words.COUNT_BARS(n=n)


DRILL = TurnDrill()
