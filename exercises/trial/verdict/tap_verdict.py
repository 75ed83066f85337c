"""Verdicts on taps: one or two sentences, chosen from the marks.

Sentences that drills share stand here. Those of one drill are its ``TapWords``: in its file, in its room
(``exercises/drills/one/words.py``), or with its form (``exercises/forms/told_drill.py``).

All are for people who have never mixed: no term that cannot be heard in the sound.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from exercises.timing.drift import HEARD_SHARE, HEARD_TEMPO_SHARE, Drift
from exercises.trial.habit import Habit, Pattern, enough_hit, too_many
from exercises.trial.result import TapMarks
from synth.base.words import Say, Template, plural
from synth.score.arranging.cues import DRUMS, MUSIC, Cue

# Limits of the spread of steady and loose taps, as shares of the beat: at 500 ms trained people have an SD of 10 to
# 20 ms, untrained of 20 to 40 ms (from memory, low confidence).
STEADY_SHARE = 0.04
LOOSE_SHARE = 0.08

# Resultant length (a spread of 7 % of the beat) from which taps may only be delayed as a whole.
TIGHT_LENGTH = 0.9

BEATS = {
    1: Template("advice.beats.1", "the one"),
    2: Template("advice.beats.2", "the two"),
    3: Template("advice.beats.3", "the three"),
    4: Template("advice.beats.4", "the four"),
    5: Template("advice.beats.5", "the five"),
    6: Template("advice.beats.6", "the six"),
    7: Template("advice.beats.7", "the seven"),
}
BEAT = Template("advice.beat", "beat {n}")
TWO_BEATS = Template("advice.two_beats", "{first} and {second}")

SILENT = Template("advice.silent", "No tap came in. Tap with the space bar, a mouse button or a finger.")
BEFORE = Template("advice.before", "Your taps came before the first that counts. Keep tapping until the music stops.")
AFTER = Template("advice.after", "Your taps came when the music had stopped. Tap while it sounds.")
FEW = Template("advice.few", "There were too few taps to say more. Keep tapping until the music stops.")
LOOSE = Template(
    "advice.loose", "Your taps did not settle on the beat. Nod along for a few bars first, then tap with the nod."
)
BETWEEN = Template("advice.between", "Your taps fell between the beats. Tap with the beat itself, not in the gap.")
BETWEEN_UNMEASURED = Template(
    "advice.between_unmeasured",
    "Your taps fell between the beats, all by the same amount. Wireless headphones can do that: measure their delay.",
)
DOUBLE_TIME = Template(
    "advice.double_time", "You tapped twice in every beat, in double time. Slow down to the beat itself first."
)
FASTER = Template(
    "advice.faster",
    "You tapped faster than the beat. Listen for a bar first, then nod with the music and tap the nod.",
)
HALF_TIME = Template(
    "advice.half_time", "You tapped every second beat, in half time. Put one more tap between each two."
)
HALF_TIME_ON = Template(
    "advice.half_time_on",
    "You tapped every second beat, in half time, on {beats}. Put one more tap between each two.",
)

EARLY = Template("advice.early", "Your taps came about {ms} ms early. Let the beat come to you.")
LATE = Template("advice.late", "Your taps came about {ms} ms late. Tap with the beat, not after it.")
SLOWED = Template("advice.slowed", "You slowed down: your taps fell further and further behind.")
SPED_UP = Template("advice.sped_up", "You sped up: your taps ran further and further ahead.")
MORE_LATE = Template(
    "advice.more_late", "Each bar put you about {ms} ms further behind. Listen to the music while you tap."
)
MORE_EARLY = Template(
    "advice.more_early", "Each bar put you about {ms} ms further ahead. Listen to the music while you tap."
)
LITTLE_SLOWER = Template(
    "advice.little_slower", "You were a little slower than the music: about {ms} ms a bar later."
)
LITTLE_FASTER = Template(
    "advice.little_faster", "You were a little faster than the music: about {ms} ms a bar earlier."
)
SLOWER = Template(
    "advice.slower", "You were slower than the music: about {ms} ms a bar later. Listen to the music while you tap."
)
QUICKER = Template(
    "advice.quicker",
    "You were faster than the music: about {ms} ms a bar earlier. Listen to the music while you tap.",
)
STEADY = Template("advice.steady", "Your taps were steady.")
WANDERED = Template("advice.wandered", "Your taps wandered by about {ms} ms. Move with the beat while you wait.")
ON_TIME = Template("advice.on_time", "Your taps were on time and steady.")
TOO_CLOSE = Template(
    "advice.too_close", "Your taps were steady. Whether they were early or late is too close to tell."
)
ALL_MET, SOME_MET = Template("advice.all_met", "all {targets}"), Template("advice.some_met", "{hits} of {targets}")
EXTRA_TAPS = Template("advice.extra.one", "one tap too many"), Template("advice.extra.many", "{n} taps too many")
WITH_EXTRA = Template("advice.with_extra", "You met {met}, with {extra}.")
ONLY_ASKED = Template("advice.only_asked", "Tap only what is asked.")
LEFT_SLOWER = Template(
    "advice.left_slower",
    "You slowed down: your taps fell further and further behind. Listen to the music while you tap.",
)
LEFT_FASTER = Template(
    "advice.left_faster", "You sped up: your taps ran further and further ahead. Listen to the music while you tap."
)
# See ``exercises.trial.habit.asked_for``.
NOT_ENOUGH = Template("advice.not_enough", "It counts as right when three in four are met. Leave none out.")


@dataclass(frozen=True, slots=True)
class ByCue:
    """One advice in the words of what tells the one, so that nobody listens for what is not there.

    ``deep`` is said where the deep drum sounds on the one and not on the beats in question, ``pattern`` where other
    drums tell or nobody knows, ``music`` where the drums do not.
    """

    deep: Template
    pattern: Template
    music: Template

    def of(self, one_cues: tuple[Cue, ...] | None, beats: Iterable[int] = ()) -> Template:
        """The words for a learner who was on ``beats`` of the bar (default: any but the one)."""
        if one_cues is None:
            return self.pattern
        told = [one_cues[beat - 2] for beat in beats if 1 < beat <= len(one_cues) + 1] or one_cues
        if all(Cue.KICK in each for each in told):
            return self.deep
        alike = any(not each & DRUMS for each in told) and all(each & (DRUMS | MUSIC) for each in told)
        return self.music if alike else self.pattern


@dataclass(frozen=True, slots=True)
class TapWords:
    """The sentences of a tap drill. ``had_most`` takes ``hits`` and ``targets``.

    ``stopped`` takes both and ``n``, the targets after the last tap. ``other_beat``, by beat of the bar (-1: the
    last, 0: any), takes ``beat``; ``moved`` takes ``first`` and ``second``; ``twice`` takes ``beats``; ``late_in``
    and ``lost`` take ``n``. ``astray`` is told instead of a sentence that the drill leaves out, ``only`` where extra
    taps make it wrong.
    """

    had_all: Template
    had_most: Template
    stopped: Template
    astray: Template | ByCue
    late_in: Template | None = None
    lost: Template | None = None
    every_second: Template | None = None
    every_beat: Template | None = None
    twice: Template | None = None
    other_beat: Mapping[int, ByCue] = field(default_factory=dict)
    moved: Template | None = None
    only: Template | None = None


def beat_name(beat: int) -> Say:
    """``the three`` for 3."""
    return BEATS[beat]() if beat in BEATS else BEAT(n=beat)


def tap_verdict(
    marks: TapMarks,
    habit: Habit,
    words: TapWords,
    period_s: float,
    calibrated: bool,
    *,
    before: int = 0,
    after: int = 0,
    one_cues: tuple[Cue, ...] | None = None,
) -> tuple[Say, ...]:
    """One or two sentences on taps. Early or late is only said when calibrated.

    ``before`` and ``after`` are the numbers of taps too early and too late to count, ``one_cues`` is what
    ``Trial.tells_the_one`` says.
    """
    astray = words.astray.of(one_cues) if isinstance(words.astray, ByCue) else words.astray
    match habit.pattern:
        case Pattern.SILENT:
            return (BEFORE() if before else AFTER() if after else SILENT(),)
        case Pattern.TARGETS:
            return _had(marks, habit.drift, words, period_s, calibrated)
        case Pattern.PARTLY:
            return _had(marks, habit.drift, words, period_s, calibrated, enough=enough_hit(marks.targets, marks.hits))
        case Pattern.DRIFTED:
            assert habit.drift is not None
            ms = round(abs(habit.drift.ms_per(tapped_bar_s(marks, period_s))))
            return (SLOWED(), MORE_LATE(ms=ms)) if habit.drift.share > 0 else (SPED_UP(), MORE_EARLY(ms=ms))
        case Pattern.FEW:
            return (FEW(),)
        case Pattern.LOOSE:
            return (LOOSE(),)
        case Pattern.BETWEEN:
            return (BETWEEN() if calibrated or habit.length < TIGHT_LENGTH else BETWEEN_UNMEASURED(),)
        case Pattern.DOUBLE_TIME:
            return (DOUBLE_TIME(),)
        case Pattern.FASTER if too_many(marks.targets, marks.extra) and not _far_too_many(marks):
            return with_extra(marks), (words.only or ONLY_ASKED)()
        case Pattern.FASTER:
            return (FASTER(),)
        case Pattern.HALF_TIME:
            return (HALF_TIME_ON(beats=_names(habit.beats)) if len(habit.beats) == 2 else HALF_TIME(),)
        case Pattern.EVERY_BEAT:
            return ((words.every_beat or astray)(),)
        case Pattern.EVERY_SECOND:
            return ((words.every_second or astray)(),)
        case Pattern.TWICE if words.twice:
            return (words.twice(beats=_names(habit.beats)),)
        case Pattern.OTHER_BEAT if words.other_beat:
            if len(habit.beats) == 2:
                return (words.other_beat[0].of(one_cues, habit.beats)(beat=_names(habit.beats)),)
            beat = habit.beats[0]
            advice = words.other_beat.get(beat, words.other_beat[0])
            if beat == len(marks.beat_tapped):
                advice = words.other_beat.get(-1, advice)
            return (advice.of(one_cues, habit.beats)(beat=beat_name(beat)),)
        case Pattern.MOVED if words.moved:
            return (words.moved(first=beat_name(habit.beats[0]), second=beat_name(habit.beats[1])),)
        case _ if enough_hit(marks.targets, marks.hits) and too_many(marks.targets, marks.extra):
            return with_extra(marks), (words.only or ONLY_ASKED)()
        case _:
            return (astray(),)


def timing(marks: TapMarks, period_s: float, calibrated: bool) -> Say | None:
    """A sentence on early, late or steady taps, or None.

    Of calibrated taps, with the interval of the bias widened by the uncertainty: early or late where it excludes
    zero and the bias exceeds the just noticeable share; on time where it lies within that share; between them it is
    too close to tell.
    """
    period_ms = 1000 * period_s
    if marks.bias_ms is None or marks.spread_ms is None or marks.bias_within_ms is None:
        return None
    heard_ms, (low, high) = HEARD_SHARE * period_ms, marks.bias_within_ms
    if calibrated and abs(marks.bias_ms) > heard_ms and (low > 0 or high < 0):
        ms = round(abs(marks.bias_ms))
        return (LATE if marks.bias_ms > 0 else EARLY)(ms=ms)
    if marks.spread_ms > LOOSE_SHARE * period_ms:
        return WANDERED(ms=round(marks.spread_ms))
    if marks.spread_ms <= STEADY_SHARE * period_ms and marks.hits >= 4:
        if not calibrated:
            return STEADY()
        return ON_TIME() if -heard_ms <= low and high <= heard_ms else TOO_CLOSE()
    return None


def tapped_bar_s(marks: TapMarks, period_s: float) -> float:
    """Seconds of a bar of the tapped beats."""
    return period_s * len(marks.beat_tapped)


def drifting(marks: TapMarks, period_s: float) -> Say | None:
    """A sentence on hits that surely ran faster or slower than the sound, or None."""
    found = marks.drift
    if found is None or not found.audible(period_s):
        return None
    ms = round(abs(found.ms_per(tapped_bar_s(marks, period_s))))
    if not ms:
        return None
    little = abs(found.share) <= HEARD_TEMPO_SHARE
    if found.share > 0:
        return (LITTLE_SLOWER if little else SLOWER)(ms=ms)
    return (LITTLE_FASTER if little else QUICKER)(ms=ms)


def how_they_lay(marks: TapMarks, period_s: float, calibrated: bool) -> Say | None:
    """``drifting`` or ``timing``, whichever matters more; None where neither applies.

    A drift precedes "steady" and "wandered", which it would contradict, and a bias that is smaller.
    """
    drifted = drifting(marks, period_s)
    if drifted is None:
        return timing(marks, period_s, calibrated)
    assert marks.drift is not None
    if calibrated and abs(marks.bias_ms or 0.0) > abs(marks.drift.ms_per(marks.drift.span_s)):
        return timing(marks, period_s, calibrated) or drifted
    return drifted


def _had(
    marks: TapMarks,
    left_by: Drift | None,
    words: TapWords,
    period_s: float,
    calibrated: bool,
    *,
    enough: bool = True,
) -> tuple[Say, ...]:
    """How many targets were hit, then where the rest went or how the taps lay.

    ``left_by`` is the drift with which taps left their targets. Without ``enough`` hits, or with too many extra taps,
    there is no praise.
    """
    late_in = int(marks.pairs[0, 0])
    left = marks.targets - 1 - int(marks.pairs[-1, 0])
    stopped = left >= 2 and marks.counted is not None and int(marks.pairs[-1, 1]) == marks.counted[1] - 1
    if not marks.missed and not marks.extra:
        first = words.had_all(targets=marks.targets)
    elif marks.extra:
        first = with_extra(marks)
    elif stopped:
        first = words.stopped(hits=marks.hits, targets=marks.targets, n=left)
    else:
        first = words.had_most(hits=marks.hits, targets=marks.targets)
    if too_many(marks.targets, marks.extra):
        return first, (words.only or ONLY_ASKED)()
    if left_by is not None and not stopped:
        return first, LEFT_SLOWER() if left_by.share > 0 else LEFT_FASTER()
    if words.late_in and late_in >= 2 and late_in + left * stopped == marks.missed:
        return first, words.late_in(n=late_in)
    if words.lost and left >= 2 and left == marks.missed and not stopped:
        return first, words.lost(n=left)
    if not enough:
        return first, NOT_ENOUGH()
    second = how_they_lay(marks, period_s, calibrated)
    return (first,) if second is None else (first, second)


def with_extra(marks: TapMarks, one_and_many: tuple[Template, Template] = EXTRA_TAPS) -> Say:
    """How many targets were met, and how many extra taps there were."""
    met = SOME_MET(hits=marks.hits, targets=marks.targets) if marks.missed else ALL_MET(targets=marks.targets)
    return WITH_EXTRA(met=met, extra=plural(marks.extra, *one_and_many))


def _far_too_many(marks: TapMarks) -> bool:
    """Whether the targets were met by a faster rate rather than by doubled taps."""
    return not enough_hit(marks.targets, marks.hits) or 5 * marks.extra > 2 * marks.targets


def _names(beats: tuple[int, ...]) -> Say:
    return TWO_BEATS(first=beat_name(beats[0]), second=beat_name(beats[1]))
