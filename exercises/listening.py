"""Closer listening: a trial cut down to some drums, to one phrase, or to one beat. What is left counts as before."""

from dataclasses import replace

import numpy as np

from exercises.trial.trial import Trial
from synth.score.arrangement import Arrangement

# Silence before a single beat; it is asked for again and again, so it is short.
LEAD_IN_S = 0.3


def with_voices(trial: Trial, *voices: str) -> Trial:
    """The trial with these voices alone, such as ``kick``; every time stays as it was."""
    return replace(trial, arrangement=_record(trial).only(*voices))


def one_phrase(trial: Trial, phrase_number: int) -> Trial:
    """One phrase of the trial, to be heard round and round: no silence before it, and it ends where it comes again.

    ``ValueError`` where the trial has no such phrase.
    """
    rows = np.flatnonzero(trial.count.phrase_number == phrase_number)
    if not rows.size:
        raise ValueError(f"phrase {phrase_number}: the trial has phrases {set(trial.count.phrase_number.tolist())}")
    return _cut(trial, int(rows[0]), len(rows), lead_in_s=0.0, tail_s=0.0)


def one_beat(trial: Trial, row: int) -> Trial:
    """One beat of the trial, by its row of the count; it rings out. ``ValueError`` where there is no such row."""
    if not 0 <= row < len(trial.count):
        raise ValueError(f"beat {row} of a count of {len(trial.count)}")
    return _cut(trial, row, 1, lead_in_s=LEAD_IN_S, tail_s=_record(trial).tail_s)


def _cut(trial: Trial, first: int, beats: int, lead_in_s: float, tail_s: float) -> Trial:
    part = replace(_record(trial).excerpt(first, beats, lead_in_s=lead_in_s), tail_s=tail_s)
    return replace(trial, arrangement=part, targets_s=np.empty(0), expected=None)


def _record(trial: Trial) -> Arrangement:
    if trial.arrangement is None:
        raise ValueError("a trial read from a file has no sound: make it again from drill, rung and seed")
    return trial.arrangement
