"""The help's examples: short records with known truth, from fixed seeds. No widgets.

Every example begins ``LEAD_IN_S`` after its first frame. A cowbell sounds at each tap.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache

import numpy as np
import numpy.typing as npt

from exercises.timing.matching import match
from exercises.timing.window import window_s
from exercises.trial.trial import kit
from synth.base.arrays import Samples, Seconds
from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.arranging.sequence import followed_by
from synth.score.arranging.turns import Signal
from synth.score.grooves import Groove, groove, parse_groove
from synth.score.half_time import double_time, half_time
from synth.score.hits import INDEX, Hits
from synth.score.metre import Count, steady_count
from synth.sound.mixdown import Layer, mixdown_together

LEAD_IN_S = 0.5
TAP_VOICE = "cowbell"
SECOND_KIT_SEED = 3
# With this seed the fill before the turn takes beats three and four, on the toms.
TURN_SEED = 55

# The basic pattern (common practice: kick on 1 and 3, snare on 2 and 4).
PLAIN = """
title: Plain
family: pop-rock
metre: 4/4
steps: 8
tempo: 80-120
kick on: 1 3
backbeat on: 2 4

kick       | X. .. x. .. |
snare      | .. x. .. x. |
closed_hat | xx xx xx xx |
"""


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    """A record of an example: ``start_s`` is added to its times; ``spoken`` is the way in which a voice counts it."""

    arrangement: Arrangement
    start_s: float = 0.0
    spoken: str | None = None
    kit_seed: int = 0
    level_db: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Example:
    """The sound of a page and its truth; ``counts`` has the count of each sheet.

    With taps: ``taps_s`` (n,) and ``targets_s`` (m,) in s, ``pairs`` (k, 2) rows of matching targets and taps. Taps
    before ``counted_from_s`` are not counted.
    """

    records: tuple[Record, ...]
    counts: tuple[Count, ...]
    taps_s: Seconds = field(default_factory=lambda: np.empty(0))
    targets_s: Seconds = field(default_factory=lambda: np.empty(0))
    pairs: npt.NDArray[np.int64] = field(default_factory=lambda: np.empty((0, 2), dtype=np.int64))
    counted_from_s: float = 0.0

    @property
    def errors_ms(self) -> Seconds:
        """Tap minus target of every matched tap in ms, (k,), in the order of taps; negative is early."""
        errors_ms: Seconds = 1000 * (self.taps_s[self.pairs[:, 1]] - self.targets_s[self.pairs[:, 0]])
        return errors_ms

    @property
    def end_s(self) -> float:
        """End of the last beat on its sheets, in s."""
        return max(count.end_s for count in self.counts)

    def samples(self, sample_rate_hz: int, language: str = "en") -> Samples:
        """The sound, float32 (frames, 2); ``language`` of the voice."""
        return mixdown_together(
            [
                Layer(
                    *(each.arrangement, kit(each.kit_seed, sample_rate_hz), each.start_s, each.level_db, each.spoken),
                    language=language,
                )
                for each in self.records
            ]
        )


@lru_cache(maxsize=1)
def plain() -> Groove:
    """The basic pattern."""
    return parse_groove(PLAIN, "plain")


def _record(
    pattern: Groove,
    tempo_bpm: float,
    form: str,
    *,
    phrase_bars: int = 4,
    seed: int = 1,
    song: bool = False,
    signals: tuple[Signal, ...] = (),
    lead_in_s: float = LEAD_IN_S,
) -> Arrangement:
    """A record whose phrases are marked by these signals alone."""
    made = arrange(
        pattern, tempo_bpm=tempo_bpm, form=form, phrase_bars=phrase_bars, seed=seed, song=song, signals=signals
    )
    return made.excerpt(0, lead_in_s=lead_in_s)


def _alone(record: Arrangement, spoken: str | None = None) -> Example:
    return Example((Record(record, spoken=spoken),), (record.count,))


# -- counting ------------------------------------------------------------------------------------------------------


def _beat() -> Example:
    return _alone(_record(groove("four-on-the-floor"), 112, "verse:4").only("kick", "closed_hat"))


def _bar() -> Example:
    return _alone(_record(plain(), 100, "verse:4"), "bars")


def _one() -> Example:
    return _alone(_record(groove("backbeat"), 104, "verse:8", signals=(Signal.CRASH,)))


def _drums() -> Example:
    return _alone(_record(plain(), 92, "verse:4"))


def _floor() -> Example:
    return _alone(_record(groove("four-on-the-floor"), 122, "verse:4").only("kick", "clap", "open_hat"))


def _aloud() -> Example:
    record = _record(plain(), 104, "verse:8")
    half = len(record.count) // 2
    figures = record.excerpt(0, half, lead_in_s=LEAD_IN_S)
    letters = record.excerpt(half)
    start_s = figures.count.end_s
    parts = Record(replace(figures, tail_s=0.0), spoken="bars"), Record(letters, start_s, "letters")
    return Example(parts, (figures.count, letters.count.shifted(start_s)))


# -- phrases and parts ---------------------------------------------------------------------------------------------


def _phrase() -> Example:
    record = _record(groove("backbeat"), 108, "verse:8", signals=(Signal.FILL, Signal.CRASH), seed=TURN_SEED)
    return _alone(record, "bars")


def _turn() -> Example:
    return _alone(_record(groove("backbeat"), 108, "verse:8", signals=(Signal.FILL, Signal.CRASH), seed=TURN_SEED))


def _before() -> Example:
    record = _record(groove("four-on-the-floor"), 122, "verse:12", phrase_bars=8, signals=(Signal.FILL, Signal.CRASH))
    return _alone(record, "bars")


def _lost() -> Example:
    """A bar, silence of no whole beats, then from the two of bar 3 on."""
    record = _record(groove("backbeat"), 100, "verse:8", signals=(Signal.FILL, Signal.CRASH), seed=TURN_SEED)
    before = replace(record.excerpt(0, 4, lead_in_s=LEAD_IN_S), tail_s=0.0)
    return _alone(followed_by(before, record.excerpt(9, 23), 1.7))


def _intro() -> Example:
    return _alone(_record(groove("four-on-the-floor"), 126, "intro:8,verse:4", song=True, signals=(Signal.CRASH,)))


def _break() -> Example:
    signals = (Signal.CRASH, Signal.RISER)
    return _alone(_record(groove("disco"), 124, "verse:4,break:4,drop:4", song=True, signals=signals, seed=2))


def _feel() -> Example:
    straight, half, double = (
        _record(pattern, 92, "verse:2", phrase_bars=2, lead_in_s=LEAD_IN_S if at == 0 else 0.0)
        for at, pattern in enumerate((plain(), half_time(plain()), double_time(plain())))
    )
    return _alone(followed_by(followed_by(straight, half), double))


# -- two records ---------------------------------------------------------------------------------------------------


def _line() -> Example:
    """The second record plays four bars one beat late, then four bars in line."""
    first = _record(plain(), 116, "verse:8", phrase_bars=8)
    beat_s, half = 60 / 116, 16
    second = _record(groove("four-on-the-floor"), 116, "verse:8", phrase_bars=8, lead_in_s=0.0)
    late = replace(second.excerpt(0, half - 1), tail_s=0.0)
    right = second.excerpt(half, half)
    return Example(
        (
            Record(first),
            Record(late, LEAD_IN_S + beat_s, kit_seed=SECOND_KIT_SEED),
            Record(right, LEAD_IN_S + half * beat_s, kit_seed=SECOND_KIT_SEED),
        ),
        (first.count,),
    )


def _ahead() -> Example:
    """The second record starts together with the first one and is 2 % faster."""
    first, second = (
        _record(groove(name), 120 * ratio, "verse:6", phrase_bars=6, lead_in_s=lead_in_s)
        for name, ratio, lead_in_s in (("backbeat", 1.0, LEAD_IN_S), ("four-on-the-floor", 1.02, 0.0))
    )
    return Example((Record(first), Record(second, LEAD_IN_S, kit_seed=SECOND_KIT_SEED)), (first.count,))


def _over(first: Arrangement, second: Arrangement, bar: int) -> Example:
    """The second record starts at a bar (from 0) of the first; the sheet covers both."""
    beat_s = 60 / first.tempo_bpm
    start_s = LEAD_IN_S + bar * 4 * beat_s
    records = Record(first), Record(second, start_s, kit_seed=SECOND_KIT_SEED)
    bars = max(len(first.count) // 4, bar + len(second.count) // 4)
    whole = _record(plain(), first.tempo_bpm, f"verse:{bars}")
    return Example(records, (whole.count,))


def _blend() -> Example:
    first = _record(groove("disco"), 120, "chorus:4,outro:4", song=True, seed=5)
    second = _record(
        groove("four-on-the-floor"), 120, "intro:4,verse:4", song=True, seed=5, signals=(Signal.CRASH,), lead_in_s=0.0
    )
    return _over(first, second, 4)


def _land() -> Example:
    first = _record(groove("disco"), 122, "drop:8,outro:4", song=True, seed=7)
    second = _record(
        groove("four-on-the-floor"), 122, "intro:4,verse:4", song=True, seed=7, signals=(Signal.CRASH,), lead_in_s=0.0
    )
    return _over(first, second, 4)


# -- the figures ---------------------------------------------------------------------------------------------------


def _tapped(record: Arrangement, taps_s: npt.ArrayLike, targets_s: Seconds) -> Example:
    taps = np.asarray(taps_s, dtype=np.float64)
    bells = np.full(len(taps), INDEX[TAP_VOICE])
    sound = replace(record, hits=Hits.of(taps, bells, np.full(len(taps), 0.9), record.hits.voices))
    pairs = match(targets_s, taps, window_s(60 / record.tempo_bpm))
    return Example((Record(record), Record(sound, level_db=-3.0)), (record.count,), taps, targets_s, pairs)


def _every_beat(*errors_ms: Seconds) -> Example:
    """Every beat of four bars is tapped with these errors."""
    record = _record(plain(), 100, "verse:4")
    beats_s = record.count.beats_s
    return _tapped(record, beats_s + np.concatenate(errors_ms) / 1000, beats_s)


def drawn_ms(bias_ms: float, spread_ms: float, n: int, seed: int) -> Seconds:
    """``n`` random errors in ms, scaled to exactly this mean and SD (n - 1)."""
    raw = np.random.default_rng(seed).standard_normal(n)
    errors_ms: Seconds = bias_ms + spread_ms * (raw - raw.mean()) / raw.std(ddof=1)
    return errors_ms


def _met() -> Example:
    """Targets are the ones: three are met, the third is missed, and a tap on the three of bar 2 is extra."""
    record = _record(plain(), 92, "verse:4")
    count = record.count
    ones_s = count.ones_s
    taps_s = np.sort([ones_s[0] - 0.012, ones_s[1] + 0.02, count.beats_s[6] - 0.01, ones_s[3] - 0.006])
    return _tapped(record, taps_s, ones_s)


def _sheet() -> Example:
    """Targets are the ones from bar 2 on, over eight bars shown in two ways of counting.

    Two taps in bar 1 are not counted yet; bar 4 is missed; a tap on the three of bar 6 is extra.
    """
    record = _record(plain(), 112, "verse:8", signals=(Signal.CRASH,))
    count = record.count
    ones_s, beats_s = count.ones_s, count.beats_s
    taps_s = [beats_s[1] + 0.03, beats_s[2] - 0.02, ones_s[1] + 0.024, ones_s[2] - 0.018, ones_s[4] - 0.031]
    taps_s += [ones_s[5] + 0.008, beats_s[22] + 0.012, ones_s[6] - 0.015, ones_s[7] + 0.005]
    heard = _tapped(record, taps_s, ones_s[1:])
    whole = steady_count(record.tempo_bpm, [8]).shifted(float(beats_s[0]))
    return replace(heard, counts=(count, whole), counted_from_s=float((ones_s[0] + ones_s[1]) / 2))


EXAMPLES: dict[str, Callable[[], Example]] = {
    "beat": _beat,
    "bar": _bar,
    "one": _one,
    "drums": _drums,
    "floor": _floor,
    "aloud": _aloud,
    "phrase": _phrase,
    "turn": _turn,
    "before": _before,
    "lost": _lost,
    "intro": _intro,
    "break": _break,
    "feel": _feel,
    "line": _line,
    "ahead": _ahead,
    "blend": _blend,
    "land": _land,
    "sheet": _sheet,
    "met": _met,
    # Two bars early, then two bars late.
    "early": lambda: _every_beat(drawn_ms(-60, 4, 8, 1), drawn_ms(60, 4, 8, 2)),
    # "About 30-50 ms" early: Aschersleben & Prinz 1995, Percept. Psychophys. 57, 305-317 (abstract).
    "habit": lambda: _every_beat(drawn_ms(-40, 14, 16, 5)),
    "bias": lambda: _every_beat(drawn_ms(-24, 10, 16, 6)),
    # Two bars steady but early, then two bars on time on average but unsteady.
    "spread": lambda: _every_beat(drawn_ms(-40, 6, 8, 3), drawn_ms(0, 40, 8, 4)),
}


@cache
def example(page: str) -> Example | None:
    """The example of a page, or None."""
    make = EXAMPLES.get(page)
    return None if make is None else make()
