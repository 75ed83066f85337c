"""The command ``logbook``: export, import, copy, mark again, summarise, rename, join, delete."""

import argparse
import os
import shlex
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

from app.cli.output import complain, counted, number_of, say, say_json
from synth.base.errors import Trouble

# Subcommands that need an existing logbook; ``restore`` and ``import`` may create one.
READING = ("export", "backup", "summary", "mark-again", "trial", "rename", "join", "separate", "delete")


def add_logbook(commands: Any, parser_class: Any) -> None:
    """Add the command and its subcommands to the parser."""
    logbook = commands.add_parser(
        "logbook", help="the logbook of practice: export, backup, restore, summary and more"
    )
    logbook.add_argument(
        "--file", type=Path, metavar="LOGBOOK", help="another logbook than your own (the file is made if it is new)"
    )
    words = logbook.add_subparsers(dest="word", metavar="WORD", required=True, parser_class=parser_class)

    export = words.add_parser("export", help="write the trials: .csv, .jsonl, or .sqlite3 for the whole logbook")
    export.add_argument("out", type=Path, metavar="OUT")
    export.add_argument("--learner", metavar="NAME")
    export.add_argument("--taps", action="store_true", help="in .csv: one row a tap instead of one a trial")

    copy = words.add_parser("backup", help="make a copy now, in the logbook's own folder or as a file")
    copy.add_argument("out", type=Path, nargs="?", metavar="OUT.sqlite3", help="a file whose name ends with .sqlite3")

    restore = words.add_parser("restore", help="go back to a copy; the present logbook is kept beside it")
    restore.add_argument(
        "source", type=Path, nargs="?", metavar="COPY.sqlite3", help="the newest daily copy if left out"
    )

    merge = words.add_parser("import", help="add the trials of another logbook, each once")
    merge.add_argument("source", type=Path, metavar="FILE.jsonl|FILE.sqlite3", help="a .csv file cannot be read back")
    merge.add_argument(
        "--as", dest="whose", metavar="NAME", help="the file has one learner: let the trials be those of NAME"
    )

    summary = words.add_parser("summary", help="what was practised, and where you stand")
    summary.add_argument("--learner", metavar="NAME")
    summary.add_argument("--json", action="store_true")

    again = words.add_parser("mark-again", help="mark all trials with the present marking, and say what changed")
    again.add_argument("--dry-run", action="store_true", help="say what would change, and write nothing")

    trial = words.add_parser("trial", help="one trial as files: sound, trial.json, and the answer that was given")
    trial.add_argument("uid", metavar="UID", help="as in an export")
    trial.add_argument("--out", type=Path, required=True, metavar="DIR")

    rename = words.add_parser("rename", help="give a learner another name; everything stays")
    rename.add_argument("learner", metavar="OLD")
    rename.add_argument("name", metavar="NEW")

    join = words.add_parser("join", help="make two learners one: the trials of A become those of B")
    join.add_argument("learner", metavar="A")
    join.add_argument("other", metavar="B")

    separate = words.add_parser("separate", help="undo join: give a learner their trials back")
    separate.add_argument("learner", metavar="A")

    delete = words.add_parser("delete", help="delete a learner with all their trials, for good, from the copies too")
    delete.add_argument("learner", metavar="NAME")
    delete.add_argument("--yes", action="store_true", help="really delete; without it nothing happens")


def in_new_words(words: list[str]) -> list[str]:
    """Command line with the subcommand's old name, which still works, replaced by its present one."""
    at = 1
    while at < len(words) and words[at].startswith("-"):
        at += 1 if "=" in words[at] else 2
    old = words[:1] == ["logbook"] and words[at : at + 1] == ["remark"]
    return [*words[:at], "mark-again", *words[at + 1 :]] if old else words


def run_logbook(options: argparse.Namespace) -> None:
    """Run a subcommand. Raises ``Trouble``."""
    from exercises.logbook.opening import open_logbook, reading, writable
    from exercises.logbook.store import FILE_NAME
    from synth.base.folders import data_folder
    from synth.device.clock import utc_now

    path = data_folder() / FILE_NAME if options.file is None else options.file
    if options.file is not None and options.word in READING:
        _must_exist(path)
    words: dict[str, Callable[[Any, argparse.Namespace], None]] = {
        "export": _export,
        "backup": _backup,
        "restore": _restore,
        "import": _import,
        "summary": _summary,
        "mark-again": _mark_again,
        "trial": _trial,
        "rename": _rename,
        "join": _join,
        "separate": _separate,
        "delete": _delete,
    }
    if options.word == "summary" and not writable(path):
        with reading(path) as logbook:
            _summary(logbook, options)
        return
    with _begun_only_for_trials(path):
        # No daily copy when copying or restoring.
        opened = open_logbook(path, utc_now(), copy=options.word == "mark-again")
        for message in opened.messages:
            complain(message, name="")
        with opened.logbook as logbook:
            words[options.word](logbook, options)


@contextmanager
def _begun_only_for_trials(path: Path) -> Iterator[None]:
    """Remove a logbook created for the block, and its folders, if the block fails and the logbook is empty."""
    from exercises.logbook.store import Logbook

    missing = [each for each in (path, *path.parents) if not each.exists()]
    try:
        yield
    except BaseException:
        with suppress(Trouble, OSError):
            if path in missing and path.exists():
                with Logbook.open(path) as logbook:
                    empty = not logbook.count()
                # The last connection removes the write-ahead log: if it exists, a window is open.
                if empty and not path.with_name(f"{path.name}-wal").exists():
                    Path(os.path.realpath(path)).unlink()
                    for folder in missing[1:]:
                        folder.rmdir()
        raise


def _must_exist(path: Path) -> None:
    from exercises.logbook.copies import copies

    if not path.exists():
        raise Trouble(f"{path}: there is no such logbook")
    if path.is_file() and path.stat().st_size == 0 and not copies(path):
        raise Trouble(f"{path}: this file is empty, no logbook")


def known_learner(logbook: Any, asked: str | None) -> Any:
    """The learner meant by a name, a label or an id, or None; ``Trouble`` for an unknown one, or several."""
    from exercises.logbook.joining import learner

    return None if asked is None else learner(logbook, asked)


def _export(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.transfer import export

    who = known_learner(logbook, options.learner)
    if options.taps and options.out.suffix.lower() != ".csv":
        raise Trouble("--taps goes with a .csv file only; .jsonl and .sqlite3 hold the taps anyway.")
    n = export(logbook, options.out, learner=who and who.id, taps=options.taps)
    say(f"{options.out}: {n} {'taps' if options.taps else 'trials'}")


def _backup(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.copies import copy_checked, copy_of
    from exercises.logbook.file import keep_copy
    from synth.base.files import check_ending
    from synth.device.clock import utc_now

    if options.out is not None:
        check_ending(options.out, (".sqlite3",))
        keep_copy(logbook.path, options.out)
        say(f"{options.out}: {number_of(logbook.count(), 'trial')}")
        return
    goal = copy_of(logbook.path, utc_now())
    told = copy_checked(logbook.path, goal)
    if told is not None:
        raise Trouble(str(told))
    say(f"{goal}: {number_of(logbook.count(), 'trial')}")


def _restore(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.copies import best_copies
    from exercises.logbook.file import keep_copy
    from exercises.logbook.opening import rebuilt
    from synth.base.files import same

    source = options.source or next(iter(best_copies(logbook.path)), None)
    if source is None:
        raise Trouble("There is no daily copy of this logbook yet; name a file to restore from.")
    if same(source, logbook.path):
        raise Trouble(f"{source}: this is the logbook itself")
    before = _before(logbook, "restore")
    with rebuilt(source, counted) as copy:
        keep_copy(logbook.path, before)
        had = logbook.count()
        logbook.take(copy)
    now = number_of(logbook.count(), "trial")
    say(f"{logbook.path}: {now} from {source}. What was there before ({had}) is kept in {before.name}.")


def _import(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.file import keep_copy
    from exercises.logbook.transfer import merge

    before = _before(logbook, "import")
    keep_copy(logbook.path, before)
    done = None
    try:
        done = merge(logbook, options.source, counted, options.whose)
    finally:
        if done is None or not done.new:
            before.unlink(missing_ok=True)
    read = number_of(done.trials, "trial")
    say(f"{options.source}: {read}, new: {done.new}. The logbook now has {logbook.count()}.")
    if done.new:
        _say_undo(options, "restore", str(before))


def _say_undo(options: argparse.Namespace, *words: str) -> None:
    """Say the command that undoes what was done."""
    of = [] if options.file is None else ["--file", str(options.file)]
    say(f"To undo it: tallybar {shlex.join(['logbook', *of, *words])}")


def _before(logbook: Any, what: str) -> Path:
    """Path of the copy of the logbook made before an operation."""
    from synth.base.files import unused
    from synth.device.clock import utc_now

    path: Path = logbook.path
    return unused(path.with_name(f"{path.stem}-before-{what}-{utc_now():%Y-%m-%d-%H%M%S}{path.suffix}"))


def _mark_again(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.old_trials.remark import remark

    for line in remark(logbook, write=not options.dry_run).says():
        say(line)


def _trial(logbook: Any, options: argparse.Namespace) -> None:
    from app.cli.trial_files import write_trial
    from exercises.logbook.old_trials.again import opened
    from synth.base.border import shown

    try:
        record = logbook.trial(bytes.fromhex(options.uid))
    except ValueError:
        record = None
    if record is None:
        raise Trouble(f"There is no trial {shown(options.uid, 40)!r} in the logbook; an export has their uids.")
    write_trial(options.out, opened(record), record.answer)


def _rename(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.joining import rename

    who = known_learner(logbook, options.learner)
    now = rename(logbook, who, options.name)
    say(f"{who.label} is {now.label} now; {number_of(logbook.count(now.id), 'trial')} as before.")
    _say_undo(options, "rename", now.label, who.name)


def _join(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.joining import join, joined

    one, other = (known_learner(logbook, asked) for asked in (options.learner, options.other))
    moved = number_of(join(logbook, one, other), "trial")
    now = known_learner(logbook, other.id)
    say(f"{moved} of {one.label} went to {now.label}, who has {logbook.count(now.id)} now.")
    _say_undo(options, "separate", next(each.label for each in joined(logbook) if each.id == one.id))


def _separate(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.logbook.joining import joined, separate
    from exercises.logbook.learners import one_of

    known = joined(logbook)
    if not known:
        raise Trouble("No learner of this logbook was joined to another.")
    who = one_of(known, options.learner)
    moved = number_of(separate(logbook, who), "trial")
    say(f"{known_learner(logbook, who.id).label} is a learner of their own again, with {moved}.")


def _delete(logbook: Any, options: argparse.Namespace) -> None:
    from app.learner_settings import forget_choices
    from app.practice.plan.kept_plan import forget, plan_path
    from app.settings import save, settings_path
    from exercises.logbook.joining import whole
    from exercises.logbook.transfer import delete_learner
    from synth.device.clock import utc_now

    who = known_learner(logbook, options.learner)
    trials = number_of(logbook.count(who.id), "trial")
    if not options.yes:
        raise Trouble(f"This would delete {trials} of {who.label} for good, from all copies too: add --yes.")
    gone = whole(logbook, who)
    left = delete_learner(logbook, who.id)
    forget(plan_path(logbook.path), *(each for names in gone for each in names))
    if options.file is None and (without := forget_choices(settings_path(), [id for _, id in gone], utc_now())):
        save(without, settings_path())
    say(f"{who.label}: {trials} deleted, here and in the copies that the program keeps.")
    say("Files that you exported or copied yourself are not touched.")
    for path in left:
        say(f"{path} is damaged or in use and may still hold trials of {who.label}: delete it yourself.")


def _summary(logbook: Any, options: argparse.Namespace) -> None:
    from exercises.progress.summary import summary
    from synth.device.clock import today

    who = known_learner(logbook, options.learner)
    known = [who] if who else logbook.known()
    found = [replace(summary(logbook, each.id, today()), learner=each.label) for each in known]
    if options.json:
        say_json([each.to_json() | {"learner_id": who.id} for who, each in zip(known, found, strict=True)])
        return
    if not found:
        say("Nothing has been practised yet.")
    for each in found:
        for line in each.lines():
            say(line)
