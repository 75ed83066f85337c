"""The turn: press as a new phrase begins; the length of the phrases is not announced."""

import math
from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.drill import Drill, promised
from exercises.forms.pools import FOURS, MIXED
from exercises.forms.rungs import VOICE_AND_SHEET, Much, Music, Rung
from exercises.forms.signs import turn_marks
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.offset import Offset, offset
from exercises.trial.habit import asked_for
from exercises.trial.marking import mark_taps, tap_score
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import Answer, Help, Kind, Result, TapMarks, Trial
from exercises.trial.verdict.tap_verdict import with_extra
from synth.base.arrays import Seconds
from synth.base.words import Say, Template, plural
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure
from synth.score.form import Form
from synth.score.metre import Count

FALSE, SILENT = Departure.FALSE_FILL, Departure.SILENT_TURN


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnRung(Rung):
    """``lengths``: possible bars of a phrase; ``total_bars`` sound for any of them.

    ``signals`` announce the turns (None: any), ``traps`` are false fills, false and silent turns, ``cold``: the sound
    may begin in mid-phrase. A press counts within ``window_beats`` of the turn: less than a fill is long.
    ``heard_traps``: all of them are heard, a silent turn among those that count.
    """

    lengths: tuple[int, ...]
    total_bars: int
    signals: tuple[str, ...] | None = None
    traps: tuple[Departure, ...] = ()
    cold: bool = False
    window_beats: Much = 1.5
    heard_traps: bool = True


ALL = (4, 8, 16)
# Nothing on the turn itself: what announces it comes before.
AHEAD = (Signal.FILL, Signal.BEAT_WITHOUT_DRUMS)
RUNGS = (
    TurnRung(
        id="spoken",
        new=Template("turn.rung.1", "phrases of four or eight bars, which a voice counts"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        lengths=(4, 8),
        help=Help(voice=True),
        total_bars=18,
        signals=AHEAD,
    ),
    TurnRung(
        id="signs",
        new=Template("turn.rung.2", "without the voice"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        lengths=(4, 8),
        total_bars=18,
        signals=AHEAD,
    ),
    TurnRung(
        id="false-fill",
        new=Template("turn.rung.4", "one fill comes in mid-phrase, where nothing turns"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        lengths=(4, 8),
        total_bars=18,
        signals=AHEAD,
        traps=(FALSE,),
    ),
    TurnRung(
        id="six-too",
        new=Template("turn.rung.10", "four, six or eight bars, on any groove"),
        tempo_bpm=(118, 130),
        grooves=MIXED,
        lengths=(4, 6, 8),
        total_bars=18,
        signals=AHEAD,
        traps=(FALSE,),
    ),
    TurnRung(
        id="twelve-too",
        new=Template("turn.rung.11", "six, eight or twelve bars"),
        tempo_bpm=(120, 132),
        grooves=MIXED,
        lengths=(6, 8, 12),
        total_bars=26,
        signals=AHEAD,
        traps=(FALSE,),
        window_beats=1.25,
    ),
    TurnRung(
        id="sixteen",
        new=Template("turn.rung.6", "four, eight or sixteen bars"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        lengths=ALL,
        total_bars=34,
        signals=AHEAD,
        traps=(FALSE,),
        window_beats=1.25,
    ),
    TurnRung(
        id="false-turn",
        new=Template("turn.rung.7", "any sign may announce the turn, and one crash misleads; with bass and chords"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        lengths=ALL,
        total_bars=34,
        traps=(Departure.FALSE_TURN,),
        music=Music.ALL,
        window_beats=1.25,
    ),
    TurnRung(
        id="silent",
        new=Template("turn.rung.8", "one turn without a sign, found by counting alone"),
        tempo_bpm=(122, 134),
        grooves=MIXED,
        lengths=ALL,
        total_bars=34,
        traps=(SILENT,),
        window_beats=1.0,
    ),
    TurnRung(
        id="all",
        new=Template("turn.rung.9", "a false fill, a silent turn, and a start anywhere"),
        tempo_bpm=(122, 138),
        grooves=(*MIXED, "broken-beat", "two-step"),
        lengths=ALL,
        total_bars=52,
        traps=(FALSE, SILENT),
        cold=True,
        music=Music.ALL,
        window_beats=1.0,
    ),
)

INTRODUCTION = TurnRung(
    id="introduction",
    new=Template("turn.introduction", "phrases of four bars, which sheet and voice count; nothing is marked"),
    tempo_bpm=(118, 126),
    grooves=FOURS,
    help=VOICE_AND_SHEET,
    lengths=(4,),
    total_bars=10,
    signals=(Signal.FILL, Signal.CRASH),
)

NONE_CAME = Template("turn.none_came", "No press came in. Press once, on the first beat of every new phrase.")
BEFORE = Template(
    "turn.before", "Your presses came before the turns that count. Press on every turn after the first."
)
AFTER = Template("turn.after", "Your presses came when the music had stopped. Press while it sounds.")
HAD_ALL = Template("turn.had_all", "You caught every turn: {hits} of {targets}.")
HAD_ONE = Template("turn.had_one", "You caught the turn.")
HAD_MOST = Template("turn.had_most", "You caught {hits} of {targets}.")
EXTRA_PRESSES = Template("turn.extra.one", "one press too many"), Template("turn.extra.many", "{n} presses too many")
ONE_AND = Template("turn.one_and", "You caught the turn, with {extra}.")
HAD_NONE = Template("turn.had_none", "None of your presses met a turn.")
LENGTH = Template("turn.length", "The phrases are {n} bars long.")
OFF_ONE = Template("turn.off_one", "You were {off}.")
OFF_ABOUT = Template("turn.off_about", "Your presses came about {off}.")
AT_FALSE_FILL = Template(
    "turn.at_false_fill", "You pressed at the fill: it was in mid-phrase. Count on to the end of the {n} bars."
)
AT_FALSE_TURN = Template(
    "turn.at_false_turn", "You pressed at the crash: it was in mid-phrase. Count on to the end of the {n} bars."
)
EVERY_FEW = Template(
    "turn.every_few", "You pressed every {k} bars. These phrases are {n} bars long: count on to the end."
)
EVERY_BAR = Template("turn.every_bar", "You pressed in every bar. A phrase is longer: these turn after {n} bars.")
OFTEN = Template(
    "turn.often", "You pressed far more often than the phrases turn. Press only when {n} bars have passed."
)
STEADILY_EARLY = Template(
    "turn.steadily_early",
    "You were mostly {off}: press on the first beat after the last bar of the phrase.",
)
STEADILY_LATE = Template(
    "turn.steadily_late", "You were mostly {off}: count the bars, then the turn cannot surprise you."
)
MISSED_SILENT = Template(
    "turn.missed_silent", "One turn came without a sign. Only the count finds it: these phrases are {n} bars long."
)
COUNT_BARS = Template("turn.count_bars", "Count the bars, a number on every one: these phrases turn after {n}.")

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
            silent_s = [odd.start_s for odd in sound.exceptions if odd.kind == SILENT]
            counted = np.isclose(_turns_s(sound.count.phrase_starts_s)[1:, None], silent_s).any()
            return heard | {SILENT} >= set(rung.traps) and (SILENT not in rung.traps or bool(counted))

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
        return (BEFORE() if counted.start else AFTER() if len(taps_s) else NONE_CAME(),)
    if not marks.missed and not marks.extra:
        first = HAD_ONE() if marks.targets == 1 else HAD_ALL(hits=marks.hits, targets=marks.targets)
        middle = off[len(off) // 2]
        about = OFF_ONE if len(off) == 1 else OFF_ABOUT
        return first, about(off=middle.words) if middle.beats else LENGTH(n=n)
    met = HAD_MOST(hits=marks.hits, targets=marks.targets) if marks.hits else HAD_NONE()
    if marks.hits and marks.extra:
        met = (
            with_extra(marks, EXTRA_PRESSES)
            if marks.targets > 1
            else ONE_AND(extra=plural(marks.extra, *EXTRA_PRESSES))
        )
    gaps_bars = np.diff(presses_s) / bar_s
    every = float(np.median(gaps_bars)) if len(gaps_bars) else float(n)
    if marks.extra > marks.targets and every < 1.5:
        return (EVERY_BAR(n=n) if every > 0.75 else OFTEN(n=n),)
    if _at_false_fill(trial, presses_s).any():
        return met, AT_FALSE_FILL(n=n)
    false_s = [odd.start_s for odd in trial.truth().exceptions if odd.kind == Departure.FALSE_TURN]
    if any(np.abs(presses_s - at_s).min() < trial.period_s for at_s in false_s):
        return met, AT_FALSE_TURN(n=n)
    k = round(every)
    if marks.extra and 1 < k < n and np.mean(np.abs(gaps_bars - k) < 0.25) >= REGULAR_SHARE:
        return (EVERY_FEW(k=k, n=n),)
    whole = [(each.bars, each.beats) for each in off]
    usual = max(set(whole), key=lambda each: (whole.count(each), each))
    if usual != (0, 0) and len(whole) > 1 and whole.count(usual) > HABIT_SHARE * len(whole):
        words = Offset(*usual, 0.0).words
        return (STEADILY_EARLY if sum(usual) < 0 else STEADILY_LATE)(off=words), LENGTH(n=n)
    if len(whole) == 1 and usual != (0, 0):
        return OFF_ONE(off=off[0].words), COUNT_BARS(n=n)
    silent = [odd.start_s for odd in trial.truth().exceptions if odd.kind == Departure.SILENT_TURN]
    missed_s = np.delete(trial.targets_s, marks.pairs[:, 0])
    if marks.hits and any(np.abs(missed_s - at_s).min(initial=np.inf) < 1e-6 for at_s in silent):
        return met, MISSED_SILENT(n=n)
    return met, COUNT_BARS(n=n)


DRILL = TurnDrill()
