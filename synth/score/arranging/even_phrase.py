"""A phrase of any record at an even tempo, as for a loop: every hit keeps its place between the beats."""

from dataclasses import replace

import numpy as np

from synth.base.errors import Trouble
from synth.base.words import Template
from synth.score.arranging.arrangement import EARLIEST_S, Arrangement
from synth.score.form import Section
from synth.score.hits import Hits
from synth.score.metre import steady_count

# Hits of a phrase: 32 bars of sixteenths on forty voices.
MOST_HITS = 20_000
SHORT = Template("even_phrase.short", "{name}: there is not one whole bar in it.")
DENSE = Template("even_phrase.dense", "{name}: there are too many hits in a phrase of it.")


def even_phrase(record: Arrangement, bars: int, tempo_bpm: float, start_s: float) -> Arrangement:
    """``bars`` bars from bar 1 on, the first beat at ``start_s`` seconds; a record that is shorter is repeated.

    ``Trouble`` for a record without a whole bar, and for more than ``MOST_HITS`` hits.
    """
    count, hits, per_bar = record.count, record.hits, record.metre.beats_per_bar
    first = int(np.argmax(count.bar_number > 0))
    body = (len(count) - first) // per_bar * per_bar
    if not body or not count.bar_number[first]:
        raise Trouble(SHORT(name=record.groove))
    # Times as beats from bar 1 on; a hit just before a beat belongs to it.
    grid_s, rows = np.append(count.beats_s, count.end_s), np.arange(len(count) + 1) - first
    at = np.interp(hits.onset_s, grid_s, rows)
    lasts = np.interp(hits.onset_s + hits.duration_s, grid_s, rows) - at
    early = EARLIEST_S / float(np.diff(grid_s).mean())
    kept = (at >= -early) & (at < body - early)
    beats, beat_s = bars * per_bar, 60.0 / tempo_bpm
    rounds = -(-beats // body)
    if rounds * int(kept.sum()) > MOST_HITS:
        raise Trouble(DENSE(name=record.groove))
    repeated_at = (at[kept] + body * np.arange(rounds)[:, None]).ravel()
    inside = repeated_at < beats - early

    def column(values: np.ndarray) -> np.ndarray:
        return np.tile(values[kept], rounds)[inside]

    return replace(
        record,
        count=steady_count(tempo_bpm, [bars], record.metre, start_s),
        hits=Hits.of(
            np.maximum(0.0, start_s + repeated_at[inside] * beat_s),
            column(hits.voice),
            column(hits.velocity),
            hits.voices,
            column(hits.pitch),
            column(lasts) * beat_s,
        ),
        sections=(Section("verse", start_s, bars),),
        tempo_bpm=tempo_bpm,
        intro_bars=0,
        phrase_bars=bars,
        turns=(),
        exceptions=(),
    )
