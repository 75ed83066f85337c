"""Trials on a record whose count was set right since: how many there are, and what became of them marked again."""

from contextlib import suppress
from pathlib import Path

from exercises.logbook.old_trials.regridding import catalogued
from exercises.logbook.old_trials.remark import Remarked, remark
from exercises.logbook.store import Logbook
from synth.base.errors import Trouble
from synth.base.words import Say, Template, plural
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.recording import Recording

TRIALS, TRIALS_ONE = (
    Template("shelf.trials", "{n} earlier trials on it were counted as it was before."),
    Template("shelf.trials_one", "One earlier trial on it was counted as it was before."),
)
MARKED_SAME, MARKED_ONE, MARKED = (
    Template("shelf.marked_same", "Every result is the same as before."),
    Template("shelf.marked_one", "One result is different."),
    Template("shelf.marked", "{n} results are different."),
)
MARKED_LEFT = Template(
    "shelf.marked_left", "{changed} Left as they were, since what they asked has no answer by the new count: {n}."
)


def trials_on(logbook: Logbook | None, recording: Recording) -> int:
    """How many trials on a record were counted by an earlier version of its grid."""
    if logbook is None:
        return 0
    with suppress(Trouble):
        rows = logbook.rows(
            "SELECT count(*) FROM trials WHERE recording IS NOT NULL AND ("
            " recording = ?1 AND coalesce(json_extract(truth, '$.recorded.grid_version'), 1) < ?2"
            " OR json_extract(truth, '$.second.print') = ?1"
            " AND coalesce(json_extract(truth, '$.second.grid_version'), 1) < ?2)",
            (recording.print, recording.grid_version),
        )
        return int(rows[0][0])
    return 0


def trials_say(n: int) -> Say:
    """How many trials were counted as a record was before."""
    return plural(n, TRIALS_ONE, TRIALS)


def marked_say(marked: Remarked) -> Say:
    """How many results are different, and how many trials were left."""
    n = marked.changed.total()
    changed = plural(n, MARKED_ONE, MARKED) if n else MARKED_SAME()
    return MARKED_LEFT(changed=changed, n=marked.unasked) if marked.unasked else changed


def marked_again(path: Path, catalogue: Catalogue) -> Remarked:
    """Mark the trials of a logbook again, by the counts that are right now."""
    with Logbook.open(path) as logbook:
        return remark(logbook, sources=catalogued(catalogue))
