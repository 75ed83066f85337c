"""Mark stored trials again with the current marking, each from its own truth and answer."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from typing import Any

import msgspec

from exercises.drills import drills
from exercises.logbook.old_trials.missing_truths import UNMARKABLE, made_truth, rebuilt
from exercises.logbook.old_trials.regridding import Sources, catalogued, regridded, set_right
from exercises.logbook.store import Logbook, compact
from exercises.trial.equipment_lag import DRILLS as LAG_DRILLS
from exercises.trial.equipment_lag import LagWatch, excused
from exercises.trial.kept.record import TrialRecord, kept
from exercises.trial.kept.truth import KeptTruth, truth_of
from exercises.trial.modes import Mode
from exercises.trial.side_task import busy_result
from exercises.trial.versions import VERSION
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
UNLIKE = Template(
    "remark.unlike",
    "Marked by their own truth, which is another one than that of the same trial made again: {n}.",
)
GONE = Template("remark.gone", "Left as they are, since they cannot be made again: {n}.")
COUNTED_ANEW = Template("remark.counted_anew", "Counted by a grid that was set right since: {n}.")
NO_ANSWER = Template(
    "remark.no_answer", "Left as they were, since what they asked has no answer by the grid set right: {n}."
)
NOT_KEPT = Template("remark.not_kept", "Nothing was written.")


@dataclass(slots=True)
class Remarked:
    """Counts of a re-marking run; changed results by drill, and how many became right or wrong.

    ``unlike`` trials were made again with another truth than their own. ``truths`` were filled in, by row;
    ``regridded`` are those of ``counted_anew`` trials, on recordings whose grid was set right; ``unasked`` ones were
    left by their own count, since that grid gives no answer to what they asked.
    """

    seen: int = 0
    void: int = 0
    older: int = 0
    gone: int = 0
    unlike: int = 0
    counted_anew: int = 0
    unasked: int = 0
    truths: dict[int, KeptTruth] = field(default_factory=dict)
    regridded: dict[int, KeptTruth] = field(default_factory=dict)
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
        says += [
            template(n=n)
            for template, n in (
                (COUNTED_ANEW, self.counted_anew),
                (NO_ANSWER, self.unasked),
                (OLDER, self.older),
                (GONE, self.gone),
                (UNLIKE, self.unlike),
            )
            if n
        ]
        return tuple(says if self.written else [*says, NOT_KEPT()])


def remark(logbook: Logbook, *, write: bool = True, sources: Sources | None = None) -> Remarked:
    """Mark every trial of a logbook again and, with ``write``, store changed results and truths filled in.

    Trials on recordings whose grid was set right since are counted by that grid, of ``sources`` (None: the
    catalogue).
    """
    sources = cache(sources or catalogued())
    found = Remarked(written=write)
    lags = _equipment_lags(logbook)
    last = 0
    while rows := logbook.trials_after(last, BATCH):
        new = {
            each.id: result
            for each in rows
            if (result := _anew(each, found, lags.get(each.uid), sources)) is not None and each.id
        }
        if write and new:
            logbook.set_results({id: compact(result) for id, result in new.items()})
        if write and found.truths:
            logbook.set_truths(found.truths)
        if write and found.regridded:
            logbook.replace_truths(found.regridded)
        found.truths.clear()
        found.counted_anew += len(found.regridded)
        found.regridded.clear()
        last = rows[-1].id or 0
    if write and found.changed:
        logbook.forget_levels()
    return found


def _equipment_lags(logbook: Logbook) -> dict[str, float]:
    """Trials whose steady lag is the equipment's, as ``LagWatch`` finds it: uid -> ms."""
    watches: dict[str, LagWatch] = {}
    found: dict[str, float] = {}
    for each in logbook.all():
        if each.drill not in LAG_DRILLS or each.void is not None or each.truth is None or each.recording:
            continue
        if each.mode is Mode.BUSY:
            continue
        with suppress(*UNMARKABLE):
            trial = each.truth.trial(each.drill, each.rung, each.seed, each.version, each.groove)
            watch = watches.setdefault(each.learner_id or each.learner, LagWatch())
            at_s = datetime.fromisoformat(each.when).timestamp()
            found |= watch.see((each.device, each.calibration), each.uid, at_s, trial, each.answer)
    return found


def _anew(record: TrialRecord, found: Remarked, lag_ms: float | None, sources: Sources) -> dict[str, object] | None:
    """The new result if it differs from the old; counts go to ``found``. ``lag_ms``: that of the equipment."""
    found.seen += 1
    truth = record.truth
    if truth is None:
        truth = made_truth(record)
        if truth is not None and record.id is not None:
            found.truths[record.id] = truth
    elif record.version == VERSION:
        found.unlike += not _made_alike(record, truth)
    if record.result is None:
        found.void += 1
        return None
    if truth is None:
        found.gone += record.version == VERSION
        found.older += record.version != VERSION
        return None
    try:
        trial = truth.trial(record.drill, record.rung, record.seed, record.version, record.groove)
        other = None
        if (right := regridded(trial, sources)) is not None and (told := truth_of(right)) is not None:
            trial, other = right, msgspec.structs.replace(told, side=truth.side)
        unasked = other is None and set_right(trial, sources)
        drill = drills()[record.drill]
        if trial.kind is not drill.kind:
            raise ValueError(f"{drill.id} is not answered by {trial.kind}")
        result = drill.mark(
            trial,
            record.answer,
            uncertainty_ms=record.equipment_uncertainty_ms,
            calibrated=record.calibration is not None,
        )
        if truth.side is not None:
            result = busy_result(result, truth.side.marks())
        if lag_ms is not None:
            result = excused(result, lag_ms)
        new = kept(trial, result)
    except UNMARKABLE:
        found.gone += 1
        return None
    found.unasked += unasked
    if other is not None:
        found.regridded[record.id or 0] = other
    if truth.side is None:
        new |= _beside(record.result, new["verdict"])
    if _in_words(json.loads(compact(new))) == _in_words(record.result):
        return None
    found.changed[record.drill] += 1
    found.rights[record.drill] += bool(new.get("right")) and not record.result.get("right")
    found.wrongs[record.drill] += bool(record.result.get("right")) and not new.get("right")
    return new


def _made_alike(record: TrialRecord, truth: KeptTruth) -> bool:
    """Whether a trial that can be made again is as it was kept; so is one that cannot."""
    try:
        made = rebuilt(record)
        again = None if made is None else truth_of(made)
    except (Trouble, ValueError):
        return True
    return again is None or again.like(truth)


def _in_words(result: Mapping[str, Any]) -> dict[str, Any]:
    """A result with its verdict in English: version 0.1.0 kept no ids of sentences."""
    return {**result, "verdict": [str(Say.from_json(each)) for each in result.get("verdict", ())]}


def _beside(old: Mapping[str, Any], verdict: list[Any]) -> dict[str, Any]:
    """Figures and sentence that a side task added to a result (see ``busy_result``); empty where there was none.

    For trials of version 0.2.0, which kept no answers to it.
    """
    figures = {name: value for name, value in old.items() if name.startswith("side_")}
    return figures | {"verdict": [*verdict, *old.get("verdict", ())[-1:]]} if figures else {}
