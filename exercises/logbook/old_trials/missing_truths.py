"""Fills in the truths of trials that were kept without one, while the drills still make those trials.

In steps that may end at any time: nothing is lost, and the next run goes on.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import numpy as np

from exercises.drills import drills
from exercises.forms.rungs import Rung
from exercises.logbook.old_trials.version_2 import rung_of_2
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import TrialRecord, kept
from exercises.trial.kept.truth import KeptTruth, truth_of
from exercises.trial.trial import Trial
from exercises.trial.versions import VERSION
from synth.base.errors import Trouble

# Versions that were kept without a truth. Of another version than the present one a trial is believed only where it
# is as long as the one that was heard and its marks are the stored ones.
UNTOLD = (2,)
# Seconds of sound after the last beat, in those versions.
TAILS_S = (0.0, 1.5)
# Trials written in one transaction.
STEP = 20
# Keys of a result that do not follow from trial and answer alone.
OTHER = ("verdict", "uncertainty_ms")
# Anything that marking a trial may raise whose truth goes with another drill, or none.
UNMARKABLE = (Trouble, ValueError, LookupError, ArithmeticError, TypeError, AssertionError)


def rebuilt(record: TrialRecord) -> Trial | None:
    """Regenerate the trial of a record; None where it cannot be the same. ``Trouble`` as from ``Drill.make``."""
    return next(_made(record), None)


def _made(record: TrialRecord, row: Rung | None = None) -> Iterator[Trial]:
    """Trials of the record's drill, rung, seed, groove and tempo: drawn, or wished for."""
    drill = drills().get(record.drill)
    if drill is None:
        return
    wishes: list[dict[str, Any]] = [{}, {"tempo_bpm": record.tempo_bpm, "groove": record.groove}]
    if record.truth is not None:
        wishes = [{"tempo_bpm": record.truth.tempo_wish, "groove": record.truth.groove_wish}]
    for wish in wishes:
        trial = drill.make(record.rung, record.seed, row=row, **wish)
        if trial.groove == record.groove and np.isclose(60 / trial.period_s, record.tempo_bpm, rtol=1e-6):
            yield trial


def made_truth(record: TrialRecord) -> KeptTruth | None:
    """The truth of a trial that was kept without one; None where it cannot be known any more."""
    if record.version not in (*UNTOLD, VERSION):
        return None
    with suppress(*UNMARKABLE):
        row = None if record.version == VERSION else rung_of_2(record.drill, record.rung)
        for trial in _made(record, row):
            if record.version == VERSION or _as_heard(record, trial):
                return truth_of(trial)
    return None


def _as_heard(record: TrialRecord, trial: Trial) -> bool:
    """Whether a trial made by other means has the length and the marks of the record's."""
    end_s = trial.count.end_s
    if record.result is None or not any(abs(record.sound_s - end_s - tail_s) <= 0.001 for tail_s in TAILS_S):
        return False
    uncertainty_ms = float(record.result.get("uncertainty_ms") or 0.0)
    found = kept(trial, drills()[record.drill].mark(trial, record.answer, uncertainty_ms=uncertainty_ms))
    return all(record.result.get(name) == value for name, value in found.items() if name not in OTHER)


def fill(logbook: Logbook) -> Iterator[int]:
    """Fill in truths, oldest trial first; yields after each trial, with the row up to which all is written."""
    for version in dict.fromkeys((*UNTOLD, VERSION)):
        last = 0
        while rows := logbook.untold(version, last, STEP):
            found: dict[int, KeptTruth] = {}
            for record in rows:
                if record.id is not None and (truth := made_truth(record)) is not None:
                    found[record.id] = truth
                yield last
            if found:
                logbook.set_truths(found)
            last = rows[-1].id or 0
