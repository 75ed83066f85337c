"""Delay, cut and join arrangements."""

from dataclasses import replace

import numpy as np

from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.turns import PhraseTurn
from synth.score.hits import Hits
from synth.score.metre import Count

# s of a beat that a count can keep (``exercises.trial.kept.grid`` keeps microseconds).
LEAST_S = 1e-6


def delayed(arrangement: Arrangement, by_s: float) -> Arrangement:
    """Prepend ``by_s`` (0 or more) seconds of silence."""
    if by_s < 0:
        raise ValueError(f"by_s {by_s:g}: 0 or more seconds expected")
    hits = arrangement.hits
    return replace(
        arrangement,
        count=arrangement.count.shifted(by_s),
        hits=replace(hits, onset_s=hits.onset_s + by_s),
        recorded=arrangement.recorded and arrangement.recorded.moved(by_s),
        sections=tuple(replace(section, start_s=section.start_s + by_s) for section in arrangement.sections),
        turns=tuple(PhraseTurn(turn.time_s + by_s, turn.signals) for turn in arrangement.turns),
        exceptions=tuple(replace(odd, start_s=odd.start_s + by_s) for odd in arrangement.exceptions),
    )


def cut(arrangement: Arrangement, end_s: float) -> Arrangement:
    """Break the arrangement off at ``end_s`` seconds, on a beat or not; earlier hits ring out.

    A beat within ``LEAST_S`` before the end, as rounding puts one that lies on it, is not in the count.
    ``ValueError`` unless ``end_s`` lies after the first beat and within the count.
    """
    count, hits = arrangement.count, arrangement.hits
    beats = int(np.searchsorted(count.beats_s, end_s - LEAST_S, side="left"))
    if not beats or end_s > count.end_s:
        raise ValueError(f"end_s {end_s:g}: a moment after the first beat, at most {count.end_s:g} s, expected")
    return replace(
        arrangement,
        count=replace(count.excerpt(0, beats), end_s=end_s),
        hits=hits.where(np.maximum(hits.grid_s, hits.onset_s) < end_s - 1e-9),
        recorded=arrangement.recorded and arrangement.recorded.within(0.0, end_s),
        sections=tuple(each for each in arrangement.sections if each.start_s < end_s),
        turns=tuple(each for each in arrangement.turns if each.time_s < end_s),
        exceptions=tuple(each for each in arrangement.exceptions if each.start_s < end_s),
    )


def stretched(arrangement: Arrangement, factor: float) -> Arrangement:
    """The arrangement ``factor`` (above 0) times as long: at another tempo, every hit on its place."""
    if not factor > 0:
        raise ValueError(f"factor {factor:g}: above 0 expected")
    hits, count = arrangement.hits, arrangement.count
    return replace(
        arrangement,
        count=replace(count, beats_s=count.beats_s * factor, end_s=count.end_s * factor),
        hits=replace(
            hits,
            onset_s=hits.onset_s * factor,
            duration_s=hits.duration_s * factor,
            shift_s=hits.shift_s * factor,
        ),
        recorded=arrangement.recorded and arrangement.recorded.stretched(factor),
        tempo_bpm=arrangement.tempo_bpm / factor,
        sections=tuple(replace(section, start_s=section.start_s * factor) for section in arrangement.sections),
        turns=tuple(replace(turn, time_s=turn.time_s * factor) for turn in arrangement.turns),
        exceptions=tuple(replace(odd, start_s=odd.start_s * factor) for odd in arrangement.exceptions),
    )


def followed_by(first: Arrangement, second: Arrangement, pause_s: float = 0.0) -> Arrangement:
    """Join two arrangements with ``pause_s`` (0 or more) seconds of silence between them.

    Bars and phrases are numbered on; tempo, metre, groove and intro are those of ``first``. ``ValueError`` for a
    negative pause, different voices or different recordings.
    """
    if pause_s < 0:
        raise ValueError(f"pause_s {pause_s:g}: 0 or more seconds expected")
    return joined(first, delayed(second, first.count.end_s + pause_s))


def joined(first: Arrangement, later: Arrangement) -> Arrangement:
    """``followed_by`` of one whose times are those of ``first``."""
    if first.hits.voices != later.hits.voices:
        raise ValueError("both records must name their voices alike")
    if (first.recorded is None) != (later.recorded is None):
        raise ValueError("two recordings or none expected")
    ours, theirs = first.count, later.count
    columns = ("onset_s", "voice", "velocity", "pitch", "duration_s", "shift_s")
    onset_s, voice, velocity, pitch, duration_s, shift_s = (
        np.concatenate([getattr(first.hits, name), getattr(later.hits, name)]) for name in columns
    )
    return replace(
        first,
        count=Count(
            np.concatenate([ours.beats_s, theirs.beats_s]),
            np.concatenate([ours.beat_in_bar, theirs.beat_in_bar]),
            np.concatenate([ours.bar_number, theirs.bar_number + int(ours.bar_number[-1])]),
            np.concatenate([ours.bar_in_phrase, theirs.bar_in_phrase]),
            np.concatenate([ours.phrase_number, theirs.phrase_number + int(ours.phrase_number[-1])]),
            theirs.end_s,
        ),
        hits=Hits.of(onset_s, voice, velocity, first.hits.voices, pitch, duration_s, shift_s=shift_s),
        recorded=first.recorded and later.recorded and first.recorded.followed_by(later.recorded),
        sections=first.sections + later.sections,
        turns=first.turns + later.turns,
        exceptions=first.exceptions + later.exceptions,
    )
