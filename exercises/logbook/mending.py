"""Repair a damaged logbook.

The damaged file is renamed, never deleted; the good daily copy with most trials replaces it, and readable trials of
the damaged file are added.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from exercises.logbook.copies import best_copies
from exercises.logbook.file import BESIDE, BROKEN, suspect
from exercises.logbook.foreign import Found, own
from exercises.logbook.joining import add_all
from exercises.logbook.store import Logbook, Pair
from synth.base.errors import Trouble
from synth.base.files import unused, write_text
from synth.base.reasons import reason
from synth.base.words import Say, Template

RESTORED = Template(
    "opening.restored",
    "The logbook was damaged and was set aside as {aside}. The copy of {day} was opened. Trials "
    "kept: {kept}, the last of {last}. Later trials that could still be read and were added: "
    "{saved}. Others since then may be missing.",
)
MISSING = Template(
    "opening.missing",
    "The logbook's file was missing. The copy of {day} was opened. Trials kept: {kept}, the last "
    "of {last}. Later trials may be missing.",
)
STARTED_ANEW = Template(
    "opening.started_anew",
    "The logbook was damaged and was set aside as {aside}. There is no good copy of it, so a new "
    "logbook was started. Trials that could still be read and were added: {saved}. Others may be "
    "missing.",
)
NOT_MENDED = Template("opening.not_mended", "{path}: the logbook is damaged and cannot be mended now ({why}).")
SET_ASIDE = Template(
    "opening.set_aside",
    "Trials that could not be read: {n}. They are kept in {file}, with what is wrong in each "
    "line. Put right there, they come back with 'logbook import'.",
)
NOT_SET_ASIDE = Template(
    "opening.not_set_aside", "Trials that could not be read: {n}. They could not be kept apart either: {why}"
)


def mend(path: Path, now: datetime) -> tuple[Say, ...]:
    """Rename a damaged file, put the best copy in its place, and add every trial that is still readable."""
    aside = unused(path.with_name(f"{path.stem}-damaged-{now:%Y-%m-%d-%H%M%S}{path.suffix}"))
    good = next(iter(best_copies(path)), None)
    fresh = path.with_name(f".{path.name}.mended")
    try:
        missing = _exchange(path, aside, good, fresh)
    except (OSError, Trouble) as slip:
        why = slip.says if isinstance(slip, Trouble) else reason(slip)
        raise Trouble(NOT_MENDED(path=path, why=why)) from slip
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
    with Logbook.open(path) as logbook:
        kept, last = logbook.count(), logbook.trials(1)
        saved, unfit = (0, []) if missing else _rescue(aside, logbook)
    beside = _set_aside(path, unfit) if unfit else ()
    if good is None:
        return STARTED_ANEW(aside=aside.name, saved=saved), *beside
    fields = {"day": good.stem[-len("2030-05-01") :], "kept": kept, "last": last[0].when[:10] if last else "-"}
    return MISSING(**fields) if missing else RESTORED(aside=aside.name, saved=saved, **fields), *beside


def _rescue(aside: Path, logbook: Logbook) -> tuple[int, list[Found]]:
    """Add the missing trials of a damaged file; returns their number and the invalid rows."""
    unfit: list[Found] = []

    def pairs(found: Iterable[Found]) -> Iterator[Pair]:
        for each in found:
            if each.record is None:
                unfit.append(each)
            else:
                yield each.record, each.sitting

    with suppress(*BROKEN, Trouble), own(aside) as damaged:
        add_all(logbook, damaged.learners())
        return logbook.merge(pairs(damaged.rescued())), [each for each in unfit if not logbook.has(each.uid)]
    return 0, unfit


def _set_aside(path: Path, unfit: Iterable[Found]) -> tuple[Say, ...]:
    """Write invalid rows to a file beside the logbook, in export format; returns messages."""
    goal = unused(path.with_name(f"{path.stem}-set-aside.jsonl"))
    lines = [{"format": "tallybar logbook", "version": 1}, *(each.to_json() for each in unfit)]
    try:
        write_text(goal, "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines))
    except Trouble as trouble:
        return (NOT_SET_ASIDE(n=len(lines) - 1, why=trouble.says),)
    return (SET_ASIDE(n=len(lines) - 1, file=goal),)


def _exchange(path: Path, aside: Path, good: Path | None, fresh: Path) -> bool:
    """Replace ``path`` by a copy of ``good`` or a new logbook, kept as ``aside``; returns whether it was missing.

    Everything that needs disk space is done first, so that a failure there changes nothing.
    """
    if good is None:
        fresh.unlink(missing_ok=True)
        Logbook.open(fresh).close()
    else:
        _copy_whole(good, fresh)
    with fresh.open("rb+") as file:
        os.fsync(file.fileno())
    missing = not path.exists()
    if not missing:
        try:
            os.link(path, aside)
        except OSError:  # file system without hard links
            _copy_whole(path, aside)
    # The old write-ahead log goes first: it must not be applied to the new file.
    for ending in BESIDE:
        beside = path.with_name(path.name + ending)
        if beside.exists():
            beside.replace(aside.with_name(aside.name + ending))
    fresh.replace(path)
    suspect(path).unlink(missing_ok=True)
    return missing


def _copy_whole(source: Path, goal: Path) -> None:
    try:
        shutil.copyfile(source, goal)
    except OSError:
        goal.unlink(missing_ok=True)
        raise
