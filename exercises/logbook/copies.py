"""Daily copies of a logbook.

The folder ``logbook-copies`` beside the logbook holds a checked copy of each of the last ``COPIES`` days with
practice, made by SQLite's online backup. Folder and copies are named after the logbook, so that two logbooks in one
folder do not mix.
"""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from exercises.logbook.file import BROKEN, keep_copy, suspect
from exercises.logbook.foreign import own
from exercises.logbook.health import Health, examine
from synth.base.errors import Trouble
from synth.base.files import make_folder, not_written
from synth.base.words import Say, Template

COPIES = 7

NO_COPY = Template("opening.no_copy", "Today's copy of the logbook could not be made: {why}")

FOUND_DAMAGED = Template(
    "opening.found_damaged",
    "The logbook is damaged in places. What is practised now is kept; start the program again to have it mended.",
)


def copies(path: Path) -> list[Path]:
    """The daily copies of a logbook, latest day first."""
    name = re.compile(rf"{re.escape(path.stem)}-\d{{4}}-\d\d-\d\d{re.escape(path.suffix)}")
    return sorted((each for each in _folder(path).glob("*") if name.fullmatch(each.name)), reverse=True)


def best_copies(path: Path) -> list[Path]:
    """The sound daily copies, the one with most trials first: the day in a name may come from a wrong clock."""
    held = {}
    for each in copies(path):
        if examine(each) in (Health.SOUND, Health.SUMS):
            with suppress(*BROKEN, Trouble, OSError), own(each) as book:
                held[each] = len(book), each.stat().st_mtime
    return sorted(held, key=lambda each: held[each], reverse=True)


def copy_of(path: Path, now: datetime) -> Path:
    """Path of a day's copy: ``logbook-copies/logbook-2030-05-01.sqlite3`` for ``logbook.sqlite3``."""
    return _folder(path) / f"{path.stem}-{now:%Y-%m-%d}{path.suffix}"


def _folder(path: Path) -> Path:
    return path.with_name(f"{path.stem}-copies")


def daily_copy(path: Path, now: datetime) -> Say | None:
    """Make the day's copy unless it exists, and drop those beyond ``COPIES``; returns a message or None.

    Opens the file itself, so it may run in another thread. Copies are dropped only after a newer one was checked.
    """
    goal = copy_of(path, now)
    if goal.exists() or not path.exists():
        return None
    try:
        return copy_checked(path, goal)
    except Trouble as trouble:
        return NO_COPY(why=trouble.says)


def copy_checked(path: Path, goal: Path) -> Say | None:
    """Copy a logbook to ``goal`` if the copy is sound, else return a message for the learner. Raises ``Trouble``."""
    make_folder(goal.parent)
    fresh = goal.with_name(f"{goal.name}.new")
    try:
        keep_copy(path, fresh)
        if examine(fresh, rows=False) is not Health.SOUND:
            suspect(path).touch()
            return FOUND_DAMAGED()
        fresh.replace(goal)
        for old in _beyond(path, goal):
            old.unlink()
    except OSError as slip:
        raise Trouble(not_written(goal.parent, slip)) from slip
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    return None


def _beyond(path: Path, goal: Path) -> list[Path]:
    """The copies beyond ``COPIES``: the smallest ones, but never ``goal``."""
    others = [each for each in copies(path) if each != goal]
    if len(others) < COPIES:
        return []
    size = {each: each.stat().st_size for each in others}
    return sorted(others, key=lambda each: (size[each], each.stat().st_mtime))[: len(others) + 1 - COPIES]
