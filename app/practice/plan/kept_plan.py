"""Progress of today's plan, kept in a file beside the logbook so that a restarted program continues it.

The logbook does not record what was planned, skipped or only listened to. The file holds the plans of one day, one a
learner by id; keeping a plan of another day deletes them.
"""

import json
from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct

from exercises.learner.plan import LONGEST_MIN, SHORTEST_MIN
from exercises.learner.reasons import Reason
from synth.base.border import Unfit, fitted, parsed, read_bytes
from synth.base.errors import Trouble
from synth.base.files import set_aside, write_json
from synth.base.sentences import Sentence
from synth.base.words import Template

FILE_NAME = "today.json"
FORMAT, VERSION = "tallybar plan", 1
# Bounds of a plan that is kept.
MOST_TRIALS, MOST_BARS, DAY_S = 1000, 100_000, 86_400.0
Lesson = Literal["now", "done", "skipped"]

STILL_HELD = Template("kept_plan.still_held", "{path} may still hold the name {learner}: delete it yourself.")
UNFIT = Template("kept_plan.unfit", "{path} cannot be used: {why}.")


class KeptItem(Struct):
    """An item of a kept plan, how many of its trials are done, and its tally."""

    drill: str
    rung: Annotated[int, Meta(ge=1)]
    trials: Annotated[int, Meta(ge=1, le=MOST_TRIALS)]
    minutes: Annotated[float, Meta(gt=0, le=LONGEST_MIN)]
    reason: Reason
    why: Sentence
    done: Annotated[int, Meta(ge=0, le=MOST_TRIALS)]
    right: Annotated[int, Meta(ge=0, le=MOST_TRIALS)] = 0
    asked: Annotated[int, Meta(ge=0, le=MOST_TRIALS)] = 0
    bars: Annotated[int, Meta(ge=0, le=MOST_BARS)] = 0


class Kept(Struct):
    """A kept plan and its progress."""

    minutes: Annotated[int, Meta(ge=SHORTEST_MIN, le=LONGEST_MIN)]
    items: Annotated[list[KeptItem], Meta(min_length=1, max_length=60)]
    at: Annotated[int, Meta(ge=0)]
    spent_s: Annotated[float, Meta(ge=0, le=DAY_S)]
    rests: Sentence | None = None
    lesson: Lesson | None = None


class _File(Struct):
    format: str
    version: int
    day: str
    plans: dict[str, Any]


def plan_path(logbook: Path) -> Path:
    """The file of the plans that belong to a logbook."""
    return logbook.with_name(FILE_NAME)


def keep(path: Path, learner: str, day: date, plan: Mapping[str, Any]) -> None:
    """Write a learner's plan of that day, as plain values; ``Trouble`` if the file cannot be written."""
    try:
        plans = _plans(path, day)
    except Trouble:
        plans = {}  # reported on reading; the file is unusable
    write_json(
        path, {"format": FORMAT, "version": VERSION, "day": day.isoformat(), "plans": {**plans, learner: dict(plan)}}
    )


def kept(path: Path, learner: str, day: date) -> Any:
    """A learner's kept plan of that day, or ``None``; ``Trouble`` if the file cannot be read."""
    return _plans(path, day).get(learner)


def adopt(path: Path, name: str, id: str, day: date) -> None:
    """Lead a plan of that day from before learners had ids, kept under a name, to the id; best effort."""
    with suppress(Trouble):
        if (plan := kept(path, name, day)) is not None:
            keep(path, id, day, plan)


def forget(path: Path, *learners: str) -> None:
    """Delete the file if it has one of these ids or names; other learners' plans of that day restart.

    ``Trouble`` on failure.
    """
    try:
        if path.exists():
            held = read_bytes(path)
            if any(json.dumps(each, ensure_ascii=False).encode() in held for each in learners):
                path.unlink()
    except (OSError, Trouble) as slip:
        raise Trouble(STILL_HELD(path=path, learner=learners[-1])) from slip


def _plans(path: Path, day: date) -> dict[str, Any]:
    if not path.exists():
        return {}
    data = read_bytes(path)
    try:
        file = fitted(parsed(data), _File)
        if (file.format, file.version) != (FORMAT, VERSION):
            raise Unfit(f"{FORMAT} {VERSION} expected")
    except Unfit as slip:
        with suppress(OSError):
            set_aside(path)
        raise Trouble(UNFIT(path=path, why=slip)) from slip
    return file.plans if file.day == day.isoformat() else {}
