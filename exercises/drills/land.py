"""Land: the second record's intro should end exactly where the first turns into its outro.

One target: the turn minus the length of the intro. The learner is told both lengths and hears the start of the last
part before the outro; from there the bars are counted. Where the parts of a record are not known but its phrases are,
the intro may end as any of them turns.
"""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.drill import promised
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.press_drill import PressDrill, entry_marks
from exercises.forms.rungs import SHEET, VOICE_AND_SHEET, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.offset import Offset
from exercises.trial.result import Result
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Part, Trial
from exercises.trial.verdict.press_verdict import PressWords, press_verdict
from synth.base.arrays import Seconds
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.metre import Count

# Bars of the outro after the intro has ended, and bars of the second record's song.
OUTRO_BARS, SONG_BARS = 4, 4

OUTRO, INTRO_END = Template("land.outro", "the outro began"), Template("land.intro_end", "your intro ended")
TURNED = Template("land.turned", "the phrase turned")
# How the start of the last part is heard, by its name.
ASKS = {
    "drop": Template(
        "land.asks.drop",
        "When the drums come back after the break, {bars} bars follow, then the outro. The next record has an intro "
        "of {intro} bars. Press once to start it so that its intro ends as the outro begins.",
    ),
    "chorus": Template(
        "land.asks.chorus",
        "When the voice enters, a chorus of {bars} bars begins, then comes the outro. The next record has an intro "
        "of {intro} bars. Press once to start it so that its intro ends as the outro begins.",
    ),
}
ASKS_TURN = Template(
    "land.asks.turn",
    "The first record's phrases have {phrase} bars. Of the next record's intro {intro} bars are left. "
    "Press once to start it so that its intro ends as a phrase turns.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LandRung(Rung):
    """``lengths``: possible pairs of bars of the last part and of the second record's intro.

    ``before`` and ``last`` are the parts heard, at least ``heard_bars`` of the first. The target falls on one of
    ``later_bars`` + 1 bars, the same for every pair, and after the start of the last part, to which a
    press could react.
    ``exceptions`` precede it; ``starts`` as in ``bring-in``.
    """

    lengths: tuple[tuple[int, int], ...]
    before: str = "break"
    last: str = "drop"
    heard_bars: int = 2
    later_bars: int = 4
    starts: tuple[int, ...] = (1,)
    exceptions: tuple[str, ...] = ()
    entries: tuple[str, ...] = ("four-on-the-floor", "backbeat")


RUNGS = (
    LandRung(
        id="spoken",
        new=Template(
            "land.rung.1",
            "an intro of four or six bars; the sheet and a voice count along",
        ),
        tempo_bpm=(104, 132),
        any_tempo=True,
        grooves=FOURS,
        lengths=((8, 6), (8, 4)),
        help=VOICE_AND_SHEET,
    ),
    LandRung(
        id="half-as-long",
        new=Template("land.rung.2", "an intro of four, five or six bars"),
        tempo_bpm=(104, 132),
        any_tempo=True,
        grooves=FOURS,
        lengths=((8, 4), (8, 5), (8, 6)),
        help=VOICE_AND_SHEET,
    ),
    LandRung(
        id="sheet",
        new=Template("land.rung.3", "up to sixteen bars before the outro; the sheet counts along"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        lengths=((16, 8), (8, 6), (8, 4)),
        help=SHEET,
    ),
    LandRung(
        id="bare",
        new=Template("land.rung.4", "without help"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        lengths=((16, 8), (8, 6), (8, 4)),
    ),
    LandRung(
        id="chorus",
        new=Template("land.rung.5", "a verse and a chorus instead of a break and a drop"),
        tempo_bpm=(112, 128),
        grooves=(*TAKING_TURNS, *FOURS),
        lengths=((16, 8), (8, 4), (16, 12)),
        before="verse",
        last="chorus",
    ),
    LandRung(
        id="eight-bar-phrases",
        new=Template("land.rung.6", "phrases of eight bars, and the sound may begin on any beat"),
        tempo_bpm=(118, 130),
        grooves=(*FOURS, "techno"),
        lengths=((16, 8), (24, 16), (16, 12)),
        phrase_bars=8,
        starts=(1, 2, 3, 4),
    ),
    LandRung(
        id="odd-intros",
        new=Template("land.rung.8", "intros of six, ten or twelve bars, up to thirty-two bars before the outro"),
        tempo_bpm=(118, 134),
        grooves=(*FOURS, "broken-beat", "two-step"),
        lengths=((16, 6), (16, 10), (32, 16), (24, 12)),
        starts=(1, 2, 3, 4),
    ),
    LandRung(
        id="false-fill",
        new=Template("land.rung.7", "one fill comes in mid-phrase, where nothing turns"),
        tempo_bpm=(116, 132),
        grooves=(*EARLY_OR_LATE, *FOURS),
        lengths=((16, 8), (24, 16), (16, 4)),
        before="verse",
        last="chorus",
        starts=(1, 2, 3, 4),
        exceptions=("false fill",),
    ),
)


class Land(PressDrill[LandRung]):
    """Press so that the second record's intro ends where the first one's outro begins."""

    id = "land"
    place = 150
    ladder = 120
    title = Template("land.title", "Land the intro")
    short = Template("land.short", "Start the second record so that its intro ends at the outro.")
    asks = Template(
        "land.asks", "Press once to start the second record so that its intro ends exactly where the outro begins."
    )
    asks_on_record = Template(
        "land.asks_on_record",
        "Press once to start the second record so that its intro ends as a phrase of the first turns.",
    )
    rungs = RUNGS
    records = 2
    words = PressWords(
        on=Template("land.on", "You landed it: the intro ends as the outro begins"),
        beat_late=Template(
            "land.beat_late", "The press itself is the second record's first beat: press with the one, not after it."
        ),
        beats_off=Template(
            "land.beats_off", "That was not a one. Find the beat that starts the bar first, then count the bars."
        ),
        bars_off=Template(
            "land.bars_off",
            "Subtract the intro's bars from the bars that are left: what remains is how many bars to "
            "count before pressing.",
        ),
    )

    def build(self, rung: LandRung, rng: np.random.Generator, source: Source) -> Trial:
        if not source.has_parts:
            return self._onto_turns(rung, rng, source)
        per_bar, phrase = source.metre.beats_per_bar, rung.phrase_bars
        last_bars, intro_bars = rung.lengths[int(rng.integers(len(rung.lengths)))]
        starts = [beat for beat in rung.starts if beat <= per_bar]
        first_beat = starts[int(rng.integers(len(starts)))]
        # The bar of the press is drawn first, from the same bars for every pair: neither question nor length is a
        # cue.
        earliest = max(last - intro for last, intro in rung.lengths) + rung.heard_bars
        press_bar = earliest + int(rng.integers(rung.later_bars + 1))
        before_bars = press_bar - (last_bars - intro_bars)
        heard_bars = earliest + rung.later_bars + max(intro for _, intro in rung.lengths) + OUTRO_BARS

        def whole(bars: int) -> int:
            return -(-bars // phrase) * phrase

        skipped = whole(before_bars) - before_bars
        outro_bars = max(phrase, whole(skipped + heard_bars - whole(before_bars) - last_bars))
        period_s = 60.0 / source.tempo_bpm

        # A start in mid-bar does not change the length.
        beats = (heard_bars - 1) * per_bar

        def sound(record_seed: int) -> Arrangement:
            return source.record(
                f"{rung.before}:{whole(before_bars)},{rung.last}:{last_bars},outro:{outro_bars}",
                phrase_bars=phrase,
                seed=record_seed,
                song=True,
                exceptions=rung.exceptions,
            ).excerpt(skipped * per_bar + first_beat - 1, beats, lead_in_s=LEAD_IN_S)

        def press_s(sound: Arrangement) -> float:
            outro_s = next(each.start_s for each in sound.sections if each.name == "outro")
            return outro_s - intro_bars * per_bar * period_s

        def misleads(sound: Arrangement) -> bool:
            heard = [odd for odd in sound.exceptions if LEAD_IN_S + 1e-6 < odd.start_s < press_s(sound)]
            return len(heard) == len(rung.exceptions)

        arrangement = promised(rng, sound, misleads)
        # Same seed: same key.
        entry = source.second(rung.entries, rng).record(
            f"intro:{intro_bars},verse:{SONG_BARS}",
            phrase_bars=4,
            seed=arrangement.seed,
            song=True,
        )
        return Trial(
            question=ASKS[rung.last](bars=last_bars, intro=intro_bars),
            arrangement=arrangement,
            targets_s=np.array([press_s(arrangement)]),
            period_s=period_s,
            help=rung.help,
            entry=Part(entry),
        )

    def _onto_turns(self, rung: LandRung, rng: np.random.Generator, source: Source) -> Trial:
        """As ``build``, where the intro may end as any phrase turns."""
        per_bar, phrase = source.metre.beats_per_bar, source.turn_bars(rung.phrase_bars)
        intros = [intro for _, intro in rung.lengths]
        intro_bars = intros[int(rng.integers(len(intros)))]
        starts = [beat for beat in rung.starts if beat <= per_bar]
        first = int(rng.integers(phrase)) * per_bar + starts[int(rng.integers(len(starts)))] - 1
        # As long as the longest intro takes, whatever the second record has.
        beats = (rung.heard_bars + phrase + max(intros) + OUTRO_BARS - 1) * per_bar
        bars = -(-(first + beats) // (per_bar * phrase)) * phrase
        seed = int(rng.integers(2**31))
        arrangement = source.record(f"verse:{bars}", phrase_bars=phrase, seed=seed).excerpt(
            first, beats, lead_in_s=LEAD_IN_S
        )
        entry = source.second(rung.entries, rng).record(
            f"intro:{intro_bars},verse:{SONG_BARS}", phrase_bars=4, seed=seed
        )
        return Trial(
            question=ASKS_TURN(phrase=phrase, intro=entry.intro_bars),
            arrangement=arrangement,
            targets_s=_onto_s(arrangement, entry.intro_bars),
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
            entry=Part(entry),
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the turns of the other count, if its phrases are as long as was said."""
        if sound.phrase_bars != trial.question.values.get("phrase"):
            return None
        targets_s = _onto_s(sound, int(str(trial.question.values["intro"])))
        if not targets_s.size:
            return None
        return replace(trial, arrangement=sound, targets_s=targets_s, period_s=60.0 / sound.tempo_bpm)

    def verdict(
        self, trial: Trial, press_s: float, shown: Offset, uncertainty_ms: float, calibrated: bool
    ) -> tuple[Say, ...]:
        words = TURN_WORDS if _asks_turn(trial) else self.words
        return press_verdict(shown, words, trial.period_s, uncertainty_ms, calibrated)

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The ones of the learner's record over those of the first, the end of its intro, and the outro or turn."""
        intro_s = int(str(trial.question.values["intro"])) * trial.period_s * int(trial.count.beat_in_bar.max())
        marks = entry_marks(trial, answer, result)
        target_s = result.figures.get("target_s")
        ends_s = (target_s if isinstance(target_s, float) else float(trial.targets_s[0])) + intro_s
        if ends_s < trial.count.end_s:
            marks.append(SheetMark(Shape.FLAG, ends_s, (TURNED if _asks_turn(trial) else OUTRO)()))
        if marks[0].own and not result.right and marks[0].at_s + intro_s < trial.count.end_s:
            marks.append(SheetMark(Shape.FLAG, marks[0].at_s + intro_s, INTRO_END(), own=True))
        return SheetMarks(tuple(marks))


TURN_WORDS = replace(
    Land.words,
    on=Template("land.turn.on", "You landed it: the intro ends as the phrase turns"),
    bars_off=Template(
        "land.turn.bars_off", "Count back from the turn as many bars as the intro has left: that is where to press."
    ),
)


def _asks_turn(trial: Trial) -> bool:
    """Whether the intro may end as any phrase turns."""
    return trial.question.template == ASKS_TURN


def _onto_s(sound: Arrangement, intro_bars: int) -> Seconds:
    """Every press from the first beat on with which so many bars end as a phrase turns, in the sound or after it."""
    count, bar_s = sound.count, sound.metre.beats_per_bar * 60.0 / sound.tempo_bpm
    starts_s = count.phrase_starts_s
    if not starts_s.size:
        return np.empty(0)
    phrase_s, first_s = sound.phrase_bars * bar_s, float(count.beats_s[0]) - 1e-6
    nearest_s = first_s + (float(starts_s[0]) - intro_bars * bar_s - first_s) % phrase_s
    targets_s: Seconds = np.arange(nearest_s, count.end_s - 60.0 / sound.tempo_bpm / 2, phrase_s)
    return targets_s


DRILL = Land()
