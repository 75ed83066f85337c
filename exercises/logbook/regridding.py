"""A trial on a recording whose grid was set right since: the same sound with its new count."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from exercises.drills import drills
from exercises.trial.trial import Trial
from synth.recording.source import RecordingSource
from synth.score.arrangement import Arrangement
from synth.score.recorded import Recorded

if TYPE_CHECKING:
    from synth.catalogue.catalogue import Catalogue

RATE_HZ = 48_000
# A recording's id -> the recording with its present grid; None where it is not known, or has none.
Sources = Callable[[str], RecordingSource | None]


def catalogued() -> Sources:
    """The recordings of the catalogue, which is read when the first is asked for."""

    @cache
    def catalogue() -> Catalogue:
        from synth.catalogue.catalogue import Catalogue

        return Catalogue()

    def source(print: str) -> RecordingSource | None:
        known = catalogue().get(print)
        if known is None or known.grid.refused is not None:
            return None
        return known.source()

    return source


def regridded(trial: Trial, sources: Sources) -> Trial | None:
    """The trial counted by the present grid of its recording, without a sound.

    None where that is the grid it has, where the recording is not known, and where what was asked does not go with
    another count.
    """
    heard, drill = trial.recorded, drills().get(trial.drill)
    if heard is None or drill is None:
        return None
    source = sources(heard.print)
    if source is None or source.sound.grid_version <= heard.grid_version:
        return None
    sound = _counted(heard, source, trial.truth().phrase_bars)
    found = None if sound is None else drill.retold(trial, sound)
    if sound is None or found is None:
        return None
    return replace(found, arrangement=None, written=sound.truth(RATE_HZ), heard_in=sound.recorded)


def _counted(heard: Recorded, source: RecordingSource, phrase_bars: int) -> Arrangement | None:
    """The stretch that was heard, with the beats of the present grid in it; None where that ends before it."""
    whole = source.at(source.grid.tempo_bpm * heard.speed).whole(phrase_bars)
    in_trial_s = whole.count.beats_s - heard.from_s / heard.speed
    rows = np.flatnonzero((in_trial_s >= heard.start_s) & (in_trial_s < heard.end_s))
    if not rows.size:
        return None
    part = whole.excerpt(int(rows[0]), len(rows), lead_in_s=float(in_trial_s[rows[0]]))
    recorded = replace(
        heard,
        grid_version=source.sound.grid_version,
        confirmed_by=source.sound.confirmed_by,
        uncertainty_ms=source.grid.uncertainty_ms,
    )
    return replace(part, recorded=recorded)
