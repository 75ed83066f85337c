"""Repeat the record of a MIDI file until it fills a form."""

from dataclasses import replace

import numpy as np

from synth.base.arrays import Ints
from synth.base.errors import Trouble
from synth.midi.reading import LONGEST_S, MOST_BEATS
from synth.score.arranging.arrangement import EARLIEST_S, Arrangement
from synth.score.form import Form, Section
from synth.score.hits import Hits
from synth.score.metre import Count

MOST_HITS = 500_000


def filled(record: Arrangement, form: Form, phrase_bars: int = 4) -> Arrangement:
    """The record repeated, or cut, to the bars of the form, with its sections and phrases.

    Repeated is what follows the pick-up, or the whole where it ends inside a bar that its beginning completes.
    ``Trouble`` where this would be more than two hours, 40 000 beats or half a million hits.
    """
    count, hits, name = record.count, record.hits, record.groove
    per_bar, numbers = record.metre.beats_per_bar, count.beat_in_bar
    whole = numbers[0] == numbers[-1] % per_bar + 1
    first_one = int(np.argmax(count.bar_number > 0))
    body = 0 if whole and numbers[0] != 1 else first_one
    start_s = float(count.beats_s[body])
    round_s = count.end_s - start_s
    # One round more than the bars of one need, as the first may begin inside a bar.
    rounds = -(-form.bars // max(1, int(np.sum(numbers[body:] == 1)))) + 1
    late = (hits.onset_s >= start_s - EARLIEST_S) | (body == 0)
    if rounds * (len(count) - body) > 2 * MOST_BEATS or rounds * int(late.sum()) > MOST_HITS:
        raise Trouble(f"{name}: {form.bars} bars of it are too much to practise with.")
    by_s = round_s * np.arange(rounds)[:, None]
    beats_s = np.concatenate([count.beats_s[:body], (count.beats_s[body:] + by_s).ravel()])
    beat = np.concatenate([numbers[:body], np.tile(numbers[body:], rounds)])
    bar = np.cumsum((beat == 1) & (np.arange(len(beat)) >= first_one))
    rows = int(np.searchsorted(bar, form.bars, side="right"))
    if rows > MOST_BEATS or beats_s[rows - 1] > LONGEST_S:
        raise Trouble(f"{name}: {form.bars} bars of it last too long to practise with.")

    def repeated(column: np.ndarray) -> np.ndarray:
        return np.concatenate([column[~late], np.tile(column[late], rounds)])

    longer = replace(
        record,
        count=Count(beats_s, beat, bar, *_phrases(bar, form, phrase_bars), start_s + rounds * round_s),
        hits=Hits.of(
            np.concatenate([hits.onset_s[~late], (hits.onset_s[late] + by_s).ravel()]),
            repeated(hits.voice),
            repeated(hits.velocity),
            hits.voices,
            repeated(hits.pitch),
            repeated(hits.duration_s),
        ),
    )
    cut = longer.excerpt(0, rows, lead_in_s=float(beats_s[0]))
    starts = np.cumsum([0, *(bars for _, bars in form.sections)])
    ones_s = beats_s[(beat == 1) & (bar > 0)]
    return replace(
        cut,
        sections=tuple(
            Section(title, float(ones_s[at]), bars)
            for (title, bars), at in zip(form.sections, starts.tolist(), strict=False)
        ),
        intro_bars=form.intro_bars,
        phrase_bars=phrase_bars,
    )


def _phrases(bar: Ints, form: Form, phrase_bars: int) -> tuple[Ints, Ints]:
    """Bar in phrase and phrase number of every beat."""
    lengths = [bars for section in form.phrases(phrase_bars) for bars in section]
    starts = 1 + np.cumsum([0, *lengths[:-1]])
    number = np.searchsorted(starts, bar, side="right")
    return np.where(bar > 0, bar - starts[number - 1] + 1, 0), number
