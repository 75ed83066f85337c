"""Export and import: CSV for spreadsheets, JSON Lines and database files between computers.

JSON Lines (one JSON object a line, UTF-8). The first line is the head::

    {"format": "tallybar logbook", "version": 1, "trials": 833}

Every further line is one trial, oldest first:

- ``uid``: 32 hex digits, globally unique; ``when``: end of the trial, UTC, "2030-05-01T18:00:00Z"; ``offset_min``:
  local offset from UTC in minutes (default 0);
- ``learner``, ``drill``, ``rung`` (from 1), ``seed``, ``version`` (of generation), ``mode``, ``groove``,
  ``tempo_bpm`` (felt beats); drill, rung, seed and version regenerate the trial;
- ``taps_s``: seconds from the start of the sound; ``value``: answer in words or numbers, or null;
- ``result``: the keys of ``mark --json`` and ``phrase_hits``; null for a void trial, whose faults are in ``void``
  ("stall 312; underflow", see ``synth.device.faults``);
- ``device``, ``calibration`` (object or null), ``simulated`` (true for an invented learner);
- ``sound_s``, ``spent_s``: seconds of sound, and of practice with the answer; ``sitting``: start of the sitting.

Import merges by ``uid`` and keeps existing trials. An invalid line, or a number of trials other than in the head,
stops the import before anything is written.
"""

from __future__ import annotations

import csv
import glob
import json
import math
import sqlite3
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from exercises.logbook.file import MAGIC, check_header, forget, keep_copy
from exercises.logbook.opening import copies
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from exercises.trial.record import TrialRecord
from exercises.trial.trial import Answer
from synth.base.errors import Trouble, near
from synth.base.files import check_ending, replace_with
from synth.device.faults import from_kept

FORMAT, FORMAT_VERSION = "tallybar logbook", 1
# Integers of SQLite are below it (https://www.sqlite.org/datatype3.html, section 2: eight bytes, signed).
MOST = 2**63

TRIAL_COLUMNS = (
    "uid", "when", "offset_min", "learner", "simulated", "drill", "rung", "seed", "version", "mode", "groove",
    "tempo_bpm", "device", "calibrated", "taps", "given", "expected", "right", "score", "targets", "hits", "missed",
    "extra", "bias_ms", "spread_ms", "uncertainty_ms", "sound_s", "spent_s", "void",
)  # fmt: skip
KEYS = (
    "uid", "when", "offset_min", "learner", "drill", "rung", "seed", "version", "mode", "groove", "tempo_bpm",
    "taps_s", "value", "result", "void", "device", "calibration", "simulated", "sound_s", "spent_s",
)  # fmt: skip
# Fields that are read by one conversion.
PLAIN: Mapping[str, Callable[[Any], Any]] = (
    dict.fromkeys(("when", "drill", "groove", "learner", "device"), str)
    | dict.fromkeys(("rung", "seed", "version"), int)
    | {"tempo_bpm": float, "sound_s": float, "simulated": bool, "mode": Mode}
)
TAP_COLUMNS = ("uid", "when", "learner", "drill", "rung", "tap", "tap_s")


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
    return "'" + value if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r") else value


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
    return {name: values[name] if name in values else getattr(record, name) for name in KEYS}


def from_json(data: Mapping[str, Any]) -> TrialRecord:
    """Parse what ``to_json`` wrote. Raises ``ValueError``, ``KeyError`` or ``TypeError`` where it is no trial."""
    uid = str(data["uid"])
    if len(bytes.fromhex(uid)) != 16:
        raise ValueError(f"uid {uid!r}: 32 hex digits expected")
    result = data["result"]
    made = TrialRecord(
        **{name: kind(data[name]) for name, kind in PLAIN.items()},
        offset_min=int(data.get("offset_min", 0)),
        answer=Answer(data["taps_s"], data["value"]),
        result=None if result is None else dict(result),
        calibration=data["calibration"],
        void=None if data["void"] is None else str(data["void"]),
        uid=uid,
        spent_s=None if data["spent_s"] is None else float(data["spent_s"]),
    )
    if not (1 <= made.rung < MOST and 0 <= made.seed < MOST and 0 <= made.version < MOST):
        raise ValueError(f"rung {made.rung}, seed {made.seed}, version {made.version}: one of them is out of range")
    if not 0 < made.tempo_bpm < math.inf:
        raise ValueError(f"tempo {made.tempo_bpm} BPM: more than nothing expected")
    return made


@dataclass(frozen=True, slots=True)
class Merged:
    """Trials in an imported file, and how many of them were new."""

    trials: int
    new: int


def merge(logbook: Logbook, path: Path) -> Merged:
    """Add the trials of another logbook, .sqlite3 or .jsonl, that are missing here: all or nothing.

    The other file, of any version, is unchanged. Raises ``Trouble`` where it is neither.
    """
    if path.resolve() == logbook.path.resolve():
        raise Trouble(f"{path}: this is the logbook itself")
    if path.suffix.lower() == ".csv" and path.is_file():
        raise Trouble(
            f"{path}: a .csv file is for spreadsheets and cannot be read back: a .jsonl or .sqlite3 is needed."
        )
    try:
        with path.open("rb") as file:
            whole = file.read(len(MAGIC)) == MAGIC
    except OSError as slip:
        raise Trouble(f"{path}: cannot be read ({slip.strerror})") from slip
    done = _merge_file(logbook, path) if whole else _merge_lines(logbook, path)
    logbook.forget_levels()
    return done


def _merge_file(logbook: Logbook, path: Path) -> Merged:
    check_header(path)
    with tempfile.TemporaryDirectory(prefix="tallybar-") as folder:
        copy = Path(folder) / "other.sqlite3"
        keep_copy(path, copy)
        with Logbook.open(copy) as other:  # migrates it
            starts = dict(other.rows("SELECT id, started FROM sittings"))
            pairs = ((each, starts.get(each.sitting)) for each in other.all())
            return Merged(other.count(), logbook.merge(pairs))


def _merge_lines(logbook: Logbook, path: Path) -> Merged:
    seen, said = 0, None

    def pairs() -> Iterator[tuple[TrialRecord, str | None]]:
        nonlocal seen, said
        with path.open(encoding="utf-8") as file:
            for number, line in enumerate(file, 1):
                try:
                    data = json.loads(line)
                    if number == 1:
                        said = _check_head(data, path)
                        continue
                    seen += 1
                    trial = from_json(data), _sitting(data)
                except (KeyError, ValueError, TypeError, AttributeError, RecursionError) as slip:
                    why = f"{slip.args[0]!r} is missing" if isinstance(slip, KeyError) else str(slip)
                    raise Trouble(f"{path}, line {number}: not a trial ({why}). Nothing was imported.") from slip
                yield trial
        if not seen and not path.stat().st_size:
            raise Trouble(f"{path}: empty")
        if said not in (None, seen):
            raise Trouble(f"{path}: {seen} trials, but its first line says {said}. Nothing was imported.")

    try:
        new = logbook.merge(pairs())
    except UnicodeDecodeError as slip:
        raise Trouble(f"{path}: not a logbook (.sqlite3 or .jsonl)") from slip
    except (ValueError, OverflowError) as slip:  # values that SQLite rejects
        raise Trouble(f"{path}, line {seen + 1}: not a trial ({slip}). Nothing was imported.") from slip
    return Merged(seen, new)


def _sitting(data: Mapping[str, Any]) -> str | None:
    started = data.get("sitting")
    return None if started is None else str(started)


def _check_head(data: Any, path: Path) -> Any:
    """Number of trials according to the head; None where it is missing."""
    if not isinstance(data, Mapping) or data.get("format") != FORMAT:
        raise Trouble(f"{path}: not a logbook: the first line must be its head, see 'logbook export'.")
    if data.get("version") != FORMAT_VERSION:
        raise Trouble(f"{path}: format version {data.get('version')}, this program knows {FORMAT_VERSION}.")
    return data.get("trials")


def delete_learner(logbook: Logbook, learner: str) -> list[Path]:
    """Delete a learner irrecoverably from the logbook and its copies; returns the files that still hold data of them.

    Deleted data is overwritten (``secure_delete``) and the file rebuilt (``VACUUM``). Damaged files cannot be
    cleaned in this way and are returned. Raises ``Trouble`` for an unknown learner, or where the logbook cannot be
    written; it comes last, so that all of this can be repeated.
    """
    known = logbook.learners()
    if learner not in known:
        raise Trouble(f"There is no learner {learner!r} in the logbook.{near(learner, known)}")
    left = _beside(logbook.path, "damaged")
    for copy in [*copies(logbook.path), *_beside(logbook.path, "before")]:
        try:
            with closing(sqlite3.connect(copy, isolation_level=None)) as file:
                forget(file, learner)
        except sqlite3.Error:
            left.append(copy)
    logbook.delete_learner(learner)
    return left


def _beside(path: Path, why: str) -> list[Path]:
    found = path.parent.glob(f"{glob.escape(path.stem)}-{why}-*")
    return sorted(each for each in found if each.suffix == path.suffix)
