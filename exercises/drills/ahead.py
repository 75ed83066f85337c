"""Ahead: a second record enters in time, at a slightly different tempo. Does it run ahead or fall behind?"""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.choice_drill import ChoiceDrill
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.rungs import Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.timing.window import row_near
from exercises.trial.replay import Version, both
from exercises.trial.result import Result
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Choice, Kind, Part, Trial
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.sequence import stretched
from synth.score.arranging.source import Source
from synth.score.metre import Count

# Bars of the first record alone.
ALONE_BARS = 2
# Beats of the second record that are left out at its end.
STOPS_BEATS = 2

AHEAD, BEHIND = "ahead", "behind"
RUNS_AHEAD, FALLS_BEHIND = (
    Template("ahead.runs_ahead", "it runs ahead"),
    Template("ahead.falls_behind", "it falls behind"),
)
CHOICES = (Choice(AHEAD, RUNS_AHEAD()), Choice(BEHIND, FALLS_BEHIND()))
RAN_AHEAD = Template(
    "ahead.ran_ahead", "The second record ran ahead: it was {percent} % faster, {ms} ms ahead at the end."
)
FELL_BEHIND = Template(
    "ahead.fell_behind", "The second record fell behind: it was {percent} % slower, {ms} ms behind at the end."
)
AHEAD_BY, BEHIND_BY = (
    Template("ahead.ahead_by", "{ms} ms ahead here"),
    Template("ahead.behind_by", "{ms} ms behind here"),
)
WHICH_KICK = Template(
    "ahead.which_kick",
    "As the bars go by, the beats part. If the second record's beat comes first, it runs ahead.",
)
APART = Template("ahead.apart", "{percent} % apart")
WAIT = Template(
    "ahead.wait", "So small a difference grows slowly. Wait for the last bars, where the beats are furthest apart."
)

# Lag below which the order of two kicks is hard to hear. Of two onsets 20 ms apart the order is told in three of four
# cases (Hirsh 1959, JASA 31, 759-767; from memory), and kicks are longer than the sounds used there.
HARD_MS = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AheadRung(Rung):
    """``gap_percent``: difference of the tempos; ``bars`` of both together; ``others``: the second one's grooves."""

    gap_percent: float
    bars: int = 8
    others: tuple[str, ...] = ("four-on-the-floor", "backbeat")


RUNGS = (
    AheadRung(
        id="by-2.5",
        new=Template("ahead.rung.1", "2.5 % apart, four bars together; kick and snare"),
        tempo_bpm=(96, 112),
        grooves=TAKING_TURNS,
        others=("backbeat",),
        gap_percent=2.5,
        bars=4,
    ),
    AheadRung(
        id="by-2",
        new=Template("ahead.rung.2", "2 % apart, a kick on every beat"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        gap_percent=2.0,
        bars=4,
    ),
    AheadRung(
        id="by-1.6",
        new=Template("ahead.rung.3", "1.6 % apart, six bars together"),
        tempo_bpm=(112, 128),
        grooves=(*TAKING_TURNS, *FOURS),
        gap_percent=1.6,
        bars=6,
    ),
    AheadRung(
        id="by-1.3",
        new=Template("ahead.rung.4", "1.3 % apart"),
        tempo_bpm=(112, 128),
        grooves=(*TAKING_TURNS, *FOURS),
        gap_percent=1.3,
        bars=6,
    ),
    AheadRung(
        id="by-1",
        new=Template("ahead.rung.5", "1 % apart, in patterns that differ more"),
        tempo_bpm=(112, 130),
        grooves=(*FOURS, *EARLY_OR_LATE),
        others=("four-on-the-floor", "electro", "broken-beat"),
        gap_percent=1.0,
        bars=6,
    ),
    AheadRung(
        id="by-0.8",
        new=Template("ahead.rung.6", "0.8 % apart, eight bars together, with bass and chords"),
        tempo_bpm=(112, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        gap_percent=0.8,
        music=Music.ALL,
    ),
    AheadRung(
        id="by-0.6",
        new=Template("ahead.rung.7", "0.6 % apart, with bass and chords"),
        tempo_bpm=(112, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        gap_percent=0.6,
        music=Music.ALL,
    ),
    AheadRung(
        id="by-0.45",
        new=Template("ahead.rung.8", "0.45 % apart: a seventh of a beat after eight bars"),
        tempo_bpm=(116, 132),
        grooves=(*FOURS, "techno"),
        gap_percent=0.45,
        music=Music.ALL,
    ),
)


class Ahead(ChoiceDrill[AheadRung]):
    """Of two records that part slowly: which way does the second go?"""

    id = "ahead"
    place = 135
    ladder = 105
    title = Template("ahead.title", "Ahead or behind")
    short = Template("ahead.short", "Say whether the second record runs ahead or falls behind.")
    asks = Template(
        "ahead.asks",
        "A second record comes in on the one, in time. Its tempo differs a little: does it run ahead or fall behind?",
    )
    kind = Kind.CHOICE
    counts = False
    rungs = RUNGS
    records = 2

    def on_record(self, rung: AheadRung) -> Say:
        """How far the tempos are apart."""
        return APART(percent=rung.gap_percent)

    def build(self, rung: AheadRung, rng: np.random.Generator, source: Source) -> Trial:
        runs_ahead = bool(rng.integers(2))
        # As far apart as logarithms are, so that neither way is the larger one.
        ratio = (1 + rung.gap_percent / 100) ** (1 if runs_ahead else -1)
        alone, together = (bars * source.metre.beats_per_bar for bars in (ALONE_BARS, rung.bars))
        other = source.second(rung.others, rng)
        period_s = 60.0 / source.tempo_bpm

        def record(source: Source, bars: int, song: tuple[str, ...]) -> Arrangement:
            return source.record(f"verse:{bars}", phrase_bars=4, seed=int(rng.integers(2**31)), song=song)

        first = record(source, ALONE_BARS + rung.bars + 1, rung.music.parts)
        second = record(other.at(source.tempo_bpm * ratio), rung.bars, ())
        return Trial(
            question=self.asks(),
            arrangement=first.excerpt(0, alone + together, lead_in_s=LEAD_IN_S),
            period_s=period_s,
            choices=CHOICES,
            expected=AHEAD if runs_ahead else BEHIND,
            # The second one stops before its end, and so before the last beat of the first either way:
            # neither what sounds last nor whether the second begins another bar is a cue.
            beside=(Part(second.excerpt(0, together - STOPS_BEATS), start_s=LEAD_IN_S + alone * period_s),),
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the tempos of the other counts, if the second record came in on a beat and parted about as meant.

        Half or double of a tempo is the same.
        """
        period_s, gap = 60.0 / sound.tempo_bpm, self.rung_of(trial).gap_percent / 100
        if not beside or row_near(sound.count, float(beside[0].beats_s[0]), period_s) is None:
            return None
        octaves = np.log2(period_s / float(np.median(np.diff(beside[0].beats_s))))
        parted = float(2 ** (octaves - round(octaves))) - 1
        if not gap / 2 < abs(parted) < 2 * gap:
            return None
        return replace(trial, arrangement=sound, expected=AHEAD if parted > 0 else BEHIND, period_s=period_s)

    def verdict(self, trial: Trial, given: str | float, score: float) -> tuple[Say, ...]:
        """By how much the records parted, and how to hear it."""
        percent = self.rung_of(trial).gap_percent
        together_s = trial.count.end_s - float(trial.count.beats_s[ALONE_BARS * int(trial.count.beat_in_bar.max())])
        ms = 10 * percent * (together_s - STOPS_BEATS * trial.period_s)
        said = (RAN_AHEAD if trial.expected == AHEAD else FELL_BEHIND)(percent=f"{percent:g}", ms=round(ms))
        if score == 1.0:
            return (said,)
        return said, WAIT() if ms < 2 * HARD_MS else WHICH_KICK()

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The second record's ones, and how far the last one lies from the first record's."""
        if not trial.counts_beside:  # not kept by earlier versions
            return SheetMarks()
        ones_s = trial.counts_beside[0].ones_s
        off_ms = round(
            1000 * float(ones_s[-1] - trial.count.beats_s[np.abs(trial.count.beats_s - ones_s[-1]).argmin()])
        )
        apart = (BEHIND_BY if off_ms > 0 else AHEAD_BY)(ms=abs(off_ms))
        return SheetMarks(
            tuple(SheetMark(Shape.ONE, at_s, apart if at_s == ones_s[-1] else None) for at_s in ones_s.tolist())
        )

    def both_ways(self, trial: Trial, record: Arrangement, said: str | float) -> tuple[Version, ...]:
        """Both records as they parted, and as they would have parted the other way."""
        says = {choice.key: choice.say for choice in trial.choices}
        if said not in says:
            return ()
        part, alone = trial.beside[0], ALONE_BARS * record.metre.beats_per_bar
        first, second = record.excerpt(alone, len(trial.count) - alone), part.arrangement
        ratio = float(np.diff(first.count.beats_s[:2])[0] / np.diff(second.count.beats_s[:2])[0])

        def together(factor: float) -> tuple[Part, Part]:
            return Part(first, trial.kit_seed), Part(stretched(second, factor), part.kit_seed)

        return both(together, (says[str(trial.expected)], 1.0), (says[str(said)], ratio**2))


DRILL = Ahead()
