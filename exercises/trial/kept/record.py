"""A trial as stored in the logbook."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid4

import numpy as np

import exercises.trial.equipment_lag  # noqa: F401 - the verdict of a record may have its sentences
from exercises.trial.kept.truth import KeptTruth, truth_of
from exercises.trial.modes import Mode
from exercises.trial.result import Result
from exercises.trial.side_task import Key, SideTask
from exercises.trial.trial import Answer, Trial
from synth.base.arrays import Ints

DAY_S, DAY_MIN = 86_400.0, 1_440
WHEN = "%Y-%m-%dT%H:%M:%SZ"


def when_day(at: str) -> float:
    """Days since 1970, UTC, with fraction, of a stored time."""
    return datetime.fromisoformat(at).timestamp() / DAY_S  # strptime takes twenty times as long


@dataclass(frozen=True, slots=True, eq=False)
class TrialRecord:
    """One trial as practised: what regenerates it, the answer, the result, the equipment.

    ``when`` is UTC ("2030-05-01T18:00:00Z"); ``offset_min`` the local offset from UTC in minutes. ``result`` is what
    ``kept`` gives, None for a void trial with its reason in ``void``. ``calibration`` has lag and error in ms and
    the method, or None. ``uid`` is globally unique; ``id`` is the row in one logbook. ``sound_s`` is the duration of
    the sound, ``spent_s`` the practice time including the answer (None: computed by the logbook from the previous
    trial). Without ``sitting`` the logbook finds or starts one. ``truth`` is the trial's own, None where it is not
    known. ``rung`` is the number that the rung had in ``version``, ``rung_id`` its lasting name (None: the logbook
    finds it). ``learner`` is a name; without ``learner_id``, 32 hex digits, the first of that name is meant.
    ``ValueError`` for fields that contradict each other or are out of range.
    """

    when: str
    drill: str
    rung: int
    seed: int
    version: int
    groove: str
    tempo_bpm: float
    answer: Answer
    result: Mapping[str, Any] | None
    learner: str = "me"
    learner_id: str | None = None
    device: str = ""
    calibration: Mapping[str, Any] | None = None
    void: str | None = None
    simulated: bool = False
    mode: Mode = Mode.PLAIN
    uid: str = field(default_factory=lambda: uuid4().hex)
    id: int | None = None
    sitting: int | None = None
    sound_s: float = 0.0
    spent_s: float | None = None
    offset_min: int = 0
    truth: KeptTruth | None = None
    rung_id: str | None = None

    @property
    def recording(self) -> str | None:
        """Print of the learner's recording that was heard; None for the program's own sound."""
        return None if self.truth is None or self.truth.recorded is None else self.truth.recorded.print

    @property
    def equipment_uncertainty_ms(self) -> float:
        """What the result says of its uncertainty without that of the recording's grid."""
        whole = float((self.result or {}).get("uncertainty_ms") or 0.0)
        grid = 0.0 if self.truth is None or self.truth.recorded is None else self.truth.recorded.uncertainty_ms
        return math.sqrt(max(0.0, whole**2 - grid**2))

    def __post_init__(self) -> None:
        try:
            # Equivalent to strptime with WHEN in a twentieth of the time: lists hold hundreds of records.
            if len(self.when) != 20 or datetime.fromisoformat(self.when[:-1]).isoformat() + "Z" != self.when:
                raise ValueError
        except ValueError:
            raise ValueError(f"when {self.when!r}: UTC such as 2030-05-01T18:00:00Z expected") from None
        if (self.result is None) != (self.void is not None):
            raise ValueError("a trial has either a result or a reason why it is void")
        if not self.learner:
            raise ValueError("a learner has a name")
        if not (0 <= self.sound_s < DAY_S and 0 <= (self.spent_s or 0.0) < DAY_S):
            raise ValueError(f"sound {self.sound_s} s, spent {self.spent_s} s: 0 to a day expected, is this ms?")
        if not -DAY_MIN < self.offset_min < DAY_MIN:
            raise ValueError(f"offset {self.offset_min} min: less than a day expected, is this seconds?")


def local_day(when: str, offset_min: int) -> date:
    """Day of a moment ("2030-05-01T18:00:00Z") where the local time is ``offset_min`` minutes ahead of UTC."""
    return (datetime.fromisoformat(when[:-1]) + timedelta(minutes=offset_min)).date()


def kept(trial: Trial, result: Result) -> dict[str, Any]:
    """A result for the logbook: ``Result.to_record()`` and ``phrase_hits``.

    ``phrase_hits``: bar of the phrase -> [targets in it, targets hit]. Stored because regenerating the trials for a
    chart would take seconds.
    """
    data = result.to_record()
    marks = result.taps
    if marks is not None and marks.targets == len(trial.targets_s) > 0 and len(trial.count):
        bars = bars_of_targets(trial)
        met = np.isin(np.arange(marks.targets), marks.pairs[:, 0])
        data["phrase_hits"] = {
            str(bar): [int(np.sum(bars == bar)), int(np.sum(met[bars == bar]))] for bar in np.unique(bars) if bar > 0
        }
    return data


def bars_of_targets(trial: Trial) -> Ints:
    """Bar of the phrase of each target, (targets,)."""
    count = trial.count
    # Tolerates rounding; a target between two beats belongs to the first.
    rows = np.searchsorted(count.beats_s, trial.targets_s + 1e-6, side="right") - 1
    bars: Ints = count.bar_in_phrase[rows.clip(0)]
    return bars


def record(
    trial: Trial,
    answer: Answer,
    result: Result | None,
    *,
    when: datetime,
    groove: str | None = None,
    learner: str = "me",
    learner_id: str | None = None,
    device: str = "",
    calibration: Mapping[str, Any] | None = None,
    void: str | None = None,
    simulated: bool = False,
    mode: Mode = Mode.PLAIN,
    sounded_s: float | None = None,
    side: SideTask | None = None,
    side_answers: Iterable[tuple[float, Key]] = (),
) -> TrialRecord:
    """The record of a trial practised at ``when`` (aware, local zone; ``ValueError`` if naive).

    ``groove`` defaults to the trial's. ``sounded_s``: seconds heard of a sound that was broken off. ``side`` and
    ``side_answers``: the side task, and the answers to it (seconds of the sound, key).
    """
    offset = when.utcoffset()
    if offset is None:
        raise ValueError("when: a time with its zone expected")
    return TrialRecord(
        when=when.astimezone(UTC).strftime(WHEN),
        drill=trial.drill,
        rung=trial.rung,
        seed=trial.seed,
        version=trial.version,
        groove=trial.groove if groove is None else groove,
        tempo_bpm=round(60.0 / trial.period_s, 6),
        answer=answer,
        result=None if result is None or void is not None else kept(trial, result),
        learner=learner,
        learner_id=learner_id,
        device=device,
        calibration=calibration,
        void=void,
        simulated=simulated,
        mode=mode,
        sound_s=round(min(max(0.0, trial.duration_s if sounded_s is None else sounded_s), trial.duration_s), 3),
        offset_min=round(offset.total_seconds() / 60),
        truth=truth_of(trial, side, side_answers),
    )
