"""Mark stored trials again with the current marking, from drill, rung, seed, version and answer."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from exercises.drills import drills
from exercises.logbook.store import Logbook, compact
from exercises.trial.record import TrialRecord, kept
from exercises.trial.trial import VERSION, Trial
from synth.base.errors import Trouble
from synth.base.words import Say, Template, plural

BATCH = 500

SEEN = Template("remark.seen", "{n} trials looked at, {void} of them void.")
SAME = Template("remark.same", "Every result is the same as before.")
CHANGED_ONE, CHANGED = (
    Template("remark.changed_one", "One result is different."),
    Template("remark.changed", "{n} results are different."),
)
OF_DRILL = Template(
    "remark.of_drill", "{drill}: {n} different; {rights} right that were not, {wrongs} no longer right."
)
OLDER = Template("remark.older", "Left as they are, since another version of the program made them: {n}.")
GONE = Template("remark.gone", "Left as they are, since they cannot be made again: {n}.")
NOT_KEPT = Template("remark.not_kept", "Nothing was written.")


@dataclass(slots=True)
class Remarked:
    """Counts of a re-marking run; changed results by drill, and how many became right or wrong."""

    seen: int = 0
    void: int = 0
    older: int = 0
    gone: int = 0
    changed: Counter[str] = field(default_factory=Counter)
    rights: Counter[str] = field(default_factory=Counter)
    wrongs: Counter[str] = field(default_factory=Counter)
    written: bool = True

    def says(self) -> tuple[Say, ...]:
        """The counts in words, one sentence a line."""
        says = [SEEN(n=self.seen, void=self.void)]
        total = self.changed.total()
        says.append(plural(total, CHANGED_ONE, CHANGED) if total else SAME())
        for drill, n in sorted(self.changed.items()):
            says.append(OF_DRILL(drill=drill, n=n, rights=self.rights[drill], wrongs=self.wrongs[drill]))
        says += [template(n=n) for template, n in ((OLDER, self.older), (GONE, self.gone)) if n]
        return tuple(says if self.written else [*says, NOT_KEPT()])


def remark(logbook: Logbook, *, write: bool = True) -> Remarked:
    """Mark every trial of a logbook again and, with ``write``, store changed results."""
    found = Remarked(written=write)
    last = 0
    while rows := logbook.trials_after(last, BATCH):
        new = {each.id: result for each in rows if (result := _anew(each, found)) is not None and each.id}
        if write and new:
            logbook.set_results({id: compact(result) for id, result in new.items()})
        last = rows[-1].id or 0
    if write and found.changed:
        logbook.forget_levels()
    return found


def rebuilt(record: TrialRecord) -> Trial | None:
    """Regenerate the trial of a record; None where it cannot be the same. ``Trouble`` as from ``Drill.make``."""
    drill = drills().get(record.drill)
    if drill is None:
        return None
    for wish in ({}, {"tempo_bpm": record.tempo_bpm, "groove": record.groove}):
        trial = drill.make(record.rung, record.seed, **wish)  # type: ignore[arg-type]
        if trial.groove == record.groove and np.isclose(60 / trial.period_s, record.tempo_bpm, rtol=1e-6):
            return trial
    return None


def _anew(record: TrialRecord, found: Remarked) -> dict[str, object] | None:
    """The new result if it differs from the old; counts go to ``found``."""
    found.seen += 1
    if record.result is None:
        found.void += 1
        return None
    if record.version != VERSION:
        found.older += 1
        return None
    try:
        trial = rebuilt(record)
        if trial is None:
            found.gone += 1
            return None
        result = drills()[record.drill].mark(
            trial,
            record.answer,
            uncertainty_ms=float(record.result.get("uncertainty_ms") or 0.0),
            calibrated=record.calibration is not None,
        )
    except (Trouble, ValueError):
        found.gone += 1
        return None
    new = kept(trial, result) | _beside(record.result, result.to_record()["verdict"])
    if _in_words(json.loads(compact(new))) == _in_words(record.result):
        return None
    found.changed[record.drill] += 1
    found.rights[record.drill] += bool(new.get("right")) and not record.result.get("right")
    found.wrongs[record.drill] += bool(record.result.get("right")) and not new.get("right")
    return new


def _in_words(result: Mapping[str, Any]) -> dict[str, Any]:
    """A result with its verdict in English: version 0.1.0 kept no ids of sentences."""
    return {**result, "verdict": [str(Say.from_json(each)) for each in result.get("verdict", ())]}


def _beside(old: Mapping[str, Any], verdict: list[Any]) -> dict[str, Any]:
    """Figures and sentence that a side task added to a result (see ``busy_result``); empty where there was none.

    The answers to it are not stored, so it cannot be marked again.
    """
    figures = {name: value for name, value in old.items() if name.startswith("side_")}
    return figures | {"verdict": [*verdict, *old.get("verdict", ())[-1:]]} if figures else {}
