"""Bring in: a press during one record starts a second one, whose first beat should fall on a phrase's first beat."""

from dataclasses import dataclass, replace

import numpy as np

from exercises.forms.drill import promised
from exercises.forms.pools import EARLY_OR_LATE, FOURS, TAKING_TURNS
from exercises.forms.press_drill import PressDrill, entry_marks
from exercises.forms.rungs import BARE, SHEET, VOICE_AND_SHEET, Music, Rung
from exercises.forms.tap_drill import LEAD_IN_S
from exercises.trial.result import Result
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import Answer, Part, Trial
from exercises.trial.verdict.press_verdict import PressWords
from synth.base.arrays import Seconds
from synth.base.words import Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.source import Source
from synth.score.arranging.turns import Signal
from synth.score.departures import Departed, Departure
from synth.score.metre import Count

# Bars of the second record, and bars left of the first after the last target.
ENTRY_BARS, LEFT_BARS = 8, 2

# No sound on the turn itself, to which a press could react.
FILLS = (Signal.FILL.value,)
AHEAD = (Signal.FILL.value, Signal.ROLL.value, Signal.FILTER.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class BringInRung(Rung):
    """``turns``: phrase turns during the pressing time, announced by ``signals`` (None: any).

    ``exceptions`` mislead: the first named precedes the last of those turns, another one may be anywhere.
    ``starts``: beats of the bar on which the sound may begin; ``entries``: grooves of the second record.
    """

    turns: int = 4
    signals: tuple[str, ...] | None = AHEAD
    exceptions: tuple[str, ...] = ()
    starts: tuple[int, ...] = (1, 2, 3, 4)
    entries: tuple[str, ...] = ("four-on-the-floor", "backbeat")


RUNGS = (
    BringInRung(
        id="spoken",
        new=Template("bring_in.rung.1", "a fill announces each turn; the sheet and a voice count along"),
        tempo_bpm=(96, 108),
        grooves=TAKING_TURNS,
        entries=("backbeat",),
        signals=FILLS,
        starts=(1,),
        help=VOICE_AND_SHEET,
    ),
    BringInRung(
        id="sheet",
        new=Template("bring_in.rung.2", "the sheet counts along, the voice is silent"),
        tempo_bpm=(96, 116),
        grooves=(*TAKING_TURNS, "rock"),
        entries=("backbeat",),
        signals=FILLS,
        starts=(1, 3),
        help=SHEET,
    ),
    BringInRung(
        id="kick-on-every-beat",
        new=Template("bring_in.rung.3", "without help; a kick on every beat"),
        tempo_bpm=(118, 126),
        grooves=FOURS,
        signals=FILLS,
    ),
    BringInRung(
        id="two-turns",
        new=Template("bring_in.rung.4", "with bass and chords, and only two turns to press on"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        turns=2,
        music=Music.ALL,
    ),
    BringInRung(
        id="eight-bars",
        new=Template("bring_in.rung.5", "phrases of eight bars"),
        tempo_bpm=(118, 128),
        grooves=FOURS,
        phrase_bars=8,
        turns=2,
        music=Music.ALL,
    ),
    BringInRung(
        id="next-turn",
        new=Template("bring_in.rung.8", "only the next turn counts, in phrases of eight bars"),
        tempo_bpm=(100, 134),
        grooves=(*FOURS, *EARLY_OR_LATE, *TAKING_TURNS),
        phrase_bars=8,
        turns=1,
        music=Music.ALL,
    ),
    BringInRung(
        id="false-fill",
        new=Template("bring_in.rung.6", "one fill comes in mid-phrase, where nothing turns"),
        tempo_bpm=(118, 132),
        grooves=(*FOURS, "techno", *EARLY_OR_LATE),
        phrase_bars=8,
        turns=2,
        exceptions=("false fill",),
    ),
    BringInRung(
        id="silent-turn",
        new=Template("bring_in.rung.7", "one turn comes without any warning"),
        tempo_bpm=(112, 132),
        grooves=(*FOURS, *EARLY_OR_LATE),
        turns=2,
        exceptions=("turn without fill",),
    ),
    BringInRung(
        id="six-bar-phrase",
        new=Template("bring_in.rung.9", "one phrase is six bars long; only the next three turns count"),
        tempo_bpm=(100, 134),
        grooves=(*FOURS, *EARLY_OR_LATE, *TAKING_TURNS),
        phrase_bars=8,
        # With three turns either phrase between them may be the odd one; with two it would always be the same.
        turns=3,
        exceptions=("six-bar phrase", "false fill"),
        help=BARE,
    ),
)


class BringIn(PressDrill[BringInRung]):
    """Press so that the second record's first beat falls on the first beat of a phrase."""

    id = "bring-in"
    place = 140
    ladder = 50
    title = Template("bring_in.title", "Bring it in")
    short = Template("bring_in.short", "Start the second record on the one of a phrase.")
    asks = Template(
        "bring_in.asks", "Press once to start the second record: its first beat is to land on the one of a phrase."
    )
    rungs = RUNGS
    records = 2
    words = PressWords(
        on=Template("bring_in.on", "You brought it in on the one of the phrase"),
        beat_late=Template(
            "bring_in.beat_late",
            "The press itself is the second record's first beat: press with the one, not after it.",
        ),
        beats_off=Template(
            "bring_in.beats_off", "That was not a one. Find the beat that starts the bar first, then count the bars."
        ),
        bars_off=Template(
            "bring_in.bars_off", "That was a one, but not the one of a phrase. Count the bars too: 1 2 3 4, 2 2 3 4."
        ),
    )

    def build(self, rung: BringInRung, rng: np.random.Generator, source: Source) -> Trial:
        per_bar = source.metre.beats_per_bar
        starts = [beat for beat in rung.starts if beat <= per_bar]
        beat, bar = starts[int(rng.integers(len(starts)))], int(rng.integers(rung.phrase_bars))
        first = bar * per_bar + beat - 1
        beats = (rung.turns * rung.phrase_bars + LEFT_BARS) * per_bar
        # Two phrases more, as exceptions may shorten the record.
        bars = (2 + -(-(first + beats) // (per_bar * rung.phrase_bars))) * rung.phrase_bars

        def sound(record_seed: int) -> Arrangement:
            return source.record(
                f"verse:{bars}",
                phrase_bars=rung.phrase_bars,
                seed=record_seed,
                song=rung.music.parts,
                exceptions=rung.exceptions,
                signals=rung.signals,
            ).excerpt(first, beats, lead_in_s=LEAD_IN_S)

        def misleads(sound: Arrangement) -> bool:
            return not rung.exceptions or any(
                odd.kind == rung.exceptions[0] and _before(odd, float(_turns_s(sound.count, rung.turns)[-1]))
                for odd in sound.exceptions
            )

        arrangement = promised(rng, sound, misleads)
        entry = source.second(rung.entries, rng).record(
            f"verse:{ENTRY_BARS}",
            phrase_bars=4,
            seed=int(rng.integers(2**31)),
        )
        return Trial(
            question=self.asks(),
            arrangement=arrangement,
            targets_s=_turns_s(arrangement.count, rung.turns),
            period_s=60.0 / source.tempo_bpm,
            help=rung.help,
            entry=Part(entry),
        )

    def retold(self, trial: Trial, sound: Arrangement, beside: tuple[Count, ...]) -> Trial | None:
        """With the turns of the other count."""
        targets_s = _turns_s(sound.count, len(trial.targets_s))
        if not targets_s.size:
            return None
        return replace(trial, arrangement=sound, targets_s=targets_s, period_s=60.0 / sound.tempo_bpm)

    def sheet_marks(self, trial: Trial, answer: Answer, result: Result) -> SheetMarks:
        """The ones of the learner's record over those of the first."""
        return SheetMarks(tuple(entry_marks(trial, answer, result)))


def _turns_s(count: Count, most: int) -> Seconds:
    """The turns to press on: the first beat is unpredictable, and the last bars leave too little to mix with."""
    left = LEFT_BARS * int(count.beat_in_bar.max())
    last_s = float(count.beats_s[max(0, len(count) - left)]) + 1e-6
    turns_s: Seconds = count.turns_s[count.turns_s <= last_s][:most]
    return turns_s


def _before(odd: Departed, turn_s: float) -> bool:
    """Whether an exception begins within the sound and before a turn, or is that turn."""
    return LEAD_IN_S + 1e-6 < odd.start_s < turn_s + (1e-6 if odd.kind == Departure.SILENT_TURN else -1e-6)


DRILL = BringIn()
