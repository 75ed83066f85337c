"""What a tutor makes of a recording: a part of it to count over, and a drum intro in front of it."""

from dataclasses import replace

import numpy as np

from synth.base.errors import Trouble
from synth.base.words import Template
from synth.recording.source import RecordingSource
from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.grooves import groove
from synth.score.metre import NUMBERS, TEMPO_RANGE_BPM, Count

# Bars of the drum intros that are made for mixing (common practice).
INTROS = (4, 8, 16)
# Its groove where none is chosen: a kick on every beat agrees with most records.
INTRO_GROOVE = "four-on-the-floor"
# Seconds before the first beat: a word begins before its beat.
LEAD_IN_S = 0.4

NO_BAR = Template("teaching.no_bar", "{title} has bars 1 to {last}, not {bar}.")
NO_TEMPO = Template("teaching.no_tempo", "{title} has {bpm} BPM. A drum intro has {low} to {high}.")
NOT_IN_FOUR = Template("teaching.not_in_four", "{groove} is not in four, as records are.")


def part_of(source: RecordingSource, first_bar: int = 1, bars: int | None = None) -> Arrangement:
    """``bars`` bars (1 or more) of a recording from ``first_bar`` on, from 1.

    None, or more than there are: all that follow, and what sounds after them. Raises ``Trouble`` for a bar that it
    does not have.
    """
    whole = source.whole()
    last = int(whole.count.bar_number.max())
    if not 1 <= first_bar <= last:
        raise Trouble(NO_BAR(title=source.sound.title, last=last, bar=first_bar))
    rows = np.flatnonzero(
        (whole.count.bar_number >= first_bar) & (bars is None or whole.count.bar_number < first_bar + (bars or 0))
    )
    to_the_end = rows[-1] == len(whole.count) - 1
    beats = None if to_the_end else len(rows)
    part = whole.excerpt(int(rows[0]), beats, lead_in_s=LEAD_IN_S)
    tail_s = max(0.0, part.recorded.end_s - part.count.end_s) if part.recorded and to_the_end else 0.0
    return replace(part, intro_bars=0, tail_s=tail_s)


def with_intro(
    source: RecordingSource, bars: int, groove_name: str = INTRO_GROOVE, *, seed: int = 0, first_bar: int = 1
) -> Arrangement:
    """A recording from ``first_bar`` on behind ``bars`` bars of drums (``in_front``).

    Raises ``Trouble`` also for a bar that the recording does not have.
    """
    return in_front(part_of(source, first_bar), bars, groove_name, seed=seed)


def in_front(record: Arrangement, bars: int, groove_name: str = INTRO_GROOVE, *, seed: int = 0) -> Arrangement:
    """``bars`` bars of drums and then a recording, which begins on a one, at its tempo and on its grid.

    Bars and phrases are numbered through. Raises ``Trouble`` for an unknown groove, one that is not in four, and a
    tempo that no groove is played at.
    """
    found = groove(groove_name)
    if found.metre.beats_per_bar != record.metre.beats_per_bar:
        raise Trouble(NOT_IN_FOUR(groove=groove_name))
    low, high = TEMPO_RANGE_BPM
    if not low <= record.tempo_bpm <= high:
        title = record.recorded.title if record.recorded else ""
        raise Trouble(NO_TEMPO(title=title, bpm=f"{record.tempo_bpm:.2f}", low=round(low), high=round(high)))
    drums = arrange(found, tempo_bpm=record.tempo_bpm, form=f"intro:{bars}", seed=seed).excerpt(
        0, lead_in_s=LEAD_IN_S
    )
    behind_s = drums.count.end_s - float(record.count.beats_s[0])
    return replace(
        record,
        count=_followed(drums.count, record.count.shifted(behind_s)),
        hits=drums.hits.where(drums.hits.grid_s < drums.count.end_s - 1e-9),
        recorded=record.recorded and record.recorded.moved(behind_s),
        turns=tuple(replace(turn, time_s=turn.time_s + behind_s) for turn in record.turns),
        intro_bars=bars,
        groove=groove_name,
    )


def _followed(first: Count, second: Count) -> Count:
    """Two counts as one, bars and phrases numbered on."""
    beat, bar, in_phrase, phrase = (
        np.concatenate([getattr(first, name), getattr(second, name) - by + after])
        for name, by, after in zip(
            NUMBERS,
            (0, int(second.bar_number[0]) - 1, 0, int(second.phrase_number[0]) - 1),
            (0, int(first.bar_number[-1]), 0, int(first.phrase_number[-1])),
            strict=True,
        )
    )
    return Count(np.concatenate([first.beats_s, second.beats_s]), beat, bar, in_phrase, phrase, second.end_s)
