"""Through: the drums pause for some bars; the learner keeps counting and taps the downbeat of their return.

The length of the pause is announced: a learner who counts enters with the drums, one who waits for them is late.
Higher rungs ask for every downbeat of the pause, and one for every beat. Only that gives enough taps to separate
timekeeper and motor variance: 32 intervals in eight bars.
"""

from dataclasses import replace

import numpy as np

from exercises.drills.through import words
from exercises.drills.through.rungs import RUNGS, Tapping, ThroughRung
from exercises.forms.drill import Drill
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.drift import HEARD_TEMPO_SHARE
from exercises.timing.window import row_near, window_s
from exercises.trial.habit import asked_for
from exercises.trial.marking import mark_taps, tap_score
from exercises.trial.result import Result, TapMarks
from exercises.trial.sheet_marks import SILENCE, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Kind, Trial
from exercises.trial.verdict.tap_verdict import SILENT, beat_name, timing
from synth.base.arrays import Seconds
from synth.base.words import Say, Template, plural
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.form import Form
from synth.score.metre import Count

__all__ = ["DRILL", "Tapping", "Through", "ThroughRung", "free_intervals_ms"]

AFTER_BARS = 2  # fewest bars after the return
FEWEST_FOR_DRIFT = 4  # fewest taps for a slope


class Through(Drill[ThroughRung]):
    """Count through the pause."""

    id = "through"
    place = 60
    ladder = 110
    title = Template("through.title", "Through the silence")
    short = Template("through.short", "Count on through the silence, and tap the one after it.")
    asks = Template("through.asks", "The music falls silent. Count on through it, and tap the one that follows.")
    kind = Kind.TAPS
    rungs = RUNGS
    records = 1
    marked_by = ("silent_bars", "taps", "back_beats", "alone")

    def on_record(self, rung: ThroughRung) -> Say:
        """How long it is silent."""
        return plural(rung.silent_bars, words.SILENT_BAR, words.SILENT_BARS)

    def build(self, rung: ThroughRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar = source.metre.beats_per_bar
        # The pause begins on a downbeat. The drums return in any bar of the phrase but the last, where a fill may
        # omit the drum on the downbeat.
        fewest, most = rung.before_bars
        into = int(rng.integers(per_bar)) if rung.any_beat else 0
        before = int(rng.integers(fewest, most + 1)) * per_bar + into
        back_bar = most + 1 + rung.silent_bars
        back_bar += -back_bar % rung.phrase_bars + int(rng.integers(rung.phrase_bars - 1))
        hush_bar, bars = back_bar - rung.silent_bars, back_bar + AFTER_BARS + most + 1 - fewest
        record = source.record(
            Form((("verse", -(-(bars + 1) // rung.phrase_bars) * rung.phrase_bars),)),
            phrase_bars=rung.phrase_bars,
            seed=int(rng.integers(2**31)),
            song=rung.music.parts,
            # None that pauses the drums or rises into the pause.
            signals=rung.signals,
        )
        # Constant total length: what sounds less before the pause sounds more after it.
        beats = (most + 1 + rung.silent_bars + AFTER_BARS) * per_bar
        late = rung.back_beats if _ahead(rung) else 0
        if rung.after_beats is not None:
            beats = (most + rung.silent_bars) * per_bar + late + rung.after_beats
        sound = record.excerpt(hush_bar * per_bar - before, beats, lead_in_s=LEAD_IN_S)
        count, back = sound.count, before + rung.silent_bars * per_bar
        help = rung.help if rung.voice_through else replace(rung.help, voice_beats=before)
        return Trial(
            question=plural(rung.silent_bars, *(words.ASKS_AHEAD if late else words.ASKS[rung.taps])),
            arrangement=sound.without(float(count.beats_s[before]), float(count.beats_s[back + late])),
            targets_s=_targets_s(rung, count, before, back),
            period_s=60.0 / source.tempo_bpm,
            help=help,
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the beats of the other count, if by it the silence begins on a one and has as many bars as was said.

        Where every beat is tapped it may begin on any of them.
        """
        rung, count, period_s = self.rung_of(trial), sound.count, 60.0 / sound.tempo_bpm
        silent = rung.silent_bars * sound.metre.beats_per_bar
        back_s = float(trial.targets_s[-1])
        hush, back = (row_near(count, at_s, period_s) for at_s in (_hush_s(trial, rung), back_s))
        if hush is None or back is None or back - hush != silent:
            return None
        if rung.taps is not Tapping.BEATS and count.beat_in_bar[hush] != 1:
            return None
        return replace(trial, arrangement=sound, targets_s=_targets_s(rung, count, hush, back), period_s=period_s)

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        rung = self.rung_of(trial)
        bar_s = trial.period_s * int(trial.count.beat_in_bar.max())
        back_s, taps_s = float(trial.targets_s[-1]), answer.taps_s
        hush_s = _hush_s(trial, rung)
        # A learner who taps only the return may tap along before: until the silence, or until half a bar before it.
        around_s = trial.period_s / 2 if rung.taps is Tapping.BEATS else bar_s / 2
        from_s = float(trial.targets_s[0]) - around_s
        if rung.taps is Tapping.RETURN and rung.alone:
            from_s = hush_s - trial.period_s / 2
        counted = slice(*np.searchsorted(taps_s, (from_s, back_s + around_s)).tolist())
        marks = mark_taps(trial.targets_s, taps_s, trial.count, trial.period_s, uncertainty_ms, counted)
        met = bool(len(marks.pairs)) and int(marks.pairs[-1, 0]) == len(trial.targets_s) - 1
        late = taps_s[(taps_s > hush_s - trial.period_s / 2) & (taps_s < back_s + AFTER_BARS * bar_s)]
        right = met and asked_for(marks.targets, marks.hits, marks.hits + marks.extra)
        drift_share = None
        if rung.taps is not Tapping.RETURN:
            drift_share = _drift_share(late[late < back_s + bar_s], float(np.median(np.diff(trial.targets_s))))
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=right,
            score=tap_score(marks),
            verdict=self._verdict(trial, rung, marks, taps_s, late, met, right, drift_share, calibrated),
            taps=marks,
            figures={
                "return_error_ms": round(float(marks.errors_ms[-1]), 3) if met else None,
                "drift_ms_per_bar": None if drift_share is None else round(1000 * drift_share * bar_s, 3),
            },
        )

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The silence, and the beat on which the drums came back."""
        rung, count = self.rung_of(trial), trial.count
        one = int(np.searchsorted(count.beats_s, trial.targets_s[-1] - 1e-6))
        hush = max(0, one - rung.silent_bars * int(count.beat_in_bar.max()))
        back = min(one + (rung.back_beats if _ahead(rung) else 0), len(count) - 1)
        hush_s, back_s = float(count.beats_s[hush]), float(count.beats_s[back])
        return SheetMarks(
            (
                SheetMark(Shape.SHADE, hush_s, SILENCE(), until_s=back_s),
                SheetMark(Shape.FLAG, back_s, words.BACK_HERE()),
            )
        )

    def chance(self, trial: Trial) -> float:
        """A single tap may hit the return by chance; several cannot."""
        if len(trial.targets_s) > 1:
            return 0.0
        return 2 * window_s(trial.period_s) / (trial.count.end_s - float(trial.count.beats_s[0]))

    def _verdict(
        self,
        trial: Trial,
        rung: ThroughRung,
        marks: TapMarks,
        taps_s: Seconds,
        late: Seconds,
        met: bool,
        right: bool,
        drift_share: float | None,
        calibrated: bool,
    ) -> tuple[Say, ...]:
        if not late.size:
            before = taps_s.size and taps_s[0] < trial.targets_s[-1]
            return (words.BEFORE() if before else words.AFTER() if taps_s.size else SILENT(),)
        drifted = None
        if drift_share is not None and abs(drift_share) > HEARD_TEMPO_SHARE:
            per_bar = int(trial.count.beat_in_bar.max())
            ms = round(abs(1000 * drift_share * trial.period_s * per_bar))
            drifted = (words.FAST if drift_share < 0 else words.SLOW)(ms=ms)
        if right:
            second = drifted or timing(marks, trial.period_s, calibrated)
            first = plural(
                rung.silent_bars,
                *((words.HAD_IT, words.HAD_IT_MANY) if _ahead(rung) else (words.BACK, words.BACK_MANY)),
            )
            return (first,) if second is None else (first, second)
        if met and drifted is None:
            few = rung.taps is not Tapping.RETURN and marks.extra <= marks.missed
            more = words.MORE_BEATS if rung.taps is Tapping.BEATS else words.MORE_TAPS
            return (words.LEFT_OUT(hits=marks.hits, targets=marks.targets) if few else more(),)
        return (drifted or _where(trial, late, _ahead(rung)),)


def _hush_s(trial: Trial, rung: ThroughRung) -> float:
    """When the silence begins."""
    bar_s = trial.period_s * int(trial.count.beat_in_bar.max())
    return float(trial.targets_s[-1]) - rung.silent_bars * bar_s


def _targets_s(rung: ThroughRung, count: Count, hush: int, back: int) -> Seconds:
    """What is to be tapped, of a silence between two rows of the count."""
    if rung.taps is Tapping.RETURN:
        return count.beats_s[back : back + 1]
    step = (back - hush) // rung.silent_bars if rung.taps is Tapping.ONES else 1
    return count.beats_s[hush : back + 1 : step]


def _ahead(rung: ThroughRung) -> bool:
    """Whether the drums come back after the one that is asked for."""
    return rung.taps is Tapping.RETURN and rung.back_beats > 0


def _where(trial: Trial, late: Seconds, ahead: bool) -> Say:
    """Offset of the tap nearest to the return, in beats or bars."""
    off = float(late[np.argmin(np.abs(late - trial.targets_s[-1]))] - trial.targets_s[-1]) / trial.period_s
    beats, per_bar = round(off), int(trial.count.beat_in_bar.max())
    if not beats or abs(off - beats) > 1 / 3:
        return words.BETWEEN()
    if beats % per_bar == 0:
        bars = beats // per_bar
        too_late = (words.LATE_BAR_AHEAD, words.LATE_BARS_AHEAD) if ahead else (words.LATE_BAR, words.LATE_BARS)
        return plural(bars, *too_late) if bars > 0 else plural(-bars, words.EARLY_BAR, words.EARLY_BARS)
    if 2 * abs(beats) == per_bar:
        beat = per_bar // 2 + 1
        return words.TURNED_ROUND.of(trial.tells_the_one(), [beat])(beat=beat_name(beat))
    if ahead and beats == 1:
        return words.WITH_DRUMS()
    return (
        plural(beats, words.LATE_BEAT, words.LATE_BEATS)
        if beats > 0
        else plural(-beats, words.EARLY_BEAT, words.EARLY_BEATS)
    )


def _drift_share(taps_s: Seconds, step_s: float) -> float | None:
    """Relative deviation of the tapped intervals from the true ones (positive: longer).

    Slope of the taps over the number of steps since the first, robust against omitted taps and a constant latency.
    None for too few taps, or another rate.
    """
    if taps_s.size < FEWEST_FOR_DRIFT:
        return None
    gaps_s = np.diff(taps_s)
    usual_s = float(np.median(gaps_s))
    at = np.concatenate([[0.0], np.cumsum(np.rint(gaps_s / usual_s))])
    at -= at.mean()
    share = float(at @ taps_s) / float(at @ at) / step_s - 1
    return share if abs(share) < 0.2 else None


def free_intervals_ms(trial: Trial, taps_s: Seconds) -> Seconds:
    """Intervals (n,) of the longest run of taps in the silence without omissions or extra taps; empty unless every
    beat was to be tapped there."""
    if trial.rules.get("taps") != Tapping.BEATS:
        return np.empty(0)
    within_s = trial.targets_s[[0, -1]] + trial.period_s / 2 * np.array([-1, 1])
    gaps_s = np.diff(taps_s[slice(*np.searchsorted(taps_s, within_s).tolist())])
    edges = np.concatenate([[-1], np.flatnonzero(np.rint(gaps_s / trial.period_s) != 1), [gaps_s.size]])
    longest = int(np.argmax(np.diff(edges)))
    return 1000 * gaps_s[edges[longest] + 1 : edges[longest + 1]]


DRILL = Through()
