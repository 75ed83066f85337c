"""Export and import: CSV for spreadsheets, JSON Lines and database files between computers.

JSON Lines (one JSON object a line, UTF-8). The first line is the head::

    {"format": "tallybar logbook", "version": 1, "trials": 833}

Every further line is one trial, oldest first:

- ``uid``: 32 hex digits, globally unique; ``when``: end of the trial, UTC, "2030-05-01T18:00:00Z"; ``offset_min``:
  local offset from UTC in minutes (default 0);
- ``learner``, ``learner_id``: name, and 32 hex digits that stand for the learner whatever the name (default: the
  first learner of that name);
- ``drill``, ``rung`` (from 1, as numbered in that version), ``rung_id`` (its lasting name; default: what
  the number meant), ``seed``, ``version`` (of generation), ``mode``, ``groove``, ``tempo_bpm`` (felt beats); drill,
  rung, seed and version regenerate the trial;
- ``taps_s``: seconds from the start of the sound; ``value``: answer in words or numbers, "lost" where the
  count was lost, or null;
- ``result``: the keys of ``mark --json`` and ``phrase_hits``; null for a void trial, whose faults are in ``void``
  ("stall 312; underflow", see ``synth.device.faults``);
- ``truth``: what the trial is marked by, see ``exercises.trial.kept.truth.KeptTruth`` (default null);
- ``device``, ``calibration`` (object or null), ``simulated`` (true for an invented learner);
- ``sound_s``, ``spent_s``: seconds of sound, and of practice with the answer; ``sitting``: start of the sitting.

Import merges by ``uid`` and keeps existing trials. An invalid line, or a number of trials other than in the head,
stops the import before anything is written.
"""

from __future__ import annotations

import csv
import glob
import json
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from exercises.logbook.copies import copies
from exercises.logbook.file import BROKEN, MAGIC, MOST_IMPORT_BYTES, forget, keep_copy
from exercises.logbook.foreign import foreign
from exercises.logbook.joining import whole
from exercises.logbook.learners import good_name, matches, one_of
from exercises.logbook.row import COLUMNS, record_of_line
from exercises.logbook.store import Logbook, Pair, Watched
from exercises.trial.kept.record import TrialRecord
from synth.base.border import Unfit, open_file, parsed, shown
from synth.base.errors import Trouble
from synth.base.files import check_ending, replace_with, same
from synth.device.faults import from_kept

FORMAT, FORMAT_VERSION = "tallybar logbook", 1
# Longest line of an export: more than the taps and marks of the longest trial.
MOST_LINE_BYTES = 4_000_000
NOTHING = "Nothing was imported."

TRIAL_COLUMNS = (
    "uid", "when", "offset_min", "learner", "learner_id", "simulated", "drill", "rung", "rung_id", "seed", "version",
    "mode", "groove", "tempo_bpm", "device", "calibrated", "taps", "given", "expected", "right", "score", "targets",
    "hits", "missed", "extra", "bias_ms", "spread_ms", "uncertainty_ms", "sound_s", "spent_s", "void",
)  # fmt: skip
_TAPS_AT = COLUMNS.index("value")
KEYS = (*COLUMNS[:_TAPS_AT], "taps_s", *COLUMNS[_TAPS_AT:])
TAP_COLUMNS = ("uid", "when", "learner", "learner_id", "drill", "rung", "tap", "tap_s")


def export(logbook: Logbook, path: Path, *, learner: str | None = None, taps: bool = False) -> int:
    """Write the trials to ``path`` in the format of its ending; returns the number of rows.

    .csv one row a trial, or with ``taps`` one row a tap; .jsonl as above; .sqlite3 the whole logbook, all learners.
    Raises ``Trouble`` for another ending, or where it cannot be written.
    """
    match check_ending(path, (".csv", ".jsonl", ".sqlite3")):
        case ".csv":
            rows = _tap_rows(logbook, learner) if taps else _trial_rows(logbook, learner)
            return _write_csv(path, TAP_COLUMNS if taps else TRIAL_COLUMNS, rows)
        case ".jsonl":
            return _write_lines(logbook, path, learner)
        case _:
            if learner is not None:
                raise Trouble("A whole logbook holds all learners: export one learner as .jsonl.")
            keep_copy(logbook.path, path)
            return logbook.count()


def _write_csv(path: Path, columns: tuple[str, ...], rows: Iterator[Mapping[str, Any]]) -> int:
    with replace_with(path) as beside, beside.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns, extrasaction="ignore", restval="")
        writer.writeheader()
        n = 0
        for row in rows:
            writer.writerow({name: _cell(value) for name, value in row.items()})
            n += 1
        return n


def _cell(value: object) -> object:
    """A spreadsheet cell: yes or no for booleans, empty for None, text escaped that would run as a formula."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, str):
        return value
    text = shown(value, 32_000)
    return "'" + text if value[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def _trial_rows(logbook: Logbook, learner: str | None) -> Iterator[dict[str, Any]]:
    for each in logbook.all(learner):
        row = to_json(each)
        yield (
            dict(each.result or {})
            | row
            | {
                "taps": len(each.answer.taps_s),
                "calibrated": each.calibration is not None,
                "given": each.answer.value,
                "void": each.void and str(from_kept(each.void)),
            }
        )


def _tap_rows(logbook: Logbook, learner: str | None) -> Iterator[dict[str, Any]]:
    for each in logbook.all(learner):
        row = to_json(each)
        for number, tap_s in enumerate(row["taps_s"], 1):
            yield row | {"tap": number, "tap_s": tap_s}


def _write_lines(logbook: Logbook, path: Path, learner: str | None) -> int:
    starts = dict(logbook.rows("SELECT id, started FROM sittings"))
    with replace_with(path) as beside, beside.open("w", encoding="utf-8", newline="\n") as file:
        head = {"format": FORMAT, "version": FORMAT_VERSION, "trials": logbook.count(learner)}
        file.write(json.dumps(head) + "\n")
        n = 0
        for each in logbook.all(learner):
            line = to_json(each) | {"sitting": starts.get(each.sitting)}
            file.write(json.dumps(line, ensure_ascii=False, allow_nan=False) + "\n")
            n += 1
        return n


def to_json(record: TrialRecord) -> dict[str, Any]:
    """A record as plain values, without the sitting."""
    values = {"taps_s": record.answer.taps_s.tolist(), "value": record.answer.value, "mode": record.mode.value}
    values["truth"] = None if record.truth is None else record.truth.to_json()
    return {name: values[name] if name in values else getattr(record, name) for name in KEYS}


@dataclass(frozen=True, slots=True)
class Merged:
    """Number of trials in an imported file, and how many of them were new."""

    trials: int
    new: int


def merge(logbook: Logbook, path: Path, watched: Watched = iter, whose: str | None = None) -> Merged:
    """Add the missing trials of another logbook, .sqlite3 or .jsonl: all or nothing; ``watched`` sees each go by.

    The other file, of any version, is unchanged. With ``whose``, an id, label or name, its trials become those of
    that learner, or of a new one of that name. Raises ``Trouble`` if it is neither, or does not fit ``whose``.
    """
    if same(path, logbook.path):
        raise Trouble(f"{path}: this is the logbook itself")
    if path.suffix.lower() == ".csv" and path.is_file():
        raise Trouble(
            f"{path}: a .csv file is for spreadsheets and cannot be read back: a .jsonl or .sqlite3 is needed."
        )
    with open_file(path, MOST_IMPORT_BYTES) as file:
        a_file = file.read(len(MAGIC)) == MAGIC

    def seen(pairs: Iterator[Pair]) -> Iterator[Pair]:
        return watched(pairs if whose is None else _as_one(logbook, pairs, whose))

    done = (_merge_file if a_file else _merge_lines)(logbook, path, seen)
    logbook.forget_levels()
    return done


def _as_one(logbook: Logbook, pairs: Iterator[Pair], whose: str) -> Iterator[Pair]:
    """The same trials as those of one learner; ``Trouble`` if they are several learners', or of one known already."""
    known = logbook.known()
    goal = one_of(known, whose) if matches(known, whose) else None
    name = good_name(whose) if goal is None else goal.name
    first = None
    for record, sat in pairs:
        if first is None:
            first = record
            here = matches(known, record.learner_id or "") if goal is None else ()
            if here:
                label = shown(here[0].label, 60)
                raise Trouble(f"The learner of this file is {label!r} here: leave out --as, or name that one.")
        elif (record.learner_id, record.learner) != (first.learner_id, first.learner):
            raise Trouble("This file has several learners, and --as is for one: export one of them with --learner.")
        yield replace(record, learner=name, learner_id=record.learner_id if goal is None else goal.id), sat


def _merge_file(logbook: Logbook, path: Path, watched: Watched) -> Merged:
    with foreign(path) as other:
        try:
            return Merged(len(other), logbook.merge(watched(other.pairs())))
        except Trouble as slip:
            raise Trouble(f"{slip}. {NOTHING}") from slip


def _merge_lines(logbook: Logbook, path: Path, watched: Watched) -> Merged:
    seen, said = 0, None

    def pairs() -> Iterator[Pair]:
        nonlocal seen, said
        with open_file(path, MOST_IMPORT_BYTES) as file:
            said = _check_head(file.readline(MOST_LINE_BYTES), path)
            while line := file.readline(MOST_LINE_BYTES):
                seen += 1
                try:
                    if len(line) == MOST_LINE_BYTES:
                        raise Unfit(f"longer than {MOST_LINE_BYTES} bytes")
                    yield record_of_line(line)
                except Unfit as slip:
                    raise Trouble(f"{shown(path)}, line {seen + 1}: not a trial ({slip}). {NOTHING}") from slip
        if said not in (None, seen):
            raise Trouble(f"{shown(path)}: trials: {seen}, but its first line says {shown(said)}. {NOTHING}")

    new = logbook.merge(watched(pairs()))
    return Merged(seen, new)


def _check_head(line: bytes, path: Path) -> Any:
    """The number of trials given in the head, or None."""
    if not line:
        raise Trouble(f"{shown(path)}: empty")
    try:
        data = parsed(line)
    except Unfit:
        raise Trouble(
            f"{shown(path)}, line 1: not a trial, nor the head of a logbook (.sqlite3 or .jsonl)."
        ) from None
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise Trouble(f"{shown(path)}: not a logbook: the first line must be its head, see 'logbook export'.")
    if data.get("version") != FORMAT_VERSION:
        raise Trouble(
            f"{shown(path)}: format version {shown(data.get('version'), 20)}, this program knows {FORMAT_VERSION}."
        )
    return data.get("trials")


def delete_learner(logbook: Logbook, learner: str) -> list[Path]:
    """Delete a learner irrecoverably from the logbook and its copies; returns the files that still hold data of them.

    Those who are joined to them go, too.

    Deleted data is overwritten (``secure_delete``) and the file rebuilt (``VACUUM``). Damaged copies cannot be
    cleaned and are returned. Raises ``Trouble`` for an unknown learner, or if the logbook cannot be written; it comes
    last, so that a failed deletion can be repeated.
    """
    gone = whole(logbook, one_of(logbook.known(), learner))
    left = _beside(logbook.path, "damaged")
    for copy in [*copies(logbook.path), *_beside(logbook.path, "before")]:
        try:
            with closing(sqlite3.connect(copy, isolation_level=None)) as file:
                forget(file, gone)
        except BROKEN:
            left.append(copy)
    logbook.forget(gone)
    return left


def _beside(path: Path, why: str) -> list[Path]:
    found = path.parent.glob(f"{glob.escape(path.stem)}-{why}-*")
    return sorted(each for each in found if each.suffix == path.suffix)
