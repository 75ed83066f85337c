"""Validates a stored or exported trial and builds its record.

Rows of every logbook, the learner's own included, and lines of an export are checked alike. Valid ones can be shown,
summed, exported and marked again; ``Unfit`` names what is wrong.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, NamedTuple

import numpy as np
from msgspec import Meta, Struct

from exercises.trial.answers import LONGEST_S, MOST_TAPS
from exercises.trial.kept.record import TrialRecord
from exercises.trial.kept.truth import kept_truth
from exercises.trial.modes import Mode
from exercises.trial.trial import Answer
from synth.base.arrays import Seconds
from synth.base.border import Unfit, fitted, parsed
from synth.base.sentences import Figure, Id, Number, Plain, Sentence, check_depth

# Possible years of a wrong computer clock: without a battery it starts at 1970.
YEARS = (1970, 2199)

Text = Annotated[str, Meta(max_length=1000)]
Name = Annotated[str, Meta(min_length=1, max_length=1000)]
Hex = Annotated[str, Meta(pattern="^[0-9a-f]{32}$")]
Moment = Annotated[str, Meta(pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$")]
Size = Annotated[float, Meta(ge=0, le=1e12)]
Share = Annotated[float, Meta(ge=0, le=1)]
Tally = Annotated[int, Meta(ge=0, le=1_000_000)]
Whole = Annotated[int, Meta(ge=0, le=2**63 - 1)]
Day = Annotated[float, Meta(ge=0, lt=86_400)]
Given = Annotated[str, Meta(max_length=200)] | Figure | None
Beat = Annotated[str, Meta(pattern=r"^[1-9]\d?$")]
Bar = Annotated[str, Meta(pattern=r"^[1-9]\d{0,3}$")]


Figures = Annotated[dict[Id, Plain], Meta(max_length=64)]


class Kept(Struct):
    """The output of ``exercises.trial.kept.record.kept``; ``figures`` are a drill's additional ones."""

    right: bool | None = None
    score: Share = 0.0
    verdict: Annotated[list[Sentence], Meta(max_length=32)] = []
    given: Given = None
    expected: Given = None
    targets: Tally = 0
    hits: Tally = 0
    missed: Tally = 0
    extra: Tally = 0
    bias_ms: Number | None = None
    spread_ms: Size | None = None
    bias_ci95_ms: tuple[Number, Number] | None = None
    uncertainty_ms: Size = 0.0
    window_ms: Size = 0.0
    beat_tapped: Annotated[dict[Beat, Share], Meta(max_length=32)] = {}
    phrase_hits: Annotated[dict[Bar, tuple[Tally, Tally]], Meta(max_length=1000)] = {}
    figures: Figures = {}


class Row(Struct, kw_only=True):
    """The values of a trial without its taps, named and ordered as in an export (see ``transfer``)."""

    uid: Hex
    when: Moment
    offset_min: Annotated[int, Meta(gt=-1440, lt=1440)] = 0
    learner: Name
    learner_id: Hex | None = None
    drill: Id
    rung: Annotated[int, Meta(ge=0, le=100)]
    rung_id: Id | None = None
    seed: Whole
    version: Annotated[int, Meta(ge=0, le=1_000_000)]
    mode: Mode
    groove: Text
    tempo_bpm: Annotated[float, Meta(ge=20, le=600)]
    value: Given
    result: dict[str, Any] | None
    void: Annotated[str, Meta(max_length=2000)] | None
    device: Text
    calibration: Figures | None
    simulated: bool
    sound_s: Day
    spent_s: Day | None
    truth: dict[str, Any] | None = None


COLUMNS = Row.__struct_fields__


def record_of(
    values: Mapping[str, Any], taps_s: Seconds, *, id: int | None = None, sitting: int | None = None
) -> TrialRecord:
    """A record from values and taps (n,) in s from the start of the sound; ``Unfit`` names what is wrong."""
    row = fitted(dict(values), Row)
    if not YEARS[0] <= int(row.when[:4]) <= YEARS[1]:
        raise Unfit(f"'when': a year from {YEARS[0]} to {YEARS[1]} expected")
    if row.result is not None:
        _check_result(row.result)
    try:
        truth = None if row.truth is None else kept_truth(row.truth)
    except Unfit as slip:
        raise Unfit(f"'truth': {slip}") from slip
    if taps_s.size > MOST_TAPS:
        raise Unfit(f"'taps_s': at most {MOST_TAPS} taps expected")
    if not (np.abs(taps_s) <= LONGEST_S).all():  # also false for NaN
        raise Unfit("'taps_s': seconds from the start of the sound expected, is this milliseconds?")
    try:
        return TrialRecord(
            answer=Answer(taps_s, row.value),
            id=id,
            sitting=sitting,
            truth=truth,
            **{name: getattr(row, name) for name in _RECORD},
        )
    except ValueError as slip:
        raise Unfit(str(slip)) from slip


_RECORD = tuple(name for name in COLUMNS if name not in ("value", "truth"))
_KEPT = frozenset(Kept.__struct_fields__) - {"figures"}


def _check_result(result: dict[str, Any]) -> None:
    if ("hits" in result) != ("targets" in result):
        raise Unfit("'hits' and 'targets': both or neither expected")
    known = {name: value for name, value in result.items() if name in _KEPT}
    known["figures"] = {name: value for name, value in result.items() if name not in _KEPT}
    found = fitted(known, Kept)
    if found.hits > found.targets or any(hit > there for there, hit in found.phrase_hits.values()):
        raise Unfit("'hits', 'phrase_hits': no more hits than targets expected")
    check_depth("verdict", found.verdict)


class _Line(Struct):
    taps_s: Annotated[list[float], Meta(max_length=MOST_TAPS)]
    sitting: Moment | None = None


class Sat(NamedTuple):
    """The sitting of a trial from elsewhere: its start, and the id of its learner where that is another one."""

    started: str
    learner_id: str | None = None


def record_of_line(line: bytes) -> tuple[TrialRecord, Sat | None]:
    """The record and its sitting from a line of an export; ``Unfit`` names what is wrong."""
    data = parsed(line)
    if not isinstance(data, dict):
        raise Unfit("named values expected")
    beside = fitted(data, _Line)
    values = {name: data[name] for name in COLUMNS if name in data}
    return record_of(values, np.array(beside.taps_s, dtype=np.float64)), None if beside.sitting is None else Sat(
        beside.sitting
    )


def record_of_row(row: Mapping[str, Any], *, id: int | None = None, sitting: int | None = None) -> TrialRecord:
    """The record of a table row with the columns of ``Row`` and ``taps``; ``Unfit`` names what is wrong.

    ``uid`` and ``taps`` are bytes, ``value``, ``result``, ``calibration`` and ``truth`` JSON, ``simulated`` 0 or 1.
    """
    values = {name: row[name] for name in COLUMNS if name in row}
    uid, taps, simulated = row["uid"], row["taps"], row["simulated"]
    if not isinstance(uid, bytes) or not isinstance(taps, bytes) or len(taps) % 8:
        raise Unfit("'uid' and 'taps': bytes, 8 for each tap, expected")
    if simulated not in (0, 1):
        raise Unfit("'simulated': 0 or 1 expected")
    for name in ("value", "result", "calibration", "truth"):
        text = values.get(name)
        if text is not None or name in ("value", "calibration"):
            if not isinstance(text, str):
                raise Unfit(f"{name!r}: a text expected")
            values[name] = parsed(text)
    values |= {"uid": uid.hex(), "simulated": bool(simulated)}
    return record_of(values, np.frombuffer(taps, dtype="<f8"), id=id, sitting=sitting)
