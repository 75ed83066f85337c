"""Progress of today's plan, kept in a file beside the logbook so that a restarted program continues it.

The logbook does not record what was planned, skipped or only listened to. The file holds the plans of one day, one a
learner; keeping a plan of another day deletes them.
"""

import json
from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from msgspec import Struct

from synth.base.border import Unfit, fitted, parsed, read_bytes
from synth.base.errors import Trouble
from synth.base.files import set_aside, write_json
from synth.base.words import Template

FILE_NAME = "today.json"
FORMAT, VERSION = "tallybar plan", 1

STILL_HELD = Template("kept_plan.still_held", "{path} may still hold the name {learner}: delete it yourself.")
UNFIT = Template("kept_plan.unfit", "{path} cannot be used: {why}.")


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


def forget(path: Path, learner: str) -> None:
    """Delete the file if it names a learner; other learners' plans of that day restart. ``Trouble`` on failure."""
    try:
        if path.exists() and json.dumps(learner, ensure_ascii=False).encode() in read_bytes(path):
            path.unlink()
    except (OSError, Trouble) as slip:
        raise Trouble(STILL_HELD(path=path, learner=learner)) from slip


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
