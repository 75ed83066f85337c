"""A trial on a recording whose grid was set right since: the same sound with its new count."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from exercises.drills import drills
from exercises.logbook.old_trials.again import with_recorded
from exercises.timing.window import window_s
from exercises.trial.trial import Trial
from synth.recording.source import RecordingSource
from synth.score.arranging.arrangement import Arrangement
from synth.score.arranging.sequence import joined
from synth.score.recorded import Recorded

if TYPE_CHECKING:
    from synth.catalogue.catalogue import Catalogue

RATE_HZ = 48_000
# A recording's id -> the recording with its present grid; None where it is not known, or has none.
Sources = Callable[[str], RecordingSource | None]


def catalogued(catalogue: Catalogue | None = None) -> Sources:
    """The recordings of a catalogue (None: the learner's, which is read when the first is asked for)."""

    @cache
    def known_ones() -> Catalogue:
        from synth.catalogue.catalogue import Catalogue

        return Catalogue() if catalogue is None else catalogue

    def source(print: str) -> RecordingSource | None:
        known = known_ones().get(print)
        if known is None or known.grid.refused is not None:
            return None
        return known.source()

    return source


def set_right(trial: Trial, sources: Sources) -> bool:
    """Whether a record that plays in the trial has a later grid than the one that it was counted by."""
    return any(_later(each, sources) is not None for each in (trial.recorded, trial.second_recorded))


def regridded(trial: Trial, sources: Sources) -> Trial | None:
    """The trial counted by the present grids of its recordings, without a sound.

    None where no grid is a later one, and where what was asked has no answer by it.
    """
    heard, second, drill = trial.recorded, trial.second_recorded, drills().get(trial.drill)
    if heard is None or drill is None or not set_right(trial, sources):
        return None
    phrase_bars, beside = trial.truth().phrase_bars, trial.counts_beside
    sound: Arrangement | None = with_recorded(trial, heard)
    if (source := _later(heard, sources)) is not None:
        sound = _counted(heard, source, phrase_bars)
    if second is not None and (source := _later(second, sources)) is not None:
        counted = _counted(second, source, phrase_bars)
        second = None if counted is None else counted.recorded
        beside = (counted.count,) if beside and counted is not None else beside
    if sound is None or (trial.second_recorded is not None and second is None):
        return None
    try:
        found = drill.retold(trial, sound, beside)
    except ValueError:  # a beat that nobody taps
        return None
    if found is None or found.arrangement is None:
        return None
    sound = found.arrangement
    written, others = sound.truth(RATE_HZ), trial.counts_beside and beside
    return replace(found, arrangement=None, written=written, heard_in=sound.recorded, second_in=second, others=others)


def _later(heard: Recorded | None, sources: Sources) -> RecordingSource | None:
    """The recording, if its grid is a later one than that of a trial."""
    source = None if heard is None else sources(heard.print)
    if heard is None or source is None or source.sound.grid_version <= heard.grid_version:
        return None
    return source


def _counted(heard: Recorded, source: RecordingSource, phrase_bars: int) -> Arrangement | None:
    """What was heard, with the beats of the present grid in it; None where that ends before it."""
    found: Arrangement | None = None
    for stretch in heard.stretches:
        whole = source.at(source.grid.tempo_bpm * stretch.speed).whole(phrase_bars)
        beats_s = whole.count.beats_s - stretch.from_s / stretch.speed
        # A beat belongs to it of which as much is heard as a tap may be late.
        early_s = window_s(60.0 / whole.tempo_bpm)
        rows = np.flatnonzero((beats_s >= stretch.start_s - early_s) & (beats_s < stretch.end_s - early_s))
        rows = rows[beats_s[rows] >= 0]
        if not rows.size:
            return None
        part = whole.excerpt(int(rows[0]), len(rows), lead_in_s=float(beats_s[rows[0]]))
        recorded = replace(
            stretch,
            grid_version=source.sound.grid_version,
            confirmed_by=source.sound.confirmed_by,
            uncertainty_ms=source.grid.uncertainty_ms,
        )
        part = replace(part, recorded=recorded)
        found = part if found is None else joined(found, part)
    return found
