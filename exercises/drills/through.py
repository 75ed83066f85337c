"""Through: the drums pause for some bars; the learner keeps counting and taps the downbeat of their return.

The length of the pause is announced: a learner who counts enters with the drums, one who waits for them is late.
Higher rungs ask for every downbeat of the pause, and one for every beat. Only that gives enough taps to separate
timekeeper and motor variance: 32 intervals in eight bars.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from exercises.forms.drill import Drill
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Many, Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.drift import HEARD_TEMPO_SHARE
from exercises.timing.window import row_near, window_s
from exercises.trial.habit import asked_for
from exercises.trial.marking import mark_taps, tap_score
from exercises.trial.sheet_marks import SILENCE, Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Kind, Result, TapMarks, Trial
from exercises.trial.verdict.tap_verdict import SILENT, ByCue, beat_name, timing
from synth.base.arrays import Seconds
from synth.base.words import Say, Template, plural
from synth.score.arrangement import Arrangement
from synth.score.form import Form
from synth.score.metre import Count
from synth.score.source import Source
from synth.score.turns import Signal

AFTER_BARS = 2  # fewest bars after the return
FEWEST_FOR_DRIFT = 4  # fewest taps for a slope


class Tapping(StrEnum):
    """What is tapped: the downbeat of the return, every downbeat from the pause on, or every beat."""

    RETURN = "return"
    ONES = "ones"
    BEATS = "beats"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroughRung(Rung):
    """``silent_bars`` have no drums; ``before_bars`` (fewest, most) precede them.

    ``any_beat``: the sound starts anywhere in the bar. ``voice_through``: the voice, if any, counts during the
    pause. Where only the return is tapped, the drums come ``back_beats`` after it, so that nobody can react to them,
    and with ``alone`` any other tap in the silence is one too many. ``after_beats`` sound then (None: two bars).
    ``signals`` of turns: no crash, which would mark the one by itself.
    """

    silent_bars: Many
    before_bars: tuple[int, int] = (4, 7)
    taps: Tapping = Tapping.RETURN
    any_beat: bool = False
    voice_through: bool = False
    back_beats: int = 1
    alone: bool = True
    after_beats: int | None = None
    signals: tuple[str, ...] = (Signal.FILL,)


RUNGS = (
    ThroughRung(
        id="spoken",
        new=Template("through.rung.1", "one silent bar; sheet and voice count on"),
        tempo_bpm=(84, 120),
        grooves=TAKING_TURNS,
        silent_bars=1,
        any_tempo=True,
        help=VOICE_AND_SHEET,
        voice_through=True,
        before_bars=(2, 2),
        after_beats=1,
    ),
    ThroughRung(
        id="sheet",
        new=Template("through.rung.2", "two silent bars; the voice stops with the drums, the sheet goes on"),
        tempo_bpm=(84, 120),
        grooves=TAKING_TURNS,
        silent_bars=2,
        any_tempo=True,
        help=VOICE_AND_SHEET,
    ),
    ThroughRung(
        id="kick-on-every-beat",
        new=Template("through.rung.3", "two silent bars, a kick on every beat before; the sheet goes on"),
        tempo_bpm=(96, 132),
        grooves=FOURS,
        silent_bars=2,
        any_tempo=True,
        help=SHEET,
    ),
    ThroughRung(
        id="bare",
        new=Template("through.rung.4", "two silent bars without help"),
        tempo_bpm=(88, 132),
        grooves=(*TAKING_TURNS, *FOURS),
        silent_bars=2,
        any_tempo=True,
    ),
    ThroughRung(
        id="four-bars",
        new=Template("through.rung.5", "four silent bars, a bass before and after the silence"),
        tempo_bpm=(92, 132),
        grooves=(*TAKING_TURNS, *FOURS),
        silent_bars=4,
        any_tempo=True,
        music=Music.BASS,
    ),
    ThroughRung(
        id="ones",
        new=Template("through.rung.6", "four silent bars: tap the one of each silent bar"),
        tempo_bpm=(100, 130),
        grooves=(*TAKING_TURNS, *FOURS, "rock"),
        silent_bars=4,
        music=Music.BASS,
        taps=Tapping.ONES,
        any_beat=True,
    ),
    ThroughRung(
        id="any-beat",
        new=Template("through.rung.7", "patterns of many kinds, with bass and chords"),
        tempo_bpm=(100, 134),
        grooves=(*TAKING_TURNS, *EARLY_OR_LATE),
        silent_bars=4,
        music=Music.CHORDS,
        taps=Tapping.ONES,
        any_beat=True,
    ),
    ThroughRung(
        id="return-of-six",
        new=Template("through.rung.12", "six silent bars in a whole song, and nothing but the return to tap"),
        tempo_bpm=(96, 134),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        silent_bars=6,
        any_tempo=True,
        music=Music.ALL,
        any_beat=True,
    ),
    ThroughRung(
        id="return-of-eight",
        new=Template("through.rung.10", "eight silent bars, and nothing but the return to tap"),
        tempo_bpm=(104, 134),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        silent_bars=8,
        any_tempo=True,
        music=Music.ALL,
        any_beat=True,
    ),
    ThroughRung(
        id="beats",
        new=Template("through.rung.8", "eight silent bars: tap every beat of the silence"),
        tempo_bpm=(104, 130),
        grooves=(*TAKING_TURNS, *FOURS, *EARLY_OR_LATE),
        silent_bars=8,
        music=Music.CHORDS,
        taps=Tapping.BEATS,
        any_beat=True,
    ),
    ThroughRung(
        id="alike",
        new=Template("through.rung.11", "the drums are alike on one and three: bass and chords show the one"),
        tempo_bpm=(100, 130),
        grooves=(*FOURS, *TAKING_TURNS),
        silent_bars=4,
        music=Music.CHORDS,
        even=True,
        taps=Tapping.ONES,
        any_beat=True,
    ),
)

ASKS = {
    Tapping.RETURN: (
        Template(
            "through.asks.return.one",
            "The music will fall silent for one bar. Count on, and tap only the one on which it comes back.",
        ),
        Template(
            "through.asks.return.many",
            "The music will fall silent for {n} bars. Count on, and tap only the one on which it comes back.",
        ),
    ),
    Tapping.ONES: (
        Template(
            "through.asks.ones.one",
            "The music will fall silent for one bar. Tap its one, and the one on which it comes back.",
        ),
        Template(
            "through.asks.ones.many",
            "The music will fall silent for {n} bars. Tap the one of each silent bar, and the one of the return.",
        ),
    ),
    Tapping.BEATS: (
        Template(
            "through.asks.beats.one",
            "The music will fall silent for one bar. Tap each of its beats, and the one of the return.",
        ),
        Template(
            "through.asks.beats.many",
            "The music will fall silent for {n} bars. Tap every beat of the silence, and the one of the return.",
        ),
    ),
}

ASKS_AHEAD = (
    Template(
        "through.asks.ahead.one",
        "The music will fall silent for one bar. Count on, and tap only the one after it, a beat before the music "
        "is back.",
    ),
    Template(
        "through.asks.ahead.many",
        "The music will fall silent for {n} bars. Count on, and tap only the one after them, a beat before the "
        "music is back.",
    ),
)

HAD_IT = Template("through.had_it", "You had the one after one bar of silence; the music came a beat later.")
HAD_IT_MANY = Template(
    "through.had_it_many", "You had the one after {n} bars of silence; the music came a beat later."
)
WITH_DRUMS = Template(
    "through.with_drums", "You came in one beat late, with the music. Count on, and tap the one before it is back."
)
LATE_BAR_AHEAD = Template(
    "through.late_bar.ahead", "You came in one bar late. The one to tap is right after the last silent bar."
)
LATE_BARS_AHEAD = Template(
    "through.late_bars.ahead", "You came in {n} bars late. The one to tap is right after the last silent bar."
)
BACK = Template("through.back", "You came back in together with the music, after one bar of silence.")
BACK_MANY = Template("through.back_many", "You came back in together with the music, after {n} bars of silence.")
FAST = Template(
    "through.fast", "Your count ran fast in the silence, by about {ms} ms a bar. Nod, and let the last beat ring out."
)
SLOW = Template(
    "through.slow",
    "Your count ran slow in the silence, by about {ms} ms a bar. Keep your nod as large as with the music.",
)
# Said until version 0.2.0, and kept in logbooks.
CLOCK = Template("through.clock", "Your inner beat varied by about {clock_ms} ms, your hand by about {hand_ms} ms.")
EARLY_BAR = Template(
    "through.early_bar", "You came in one bar early. Say the number of each silent bar: 1 2 3 4, 2 2 3 4."
)
EARLY_BARS = Template(
    "through.early_bars", "You came in {n} bars early. Say the number of each silent bar: 1 2 3 4, 2 2 3 4."
)
LATE_BAR = Template(
    "through.late_bar", "You came in one bar late. The music comes back on the one right after the last silent bar."
)
LATE_BARS = Template(
    "through.late_bars", "You came in {n} bars late. The music comes back on the one right after the last silent bar."
)
TURNED_ROUND = ByCue(
    Template("through.turned_round", "You came in on {beat}, half a bar off. Start your count on the kick."),
    Template(
        "through.turned_round.pattern",
        "You came in on {beat}, half a bar off. Start your count where the pattern starts again.",
    ),
    Template(
        "through.turned_round.music",
        "You came in on {beat}, half a bar off. Start your count where the bass or the chords change.",
    ),
)
EARLY_BEAT = Template(
    "through.early_beat", "You came in one beat early. Count every beat of the silence, the last bar too."
)
EARLY_BEATS = Template(
    "through.early_beats", "You came in {n} beats early. Count every beat of the silence, the last bar too."
)
LATE_BEAT = Template(
    "through.late_beat", "You came in one beat late. Tap with the music as it comes back, not after it."
)
LATE_BEATS = Template(
    "through.late_beats", "You came in {n} beats late. Tap with the music as it comes back, not after it."
)
BETWEEN = Template(
    "through.between", "Your tap fell beside the one. Keep nodding all through the silence, then tap with the nod."
)
BEFORE = Template("through.before", "Your taps came before the silence. Count on through it, and tap what is asked.")
AFTER = Template(
    "through.after",
    "Your taps came long after the music was back. Count the bars of the silence, and tap with its return.",
)
MORE_TAPS = Template(
    "through.more_taps", "You met the return, but tapped around it as well. Count, and tap only the one."
)
MORE_BEATS = Template(
    "through.more_beats", "You met the return, but tapped more than the beat. Nod, and tap once with every nod."
)
LEFT_OUT = Template(
    "through.left_out", "You met the return, but only {hits} of {targets} in all. Keep tapping through the silence."
)

SILENT_BAR, SILENT_BARS = (
    Template("through.silent_bar", "one silent bar"),
    Template("through.silent_bars", "{n} silent bars"),
)
BACK_HERE = Template("through.back_here", "the music is back")


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
        return plural(rung.silent_bars, SILENT_BAR, SILENT_BARS)

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
            question=plural(rung.silent_bars, *(ASKS_AHEAD if late else ASKS[rung.taps])),
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
                SheetMark(Shape.FLAG, back_s, BACK_HERE()),
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
            return (BEFORE() if before else AFTER() if taps_s.size else SILENT(),)
        drifted = None
        if drift_share is not None and abs(drift_share) > HEARD_TEMPO_SHARE:
            per_bar = int(trial.count.beat_in_bar.max())
            ms = round(abs(1000 * drift_share * trial.period_s * per_bar))
            drifted = (FAST if drift_share < 0 else SLOW)(ms=ms)
        if right:
            second = drifted or timing(marks, trial.period_s, calibrated)
            first = plural(rung.silent_bars, *((HAD_IT, HAD_IT_MANY) if _ahead(rung) else (BACK, BACK_MANY)))
            return (first,) if second is None else (first, second)
        if met and drifted is None:
            few = rung.taps is not Tapping.RETURN and marks.extra <= marks.missed
            more = MORE_BEATS if rung.taps is Tapping.BEATS else MORE_TAPS
            return (LEFT_OUT(hits=marks.hits, targets=marks.targets) if few else more(),)
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
        return BETWEEN()
    if beats % per_bar == 0:
        bars = beats // per_bar
        too_late = (LATE_BAR_AHEAD, LATE_BARS_AHEAD) if ahead else (LATE_BAR, LATE_BARS)
        return plural(bars, *too_late) if bars > 0 else plural(-bars, EARLY_BAR, EARLY_BARS)
    if 2 * abs(beats) == per_bar:
        beat = per_bar // 2 + 1
        return TURNED_ROUND.of(trial.tells_the_one(), [beat])(beat=beat_name(beat))
    if ahead and beats == 1:
        return WITH_DRUMS()
    return plural(beats, LATE_BEAT, LATE_BEATS) if beats > 0 else plural(-beats, EARLY_BEAT, EARLY_BEATS)


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
